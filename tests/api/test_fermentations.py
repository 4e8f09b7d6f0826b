from typing import Any

import pytest

from api.house import House, pointers

PATH, REFRACTOMETER = "/v1/fermentations", "/v1/refractometer-readings"


def fermentation(house: House, *readings: tuple[float, float], **changes: Any) -> Any:
    lines = [{"after": f"{day} d", "gravity": gravity} for day, gravity in readings]
    return house.made(PATH, {"original_gravity": 1.060, "readings": lines, **changes})


def test_a_barley_wine_is_reported_near_ten_percent_with_its_method(house: House) -> None:
    answer = fermentation(house, (30, 1.024), (34, 1.024), original_gravity=1.100)
    alcohol = answer["alcohol"]
    assert 0.100 <= alcohol["by_volume"]["value"] <= 0.103
    assert "Balling" in alcohol["method"]
    assert alcohol["low"]["value"] < alcohol["by_volume"]["value"] < alcohol["high"]["value"]
    assert "strong_drink" in {entry["code"] for entry in answer["cautions"]}


# REF of the reference, gravity-and-alcohol 5.3: full mass balance with tables of density.
@pytest.mark.parametrize(
    ("original", "final", "by_volume"),
    [
        (1.040, 1.010, 3.90),
        (1.060, 1.014, 6.03),
        (1.080, 1.018, 8.21),
        (1.100, 1.022, 10.43),
        (1.110, 1.026, 11.28),
    ],
)
def test_alcohol_agrees_with_the_full_mass_balance(
    house: House, original: float, final: float, by_volume: float
) -> None:
    answer = fermentation(house, (9, final), original_gravity=original)
    # The method is good to 0.05 % by volume up to 1.110.
    assert 100.0 * answer["alcohol"]["by_volume"]["value"] == pytest.approx(by_volume, abs=0.055)


# Extracts of the reference, 5.3, and Balling's factors as Eckhardt compiled them: alcohol is the
# factor times the apparent extract fermented, and takes 2.0665 - 0.010665 OE of real extract.
@pytest.mark.parametrize(
    ("original", "final", "extract", "apparent", "factor"),
    [(1.040, 1.010, 10.004, 2.568, 0.4148), (1.100, 1.022, 23.786, 5.590, 0.4434)],
)
def test_real_attenuation_follows_ballings_factors(
    house: House, original: float, final: float, extract: float, apparent: float, factor: float
) -> None:
    fermented = factor * (extract - apparent) * (2.0665 - 0.010665 * extract)
    answer = fermentation(house, (9, final), original_gravity=original)
    assert answer["real_attenuation"]["value"] == pytest.approx(fermented / extract, abs=3e-4)


@pytest.mark.parametrize(
    ("readings", "state"),
    [
        ([], "too_few_readings"),
        ([(3, 1.030)], "too_few_readings"),
        ([(3, 1.030), (5, 1.020)], "falling"),
        ([(3, 1.030), (9, 1.016), (10, 1.016)], "not_long_enough"),
        ([(9, 1.016), (13, 1.016)], "finished"),
        ([(13, 1.016), (9, 1.016)], "finished"),
        ([(9, 1.030), (13, 1.030)], "stuck"),
    ],
)
def test_a_fermentation_has_finished_when_its_gravity_stays_where_it_should(
    house: House, readings: list[tuple[float, float]], state: str
) -> None:
    answer = fermentation(house, *readings, yeast={"yeast_class": "medium"})
    assert answer["state"] == state
    assert answer["finished"] is (state == "finished")
    told = {entry["code"] for entry in answer["cautions"]}
    assert ("bottle_pressure" in told) is (state != "finished")


def test_dextrins_are_waited_for(house: House) -> None:
    readings = ((9, 1.004), (13, 1.004))
    answer = fermentation(house, *readings, yeast={"yeast_class": "diastatic"})
    assert answer["state"] == "not_long_enough"
    assert answer["must_stay_for"] == {"value": 14.0, "unit": "d"}


def test_final_gravity_moves_as_mash_and_sugar_would_have_it(house: House) -> None:
    def mean(**changes: Any) -> float:
        gravity: float = fermentation(house, **changes)["final_gravity"]["mean"]["value"]
        return gravity

    usual = mean(mash_temperature="67 degC")
    assert mean(mash_temperature="63 degC") < usual < mean(mash_temperature="71 degC")
    assert mean(mash_temperature="67 degC", sugar_share="15 %") < usual
    assert mean(yeast={"yeast_class": "high"}) < mean(yeast={"yeast_class": "low"})


def test_what_bottling_has_to_reckon_with_is_the_low_end_until_it_has_finished(
    house: House,
) -> None:
    falling = fermentation(house, (3, 1.030), (5, 1.025), yeast={"yeast_class": "medium"})
    low = falling["final_gravity"]["interval_80"]["low"]["value"]
    assert falling["gravity_to_expect"]["value"] == low
    done = fermentation(house, (9, 1.016), (13, 1.016), yeast={"yeast_class": "medium"})
    assert done["gravity_to_expect"]["value"] == 1.016


def test_a_warm_sample_is_read_at_twenty_degrees(house: House) -> None:
    lines = [{"after": "9 d", "gravity": 1.014, "temperature": "30 degC"}]
    answer = fermentation(house, readings=lines)
    # A float in water of 30 degC sinks by 2.5 points: 995.65 against 998.20 kg/m3.
    assert answer["gravity"]["value"] == pytest.approx(1.0165, abs=0.0004)


@pytest.mark.parametrize(
    ("changes", "pointer"),
    [
        ({"readings": [{"after": "1 d", "gravity": 1.070}]}, "/readings/0/gravity"),
        ({"readings": [{"gravity": 1.020}]}, "/readings/0/after"),
        ({"original_gravity": 1.3}, "/original_gravity"),
        ({"mash_temperature": "50 degC"}, "/mash_temperature"),
        ({"sugar_share": "120 %"}, "/sugar_share"),
        ({"yeast": {"yeast_class": "lazy"}}, "/yeast/yeast_class"),
    ],
)
def test_what_makes_no_sense_is_refused_where_it_stands(
    house: House, changes: dict[str, Any], pointer: str
) -> None:
    answer = house.ask("POST", PATH, {"original_gravity": 1.060, **changes})
    assert answer.status_code == 422
    assert pointers(answer) == [pointer]


# Terrill's straight line at the points of the reference, gravity-and-alcohol section 4.
@pytest.mark.parametrize(
    ("original", "now", "gravity"),
    [(10, 5, 1.0089), (12, 6, 1.0107), (15, 7.5, 1.0134), (20, 10, 1.0178), (24, 13, 1.0249)],
)
def test_a_refractometer_in_beer_gives_an_estimate_and_its_error(
    house: House, original: float, now: float, gravity: float
) -> None:
    body = {
        "reading": f"{now} Brix",
        "original_reading": f"{original} Brix",
        "correction_factor": 1.0,
    }
    answer = house.made(REFRACTOMETER, body)
    assert answer["gravity"]["value"] == pytest.approx(gravity, abs=5e-5)
    ends = answer["interval"]
    assert ends["high"]["value"] - ends["low"]["value"] >= 0.006 - 1e-9
    assert "estimate_in_beer" in {entry["code"] for entry in answer["warnings"]}


def test_the_brewers_own_factor_is_learnt_from_pairs(house: House) -> None:
    # 1.048 is 11.914 degP and 1.060 is 14.741 degP (extract tables), read 5 % too high.
    pairs = [
        {"reading": f"{1.05 * 11.914:.3f} Brix", "gravity": 1.048},
        {"reading": f"{1.05 * 14.741:.3f} Brix", "gravity": 1.060},
    ]
    answer = house.made(REFRACTOMETER, {"reading": f"{1.05 * 9.99:.3f} Brix", "pairs": pairs})
    assert answer["correction_factor"] == pytest.approx(1.05, abs=0.001)
    assert answer["gravity"]["value"] == pytest.approx(1.040, abs=0.0002)
    assert answer["factor_from"] == "pairs"


def test_a_beer_does_not_read_more_than_its_wort(house: House) -> None:
    body = {"reading": "13 Brix", "original_reading": "12 Brix"}
    answer = house.ask("POST", REFRACTOMETER, body)
    assert answer.status_code == 422
    assert pointers(answer) == ["/reading"]
