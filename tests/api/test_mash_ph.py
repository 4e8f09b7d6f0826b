"""The pH of a mash through the service, against a balance solved by hand."""

from typing import Any

import pytest

from api.house import House, changed, pointers
from api.water_cases import DARK, DARK_WATER, FORECAST, PATH, PURE, codes


def mash_ph_by_hand(
    calcium: float, magnesium: float, alkalinity_caco3: float, litres_per_kg: float
) -> float:
    """Bisect the balance of protons of a kilogram of the dark grist, species written out."""
    low, high = 4.0, 7.0
    carbon = alkalinity_caco3 / 50.043
    from_phosphate = calcium / 20.039 / 3.5 + magnesium / 12.1525 / 7.0
    while high - low > 1e-7:
        ph = (low + high) / 2.0
        bicarbonate = carbon * 4.446e-7 / (4.446e-7 + 10.0**-ph)
        wanted = litres_per_kg * (carbon - bicarbonate - from_phosphate)
        for share, distilled_ph, buffering in (
            (0.8, 5.70, 40.0),
            (0.1, 4.70, 45.0),
            (0.1, 4.60, 40.0),
        ):
            wanted += share * buffering * (distilled_ph - ph)
        low, high = (ph, high) if wanted > 0.0 else (low, ph)
    return ph


def test_the_dark_grist_gets_the_ph_that_a_balance_solved_by_hand_gives(house: House) -> None:
    answer = house.made(FORECAST, DARK)
    assert answer["ph"] == pytest.approx(mash_ph_by_hand(60.0, 10.0, 75.0, 3.15), abs=0.01)
    assert answer["low"] == pytest.approx(answer["ph"] - 0.2, abs=0.011)
    assert [malt["malt_class"] for malt in answer["malts"]] == ["pale", "crystal_dark", "black"]


def test_the_same_mash_in_a_treatment_without_a_target_gets_the_same_ph(house: House) -> None:
    body = {"source": DARK_WATER, "mash_water": DARK["water_volume"], "mash": DARK["mash"]}
    assert house.made(PATH, body)["mash_ph"]["ph"] == house.made(FORECAST, DARK)["ph"]


@pytest.mark.parametrize(
    ("path", "value", "sign"),
    [
        ("/water/report/0/value", 200, -1),
        ("/water/report/1/value", 80, -1),
        ("/water/report/5/value", 200, +1),
        ("/mash/grist/1/mass", "1.5 kg", -1),
        ("/mash/grist/2/mass", "1.5 kg", -1),
        ("/mash/grist/0/mass", "9 kg", +1),
        ("/water/report/2/value", 200, 0),
        ("/water/report/3/value", 200, 0),
        ("/water/report/4/value", 200, 0),
    ],
)
def test_mash_ph_moves_the_right_way_with_each_input(
    house: House, path: str, value: Any, sign: int
) -> None:
    before = house.made(FORECAST, DARK)["ph"]
    after = house.made(FORECAST, changed(DARK, path, value))["ph"]
    assert (after > before) - (after < before) == sign


def test_a_hot_mash_reads_lower_than_its_cooled_sample(house: House) -> None:
    # Briggs et al. 2004, p. 115 (quoted): 0.35 at 65 degC.
    answer = house.made(
        FORECAST, changed(DARK, "/mash", {**DARK["mash"], "temperature": "65 degC"})
    )
    assert answer["ph"] - answer["ph_in_hot_mash"] == pytest.approx(0.35, abs=0.011)


def test_acid_for_a_mash_in_distilled_water_is_the_worked_case(house: House) -> None:
    # Reference case 14: 5 kg, 5.75, B 40, to 5.40: 6.113 mL of lactic acid of 88 %.
    malt = {
        "name": "Lot 12",
        "mass": "5 kg",
        "distilled_water_ph": 5.75,
        "buffering_meq_per_kg_ph": 40,
    }
    ph = {"target_ph": 5.4, "acid": "lactic", "acid_strength_by_mass": "88 %"}
    body = {"mash": {"grist": [malt], "ph": ph}, "water": PURE, "water_volume": "15 L"}
    answer = house.made(FORECAST, body)
    assert answer["ph"] == 5.75
    assert answer["dose"]["acid"]["total"]["value"] == pytest.approx(6.113, rel=0.001)
    assert answer["dose"]["acid"]["first"]["value"] == pytest.approx(6.113 / 2.0, rel=0.001)
    assert answer["dose"]["base"] is None
    assert codes(answer, "cautions") == ["acid"]


def test_a_mash_below_its_target_gets_base_and_lime_its_caution(house: House) -> None:
    ph = {"target_ph": 5.6, "base": "slaked lime"}
    answer = house.made(FORECAST, changed(DARK, "/mash", {**DARK["mash"], "ph": ph}))
    assert answer["dose"]["agent"] == "slaked_lime"
    assert answer["dose"]["base"]["total"]["value"] > 0.0
    assert codes(answer, "cautions") == ["lime"]


@pytest.mark.parametrize(("instrument", "moves"), [("meter", True), ("strip", False)])
def test_meter_readings_teach_and_strips_do_not(house: House, instrument: str, moves: bool) -> None:
    reading = {"forecast_ph": 5.4, "read_ph": 5.55, "instrument": instrument}
    taught = changed(DARK, "/mash", {**DARK["mash"], "ph": {"readings": [reading] * 5}})
    before, after = house.made(FORECAST, DARK), house.made(FORECAST, taught)
    assert (after["ph"] > before["ph"]) is moves
    assert after["ph_by_balance"] == before["ph_by_balance"]
    assert after["readings_used"] == (5 if moves else 0)
    assert ("strips_left_out" in codes(after)) is not moves


def test_the_rest_of_a_dose_lies_on_the_line_through_both_readings(house: House) -> None:
    # 3 mL moved it by 0.10; 0.12 more is wanted.
    body = {"acid_given": "3 mL", "ph_before": 5.62, "ph_after": 5.52, "target_ph": 5.4}
    answer = house.made("/v1/mash-ph-corrections", body)
    assert answer["acid"] == {"value": pytest.approx(3.6), "unit": "mL"}
    assert answer["base"] is None


def test_readings_that_moved_the_wrong_way_give_no_dose(house: House) -> None:
    body = {"acid_given": "3 mL", "ph_before": 5.5, "ph_after": 5.6, "target_ph": 5.4}
    answer = house.ask("POST", "/v1/mash-ph-corrections", body)
    assert answer.status_code == 422
    assert pointers(answer) == ["/ph_after"]
