"""What practitioners state. It shows that the formulas live in the same world, and proves none."""

import pytest

from published.cases import cases
from wortwright.brewing import attenuation, boil, bottling, gravity, heat, mash_water, water_density
from wortwright.brewing.tables.yeast import YeastClass
from wortwright.calibration.efficiency import forecast_mash_efficiency
from wortwright.calibration.fit import fit_calibration
from wortwright.calibration.posterior import MashPlan
from wortwright.records.setup import GrainHeldBy, LauterMethod, Setup, Vessel, Vessels

POUND_KG, US_GALLON_L = 0.45359237, 3.785411784
BEFORE, AFTER = 1.072, 1.100
MALT = 0.80 * 0.96
KETTLE_L = 11.0 * US_GALLON_L


def kettle_l(loss_l):
    """Wort before and after the boil for 4 US gal of 1.100 in the fermenter."""
    after_l = 4.0 * US_GALLON_L + loss_l
    extract_kg = gravity.extract_kg(after_l, AFTER)
    return gravity.volume_at_gravity_l(extract_kg, BEFORE), after_l


def boiled_away_l(loss_l):
    before_l, after_l = kettle_l(loss_l)
    return before_l - after_l


def bag_over_grain():
    return heat.wet_bag_kg(1.0, MALT * 0.93, heat.FIRST_LIFT_L_PER_KG, BEFORE)


def fall_c_per_h():
    start_c, end_c, room_c = 66.11, 63.33, 20.0
    rate = heat.cooling_rate_per_min(start_c, end_c, room_c, 90.0)
    half_way_c = heat.cooled_temperature_c(start_c, room_c, rate, 15.0)
    return half_way_c - heat.cooled_temperature_c(half_way_c, room_c, rate, 60.0)


def final_gravity(original):
    yeast = attenuation.attenuation_of_class(YeastClass.HIGH)
    return attenuation.final_gravity_forecast(original, yeast).mean


def is_as_efficient_as_is_expected(loss_l):
    """Whether 20 lb of grain to that wort lie within the interval without any history."""
    before_l, after_l = kettle_l(loss_l)
    assert boil.gravity_after_boil(BEFORE, before_l, after_l) == pytest.approx(AFTER, abs=1e-6)
    grain_kg = 20.0 * POUND_KG
    shown = gravity.extract_kg(before_l, BEFORE) / (grain_kg * MALT)
    setup = Setup(
        "bag in a kettle",
        LauterMethod.NO_SPARGE,
        Vessels(Vessel(KETTLE_L)),
        grain_held_by=GrainHeldBy.BAG,
    )
    unknown = fit_calibration(setup, ())
    low, high = forecast_mash_efficiency(unknown, MashPlan(grain_kg, MALT, before_l)).interval(0.95)
    return low < shown < high


def fits_an_11_gallon_kettle(pounds):
    # 5 US gal at 1.110, 1.5 L left in the kettle, 6 L boiled away; 0.7 L/kg of water gone.
    before_l = 5.0 * US_GALLON_L + 1.5 + 6.0
    grain_kg = pounds * POUND_KG
    strike_l = mash_water.strike_water_l(before_l, grain_kg, 0.7)
    mash_l = mash_water.mash_volume_l(strike_l, grain_kg)
    hot_l = water_density.hot_volume_from_20_l(mash_l, 67.0)
    boiling_l = water_density.hot_volume_from_20_l(before_l, 100.0)
    return max(hot_l, boiling_l / 0.8) <= KETTLE_L


def wants_fresh_yeast(days):
    return bottling.needs_fresh_yeast(days, 0.10, fined_or_filtered=False)


STATED = {
    "boiled_away_l": boiled_away_l,
    "efficient_as_expected": is_as_efficient_as_is_expected,
    "fits_11_us_gal": fits_an_11_gallon_kettle,
    "fall_c_per_h": fall_c_per_h,
    "bag_over_grain": bag_over_grain,
    "final_gravity": final_gravity,
    "wants_fresh_yeast": wants_fresh_yeast,
}


@pytest.mark.parametrize("case", cases("practice"))
def test_what_practitioners_state(case):
    quantity, *of = case.inputs.values()
    assert STATED[quantity](*of) == case.expected


@pytest.mark.parametrize("yeast_class", [YeastClass.MEDIUM, YeastClass.HIGH])
def test_stated_final_gravities_of_strong_beer_lie_within_the_forecast(yeast_class):
    yeast = attenuation.attenuation_of_class(yeast_class)
    forecast = attenuation.final_gravity_forecast(AFTER, yeast)
    assert forecast.low_80 <= 1.030
    assert forecast.high_80 >= 1.024
