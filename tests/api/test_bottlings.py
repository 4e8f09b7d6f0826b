from typing import Any

import pytest

from api.house import House, pointers

BOTTLING, PRIMING, KEG = "/v1/bottlings", "/v1/primings", "/v1/keg-pressures"
BEER: dict[str, Any] = {
    "volume": "20 L",
    "carbonation": "2.4 volumes",
    "highest_temperature": "20 degC",
    "gravity": 1.010,
    "expected_final_gravity": 1.010,
    "bottle": "standard",
}


def codes(answer: Any, kind: str = "warnings") -> set[str]:
    return {entry["code"] for entry in answer[kind]}


def test_ten_points_left_are_refused_with_the_pressure_and_the_same_at_rest_passes(
    house: House,
) -> None:
    # Reference 5.3: 7.30 volumes, 9.1 bar at 25 degC.
    answer = house.ask("POST", BOTTLING, {**BEER, "gravity": 1.020})
    assert answer.status_code == 422
    assert answer.json["type"] == "/problems/bottle-pressure"
    assert "7.3 volumes, 9.1 bar at 25.0 °C" in answer.json["detail"]
    assert pointers(answer) == ["/gravity"]
    assert answer.json["errors"][0]["accepted"] == ["at most 3 volumes in all"]
    assert house.made(BOTTLING, BEER)["safe_if_lowest"]


def test_a_bottling_weighs_the_worked_sugar_and_tells_the_pressures(house: House) -> None:
    # Reference cases 15 to 17 and table 5.4: 120.0 g; 2.4 volumes, 1.88 bar at 20, 3.70 at 40.
    answer = house.made(BOTTLING, {**BEER, "store_temperature": "20 degC"})
    assert answer["sugar"] == {"value": pytest.approx(120.0, abs=0.1), "unit": "g"}
    assert answer["carbonation"]["value"] == pytest.approx(2.4)
    assert answer["pressure"]["value"] == pytest.approx(1.88, abs=0.005)
    assert answer["pressure_in_hot_car"]["value"] == pytest.approx(3.70, abs=0.005)
    assert codes(answer, "cautions") == {"bottle_pressure", "glass"}


def test_the_pressure_if_the_forecast_is_wrong_is_told_beside_it(house: House) -> None:
    # Three points lower add 1.47 volumes (reference 5.3).
    answer = house.made(BOTTLING, {**BEER, "lowest_final_gravity": 1.007})
    assert answer["carbonation_if_lowest"]["value"] == pytest.approx(2.4 + 1.47, abs=0.01)
    assert answer["pressure_if_lowest"]["value"] > answer["pressure"]["value"]
    assert not answer["safe_if_lowest"]
    assert "unsafe_if_it_ferments_on" in codes(answer)
    assert "doubtful_bottle" in codes(answer, "cautions")


def test_a_fermentation_that_has_finished_may_be_bottled_and_one_that_has_not_may_not(
    house: House,
) -> None:
    wort = {"original_gravity": 1.060, "yeast": {"yeast_class": "medium"}}
    beer = {
        name: value
        for name, value in BEER.items()
        if name not in ("gravity", "expected_final_gravity")
    }
    readings = [{"after": f"{day} d", "gravity": 1.016} for day in (9, 13)]
    done = house.made(BOTTLING, {**beer, "fermentation": {**wort, "readings": readings}})
    assert done["safe_if_lowest"]
    readings = [{"after": "5 d", "gravity": 1.032}, {"after": "6 d", "gravity": 1.028}]
    body = {**beer, "fermentation": {**wort, "readings": readings}}
    answer = house.ask("POST", BOTTLING, body)
    assert answer.status_code == 422
    assert answer.json["type"] == "/problems/bottle-pressure"


@pytest.mark.parametrize(
    ("changes", "pointer"),
    [
        ({"carbonation": "3.2 volumes"}, "/carbonation"),
        ({"bottle": "twist_off"}, "/bottle"),
        ({"bottle": "glass_carboy"}, "/bottle"),
        ({"bottle": "heavy", "carbonation": "4.5 volumes"}, "/carbonation"),
    ],
)
def test_a_bottle_holds_what_its_kind_may(
    house: House, changes: dict[str, Any], pointer: str
) -> None:
    answer = house.ask("POST", BOTTLING, {**BEER, **changes})
    assert answer.status_code == 422
    assert answer.json["type"] == "/problems/bottle-pressure"
    assert "bar at" in answer.json["detail"]
    assert pointers(answer) == [pointer]


def test_stronger_bottles_bear_more(house: House) -> None:
    for bottle in ("heavy", "champagne", "pet"):
        answer = house.made(BOTTLING, {**BEER, "bottle": bottle, "carbonation": "3.5 volumes"})
        assert answer["safe_if_lowest"]


@pytest.mark.parametrize(
    ("changes", "fresh"),
    [
        ({}, False),
        ({"aged": "2 month"}, True),
        ({"alcohol": "9 %"}, True),
        ({"fined_or_filtered": True}, True),
    ],
)
def test_tired_yeast_is_helped_by_fresh(house: House, changes: dict[str, Any], fresh: bool) -> None:
    answer = house.made(BOTTLING, {**BEER, **changes})
    # Reference case 23: 20 L at 1e6 cells/mL and 1e10 cells/g.
    expected = {"value": pytest.approx(2.0), "unit": "g"} if fresh else None
    assert answer["yeast"] == expected
    assert ("fresh_yeast" in codes(answer)) is fresh


@pytest.mark.parametrize(
    ("place", "value", "pointer"),
    [
        ("expected_final_gravity", None, ""),
        ("gravity", None, "/gravity"),
        ("fermentation", {"original_gravity": 1.06}, ""),
        ("bottle", "jar", "/bottle"),
        ("carbonation", "9 volumes", "/carbonation"),
        ("fined_or_filtered", "yes", "/fined_or_filtered"),
    ],
)
def test_what_is_not_told_once_is_refused(
    house: House, place: str, value: Any, pointer: str
) -> None:
    answer = house.ask("POST", BOTTLING, {**BEER, place: value})
    assert answer.status_code == 422
    assert answer.json["type"] == "/problems/invalid-body"
    assert pointers(answer) == [pointer]


# Reference 5.2 with the residual of the beer fit at 20 degC, 0.839: g per litre and volume.
@pytest.mark.parametrize(
    ("sugar", "per_volume"),
    [("sucrose", 3.844), ("glucose", 4.046), ("glucose_monohydrate", 4.451)],
)
def test_each_sugar_is_weighed_by_the_gas_it_gives(
    house: House, sugar: str, per_volume: float
) -> None:
    body = {
        "volume": "10 L",
        "carbonation": "2.4 volumes",
        "highest_temperature": "20 degC",
        "sugar": sugar,
    }
    answer = house.made(PRIMING, body)
    assert answer["residual_carbonation"]["value"] == pytest.approx(0.839, abs=5e-4)
    expected_g = 10.0 * (2.4 - 0.839) * per_volume
    assert answer["sugar"]["value"] == pytest.approx(expected_g, rel=1e-3)


def test_the_highest_temperature_since_decides_what_gas_is_left(house: House) -> None:
    body = {"volume": "10 L", "carbonation": "2.4 volumes"}
    cold, warm = (
        house.made(PRIMING, {**body, "highest_temperature": f"{degrees} degC"})
        for degrees in (10, 25)
    )
    assert cold["residual_carbonation"]["value"] == pytest.approx(1.137, abs=5e-4)
    assert warm["residual_carbonation"]["value"] == pytest.approx(0.731, abs=5e-4)
    assert warm["sugar"]["value"] > cold["sugar"]["value"]


def test_beer_that_holds_the_gas_already_gets_no_sugar(house: House) -> None:
    body = {"volume": "10 L", "carbonation": "0.5 volumes", "highest_temperature": "20 degC"}
    answer = house.made(PRIMING, body)
    assert answer["sugar"]["value"] == 0.0
    assert codes(answer) == {"no_sugar_needed"}


# Reference 5.1: gauge bar for 2.4 volumes.
@pytest.mark.parametrize(("degrees", "bar"), [(0, 0.516), (4, 0.741), (10, 1.123), (20, 1.878)])
def test_a_keg_is_set_by_pressure_and_temperature(house: House, degrees: float, bar: float) -> None:
    beer = {"temperature": f"{degrees} degC"}
    wanted = house.made(KEG, {**beer, "carbonation": "2.4 volumes"})
    assert wanted["pressure"] == {"value": pytest.approx(bar, abs=0.001), "unit": "bar"}
    back = house.made(KEG, {**beer, "pressure": wanted["pressure"]})
    assert back["carbonation"]["value"] == pytest.approx(2.4)
    assert "co2_cylinder" in codes(wanted, "cautions")


def test_a_keg_is_asked_by_one_of_the_two(house: House) -> None:
    beer = {"temperature": "4 degC"}
    both = {**beer, "carbonation": "2.4 volumes", "pressure": "12 psi"}
    for body in (beer, both):
        answer = house.ask("POST", KEG, body)
        assert answer.status_code == 422
        assert answer.json["errors"][0]["accepted"] == ["carbonation", "pressure"]


def test_pressure_and_gas_are_read_in_the_units_of_their_instruments(house: House) -> None:
    beer = {"temperature": "4 degC"}
    in_grams = house.made(KEG, {**beer, "carbonation": f"{2.4 * 1.977} g/L"})
    in_volumes = house.made(KEG, {**beer, "carbonation": "2.4 volumes"})
    assert in_grams["pressure"]["value"] == pytest.approx(in_volumes["pressure"]["value"])
    shown = house.made(f"{KEG}?units=us", {**beer, "pressure": "12 psi"})
    assert shown["pressure"] == {"value": pytest.approx(12.0), "unit": "psi"}


def test_numbers_that_are_refused_together_say_what_would_be_accepted(house: House) -> None:
    body = {
        "volume": "10 L",
        "carbonation": "2.4 volumes",
        "highest_temperature": "-2 degC",
        "pressure": "3 bar",
    }
    answer = house.ask("POST", PRIMING, body)
    assert answer.status_code == 422
    assert "residual carbonation" in answer.json["detail"]
    assert answer.json["errors"][0]["accepted"] == ["0 to 6 volumes"]
