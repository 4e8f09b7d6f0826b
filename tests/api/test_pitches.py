from typing import Any

import pytest

from api.house import House, changed, pointers

PATH = "/v1/pitches"
ALE = {"kind": "ale", "temperature": "19 degC"}
# 12.39 degP at 1.050 (extract tables): 0.75 million a mL and degP in 20 L.
WANTED = 0.75e6 * 20_000.0 * 12.39


def pitch(house: House, gravity: float = 1.050, **yeast: Any) -> Any:
    body = {"volume": "20 L", "original_gravity": gravity, "yeast": {**ALE, **yeast}}
    return house.made(PATH, body)


def codes(answer: Any) -> set[str]:
    return {entry["code"] for entry in answer["warnings"]}


def test_cells_wanted_are_rate_times_volume_times_extract(house: House) -> None:
    answer = pitch(house)
    assert answer["cells_wanted"] == {"value": pytest.approx(WANTED, rel=2e-3), "unit": "cells"}
    assert answer["pitched"] is None


# White & Zainasheff's rates with the trade's rates for strong wort (reference, 6.1).
@pytest.mark.parametrize(
    ("kind", "temperature", "gravity", "rate", "counted_as"),
    [
        ("ale", "19 degC", 1.050, 0.75, "ale"),
        ("ale", "19 degC", 1.070, 1.00, "ale"),
        ("ale", "19 degC", 1.095, 1.25, "ale"),
        ("lager", "10 degC", 1.050, 1.50, "lager"),
        ("lager", "10 degC", 1.065, 2.00, "lager"),
        ("ale", "12 degC", 1.050, 1.00, "hybrid"),
        ("lager", "20 degC", 1.050, 1.00, "hybrid"),
    ],
)
def test_the_rate_follows_kind_gravity_and_temperature(
    house: House, kind: str, temperature: str, gravity: float, rate: float, counted_as: str
) -> None:
    answer = pitch(house, gravity, kind=kind, temperature=temperature)
    assert answer["pitch_rate"]["value"] == rate
    assert answer["counted_as"] == counted_as
    assert ("counted_as_hybrid" in codes(answer)) is (kind != counted_as)


def test_whole_packets_and_what_fewer_would_mean(house: House) -> None:
    # 1e10 cells a gram: 1.15e11 in a packet of 11.5 g.
    answer = pitch(house, dry={"packet": "11.5 g"})
    choices = answer["packet_choices"]
    assert [choice["packets"] for choice in choices] == [1, 2]
    shares = [choice["share_of_wanted"]["value"] for choice in choices]
    assert shares == pytest.approx([1.15e11 / WANTED, 2.30e11 / WANTED], rel=2e-3)
    assert choices[0]["risk"] == "too_few_cells"
    assert answer["pitched"]["packets"] == 2
    assert answer["oxygen"]["wanted"]["value"] == 0.0


def test_too_few_packets_are_told_in_words(house: House) -> None:
    answer = pitch(house, dry={"packet": "5 g", "packets": 1})
    assert "far_too_few_cells" in codes(answer)
    assert "days before fermentation shows" in answer["summary"]


def test_a_pack_loses_a_fifth_in_a_month_and_a_starter_grows_the_rest(house: House) -> None:
    answer = pitch(house, liquid={"age": "30 d"}, starter="stirred")
    assert answer["pitched"]["viable_share"]["value"] == pytest.approx(0.79)
    (step,) = answer["starter"]
    assert step["cells_before"]["value"] == pytest.approx(0.79e11)
    assert step["cells_after"]["value"] == pytest.approx(answer["cells_wanted"]["value"])
    # 1.4e9 cells grow on a gram of extract while there are fewer than 1.4e9 a gram.
    grown = step["cells_after"]["value"] - step["cells_before"]["value"]
    assert step["dry_extract"]["value"] == pytest.approx(grown / 1.4e9, rel=1e-6)
    assert "far_too_few_cells" not in codes(answer)


def test_slurry_is_wanted_by_volume_and_loses_a_tenth_a_week(house: House) -> None:
    answer = pitch(house, slurry={"age": "1 week"})
    expected_ml = WANTED / (1.2e9 * 0.9)
    assert answer["pitched"]["slurry"]["value"] == pytest.approx(expected_ml, rel=2e-3)
    assert answer["pitched"]["share_of_wanted"]["value"] == pytest.approx(1.0)


def test_a_cake_holds_more_than_one_pitch_and_a_strong_beer_tires_it(house: House) -> None:
    cake = {"age": "0 d", "fermented": "20 L", "original_gravity": 1.050, "final_gravity": 1.012}
    answer = pitch(house, cake=cake)
    assert 0.0 < answer["pitched"]["cake_share"]["value"] < 1.0
    assert "tired_yeast" not in codes(answer)
    strong = {**cake, "original_gravity": 1.1, "final_gravity": 1.02}
    assert "tired_yeast" in codes(pitch(house, cake=strong))


def test_strong_wort_wants_pure_oxygen_twice(house: House) -> None:
    answer = pitch(house, 1.090)
    assert answer["oxygen"]["needs_pure_oxygen"]
    assert answer["oxygen"]["second_dose"]
    assert {"air_is_not_enough", "second_oxygen"} <= codes(answer)
    assert 12.0 <= answer["oxygen"]["wanted"]["value"] <= 15.0


@pytest.mark.parametrize(
    ("pointer", "yeast"),
    [
        ("/yeast", {"dry": {}, "slurry": {"age": "1 d"}}),
        ("/yeast/slurry/age", {"slurry": {"age": "29 d"}}),
        ("/yeast/liquid/age", {"liquid": {"age": "5 month"}}),
        ("/yeast/liquid/age", {"liquid": {}}),
        ("/yeast/kind", {"kind": "wild"}),
        ("/yeast/dry/packets", {"dry": {"packets": 0}}),
        (
            "/yeast/cake/final_gravity",
            {
                "cake": {
                    "age": "0 d",
                    "fermented": "20 L",
                    "original_gravity": 1.05,
                    "final_gravity": 1.06,
                }
            },
        ),
    ],
)
def test_what_makes_no_sense_is_refused_where_it_stands(
    house: House, pointer: str, yeast: dict[str, Any]
) -> None:
    body = {"volume": "20 L", "original_gravity": 1.05, "yeast": {**ALE, **yeast}}
    answer = house.ask("POST", PATH, body)
    assert answer.status_code == 422
    assert pointers(answer) == [pointer]


def test_cells_are_written_in_billions_where_a_system_of_units_is_asked_for(house: House) -> None:
    body = {"volume": "20 L", "original_gravity": 1.05, "yeast": ALE}
    answer = house.made(f"{PATH}?units=metric", body)
    assert answer["cells_wanted"]["unit"] == "billion cells"
    assert answer["cells_wanted"]["value"] == pytest.approx(WANTED / 1e9, rel=2e-3)


def test_a_volume_of_nothing_is_refused(house: House) -> None:
    body = {"volume": "20 L", "original_gravity": 1.05, "yeast": ALE}
    answer = house.ask("POST", PATH, changed(body, "/volume", "0 L"))
    assert pointers(answer) == ["/volume"]
