"""Rules and constants at their edges, each held against the rule as it is stated."""

from dataclasses import replace

import pytest
from scipy.optimize import minimize_scalar

from wortwright.brewing import (
    alcohol,
    alkalinity,
    attenuation,
    blending,
    boil,
    bottling,
    colour,
    fermentation,
    gravity,
    hops,
)
from wortwright.brewing.carbonation import gauge_bar_for
from wortwright.brewing.errors import OutOfRangeError
from wortwright.brewing.ions import CHARGE
from wortwright.brewing.tables.packaging import BottleKind, PrimingSugar
from wortwright.brewing.tables.salts import salts

FORECAST = attenuation.FinalGravity(1.012, 1.010, 1.014, 0.76, tolerance_passed=False)
ORDINARY = attenuation.YeastAttenuation(0.75, 0.04)


@pytest.mark.parametrize(
    "function",
    [
        alcohol.apparent_attenuation,
        alcohol.apparent_attenuation_of_extract,
        alcohol.alcohol_by_volume,
        alcohol.real_attenuation,
    ],
)
@pytest.mark.parametrize(
    ("original", "final"), [(1.050, 1.051), (1.191, 1.010), (1.050, 0.969), (0.999, 0.998)]
)
def test_gravities_that_no_beer_has_are_refused(function, original, final):
    with pytest.raises(OutOfRangeError):
        function(original, final)


def test_biology_leaves_two_and_a_half_percent_of_the_alcohol_open():
    # Cutaia, Reid & Speers, J. Inst. Brew. 115:318, 2009, table VI.
    found = attenuation.alcohol(1.060, 1.014)
    assert found.low / found.by_volume == pytest.approx(0.975, abs=1e-9)
    assert found.high / found.by_volume == pytest.approx(1.025, abs=1e-9)


@pytest.mark.parametrize(
    ("rest_c", "shift"),
    [(62.0, 0.03), (64.5, 0.03), (64.75, 0.027), (67.0, 0.0), (69.5, -0.05), (72.0, -0.08)],
)
def test_a_rest_shifts_attenuation_as_is_stated(rest_c, shift):
    # 64-65 degC 2 to 4 points up, 69-70 degC 4 to 6 points down: common practice.
    found = attenuation.final_gravity_forecast(1.050, ORDINARY, rest_c)
    assert found.apparent_attenuation == pytest.approx(0.75 + shift, abs=1e-9)
    # Half of the shift is unsure.
    spread = (0.04**2 + (0.5 * shift) ** 2) ** 0.5
    assert found.high_80 - found.mean == pytest.approx(0.050 * spread, abs=1e-9)


def test_what_a_maker_states_is_four_points_unsure():
    assert attenuation.attenuation_as_stated(0.75) == ORDINARY


@pytest.mark.parametrize(
    ("original", "shift"), [(1.080, 0.0), (1.090, -0.0175), (1.100, -0.035), (1.120, -0.035)]
)
def test_a_strong_wort_shifts_attenuation_as_is_stated(original, shift):
    found = attenuation.final_gravity_forecast(original, ORDINARY)
    assert found.apparent_attenuation == pytest.approx(0.75 + shift, abs=1e-9)


def test_lots_that_are_the_same_are_used_evenly():
    lots = [blending.Lot(litres, 1.050, 1.010, 30.0, 12.0) for litres in (10.0, 30.0)]
    wanted = blending.WantedBlend(original_gravity=1.050)
    found = blending.volumes_for(lots, 20.0, wanted)
    assert found.volumes_l == pytest.approx((5.0, 15.0), abs=1e-4)
    assert found.misses == ()


@pytest.mark.parametrize(
    ("name", "noticed"),
    [
        ("original_gravity", 0.001),
        ("final_gravity", 0.001),
        ("alcohol_by_volume", 0.001),
        ("bitterness_ibu", 1.0),
        ("colour_ebc", 2.0),
    ],
)
def test_half_a_noticeable_difference_is_let_pass(name, noticed):
    made = blending.blend([blending.Lot(10.0, 1.050, 1.010, 30.0, 12.0)])
    near, far = (
        blending.WantedBlend(**{name: getattr(made, name) + share * noticed})
        for share in (0.49, 0.51)
    )
    assert blending.misses_of(made, near) == ()
    (miss,) = blending.misses_of(made, far)
    assert miss.by == pytest.approx(-0.51 * noticed)


def test_a_blend_is_attenuated_from_its_own_original_gravity():
    made = blending.blend([blending.Lot(10.0, 1.050, 1.010), blending.Lot(10.0, 1.070, 1.016)])
    points = (made.original_gravity - made.final_gravity) / (made.original_gravity - 1.0)
    assert made.apparent_attenuation == pytest.approx(points, abs=1e-12)
    extracts = (made.original_extract_plato - made.real_extract_plato) / made.original_extract_plato
    assert made.real_attenuation == pytest.approx(extracts, abs=1e-12)


STRONG, SMALL = (
    blending.Lot(20.0, 1.080, 1.018, 20.0, 40.0),
    blending.Lot(20.0, 1.045, 1.010, 40.0, 8.0),
)


def test_a_strength_between_two_lots_is_met():
    ends = [blending.blend([lot]).alcohol_by_volume for lot in (STRONG, SMALL)]
    strength = 0.3 * ends[0] + 0.7 * ends[1]
    wanted = blending.WantedBlend(alcohol_by_volume=strength)
    found = blending.volumes_for([STRONG, SMALL], 20.0, wanted)
    assert found.blend.alcohol_by_volume == pytest.approx(strength, abs=1e-6)
    assert found.volumes_l[0] == pytest.approx(6.0, abs=0.01)


@pytest.mark.parametrize(
    "wanted",
    [
        {"original_gravity": 1.060, "bitterness_ibu": 20.0},
        {"final_gravity": 1.015, "bitterness_ibu": 34.0},
        {"alcohol_by_volume": 0.060, "original_gravity": 1.068},
        {"colour_ebc": 30.0, "bitterness_ibu": 33.0},
    ],
)
def test_wishes_that_cannot_all_be_met_are_weighed_by_what_is_noticed(wanted):
    noticed = {"bitterness_ibu": 1.0, "colour_ebc": 2.0}

    def missed(share):
        lots = [replace(STRONG, volume_l=share), replace(SMALL, volume_l=1.0 - share)]
        made = blending.blend(lots)
        return sum(
            ((getattr(made, name) - value) / noticed.get(name, 0.001)) ** 2
            for name, value in wanted.items()
        )

    best = minimize_scalar(missed, bounds=(0.01, 0.99), method="bounded", options={"xatol": 1e-7})
    found = blending.volumes_for([STRONG, SMALL], 20.0, blending.WantedBlend(**wanted))
    assert found.volumes_l[0] / 20.0 == pytest.approx(best.x, abs=0.004)


def test_less_than_no_beer_is_not_blended():
    with pytest.raises(OutOfRangeError):
        blending.blend([blending.Lot(10.0, 1.050, 1.010), blending.Lot(-1.0, 1.050, 1.010)])


def test_bottles_stand_at_25_degrees_unless_told_and_bear_exactly_their_limit():
    beer = bottling.BeerToBottle(20.0, 1.010, 1.010, 1.010, 20.0)
    plan = bottling.bottling_plan(beer, 3.0, PrimingSugar.SUCROSE, BottleKind.STANDARD)
    assert plan.safe_if_lowest
    assert plan.gauge_bar == pytest.approx(gauge_bar_for(3.0, 25.0))
    assert plan.hot_gauge_bar == pytest.approx(gauge_bar_for(3.0, 40.0))


@pytest.mark.parametrize(
    ("days", "strength", "needed"),
    [(30.0, 0.05, False), (30.5, 0.05, True), (5.0, 0.079, False), (5.0, 0.08, True)],
)
def test_a_month_or_eight_percent_call_for_fresh_yeast(days, strength, needed):
    assert bottling.needs_fresh_yeast(days, strength, fined_or_filtered=False) is needed


@pytest.mark.parametrize(
    ("stayed", "state"),
    [(2.9, "not_long_enough"), (3.0, "finished")],
)
def test_gravity_has_to_stay_for_three_days(stayed, state):
    readings = [fermentation.GravityReading(day, 1.012) for day in (10.0, 10.0 + stayed)]
    assert fermentation.progress(readings, FORECAST).state == state


def test_a_fall_of_more_than_a_point_is_no_stay():
    readings = [
        fermentation.GravityReading(10.0, 1.01300),
        fermentation.GravityReading(14, 1.01197),
    ]
    found = fermentation.progress(readings, FORECAST)
    assert (found.state, found.days_stable) == ("falling", 0.0)
    assert fermentation.progress([], FORECAST).days_stable == 0.0


@pytest.mark.parametrize(("high", "state"), [(1.015, "finished"), (1.0155, "stuck")])
def test_a_point_above_the_forecast_is_not_yet_stuck(high, state):
    readings = [fermentation.GravityReading(day, high) for day in (10.0, 14.0)]
    assert fermentation.progress(readings, FORECAST).state == state


@pytest.mark.parametrize("plato", [0.0, 1.0, 12.0, 30.0, 41.9])
def test_extract_and_gravity_come_back_to_the_last_digits(plato):
    sg = gravity.gravity_from_plato(plato)
    assert gravity.plato_from_gravity(sg) == pytest.approx(plato, abs=1e-11)
    held = gravity.extract_kg_per_l(sg)
    assert gravity.gravity_from_extract_kg_per_l(held) == pytest.approx(sg, abs=1e-12)


@pytest.mark.parametrize("lovibond", [0.0, 0.5, 1.0, 1.5, 1.76, 1.77, 1.85, 2.0, 10.0])
def test_lovibond_comes_back_where_its_two_lines_meet(lovibond):
    ebc = colour.ebc_from_lovibond(lovibond)
    assert colour.lovibond_from_ebc(ebc) == pytest.approx(lovibond, abs=1e-12)
    # The steeper line is the higher one above their crossing, the other below.
    assert ebc == pytest.approx(max(1.97 * lovibond, 2.65 * lovibond - 1.2), abs=1e-12)


def test_beer_colour_is_supported_up_to_where_its_curve_was_fitted():
    # Morey's letter: below 50 SRM, which is MCU 167.
    at_167 = colour.srm_from_ebc(colour.beer_colour_ebc(167.0))
    assert at_167 == pytest.approx(colour.DARKEST_SUPPORTED_SRM, abs=0.2)


@pytest.mark.parametrize("ph", [5.0, 6.352, 8.0, 9.5])
def test_dissolved_gas_and_bicarbonate_stand_in_the_ratio_of_carbonic_acid(ph):
    gas = alkalinity.carbon_dioxide_mg_l(2.0, ph) / 44.009
    bicarbonate = alkalinity.bicarbonate_mg_l(2.0, ph) / 61.016
    assert gas / bicarbonate == pytest.approx(10.0 ** (6.352 - ph), rel=1e-6)


def test_a_kettle_is_not_boiled_dry():
    with pytest.raises(OutOfRangeError):
        boil.boil_time_min(30.0, 0.0, 3.0)


def test_first_wort_hops_count_a_tenth_more():
    assert pytest.approx(1.10) == hops.FIRST_WORT_FACTOR  # common practice


def test_every_salt_is_neutral():
    for each in salts():
        charges = [count * CHARGE[ion] for ion, count in each.ions if ion != "water"]
        assert sum(charges) == 0
