"""Heat of the mash against the enthalpy of real water, and cooling against small steps of time."""

import pytest
from scipy.integrate import solve_ivp

from published import mash_by_steps as steps
from published.cases import cases
from published.extract_tables import solve
from published.icumsa import gravity_20
from wortwright.brewing import heat

GRAIN = 0.40 * 4.184
WATER_KJ_PER_KG_K = 4.184


def enthalpy_kj_per_kg(temperature_c):
    coolprop = pytest.importorskip("CoolProp.CoolProp")
    return coolprop.PropsSI("H", "T", temperature_c + 273.15, "P", 101325.0, "Water") / 1000.0


@pytest.mark.parametrize("case", cases("strike_by_enthalpy"))
def test_strike_water_gives_what_grain_and_vessel_take(case):
    assert heat.strike_temperature_c(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("strike_by_enthalpy"))
def test_strike_table_is_that_of_the_library(case):
    mash_c, grain_kg, grain_c, water_kg, vessel_kg, vessel_c = case.inputs.values()
    taken = GRAIN * grain_kg * (mash_c - grain_c)
    taken += WATER_KJ_PER_KG_K * vessel_kg * (mash_c - vessel_c)
    goal = enthalpy_kj_per_kg(mash_c) + taken / water_kg
    assert solve(enthalpy_kj_per_kg, goal, mash_c, 99.9) == case.printed


@pytest.mark.parametrize("case", cases("infusion_by_enthalpy"))
def test_infusion_gives_what_the_mash_takes(case):
    assert heat.infusion_kg(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("infusion_by_enthalpy"))
def test_infusion_table_is_that_of_the_library(case):
    from_c, to_c, grain_kg, water_kg, infusion_c, vessel_kg = case.inputs.values()
    cold, warm, hot = map(enthalpy_kj_per_kg, (from_c, to_c, infusion_c))
    taken = (GRAIN * grain_kg + WATER_KJ_PER_KG_K * vessel_kg) * (to_c - from_c)
    assert (taken + water_kg * (warm - cold)) / (hot - warm) == case.printed


def cooled(start_c, room_c, per_min, time_min):
    found = solve_ivp(
        lambda _, t: [-per_min * (t[0] - room_c)],
        (0.0, time_min),
        [start_c],
        rtol=1e-11,
        atol=1e-11,
    )
    return found.y[0, -1]


@pytest.mark.parametrize("case", cases("cooled_by_steps"))
def test_cooling_of_a_vessel_in_time(case):
    start_c, room_c, loss_w_per_k, heat_kg, time_min = case.inputs.values()
    per_min = 60.0 * loss_w_per_k / (heat_kg * 4184.0)
    assert cooled(start_c, room_c, per_min, time_min) == case.printed
    assert heat.cooled_temperature_c(start_c, room_c, per_min, time_min) == case.expected


@pytest.mark.parametrize("case", cases("cooling_rate_by_steps"))
def test_rate_of_cooling_tried_until_it_fits(case):
    start_c, end_c, room_c, time_min = case.inputs.values()
    found = solve(lambda rate: cooled(start_c, room_c, rate, time_min), end_c, 1e-6, 0.1)
    assert found == case.printed
    assert heat.cooling_rate_per_min(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("wet_bag_by_steps"))
def test_wet_bag_weighed_from_its_parts(case):
    grain_kg, extract_yield, conversion, water_l, held = case.inputs.values()
    tun = steps.mash(grain_kg, extract_yield, conversion, water_l)
    left = tun.part(held * grain_kg / tun.litres)
    assert grain_kg - tun.extract + left.water + left.extract == case.printed
    gravity = gravity_20(tun.plato)
    bag_kg = heat.wet_bag_kg(grain_kg, extract_yield * conversion, held * grain_kg, gravity)
    assert bag_kg == case.expected


@pytest.mark.parametrize("case", cases("wet_spent_grain"))
def test_wet_spent_grain_weighs_what_is_stated(case):
    grain_kg, extracted, moisture, malt_moisture = case.inputs.values()
    dry_kg = grain_kg * (1.0 - extracted - malt_moisture)
    held_kg = dry_kg / (1.0 - moisture) - dry_kg - malt_moisture * grain_kg
    assert heat.wet_bag_kg(grain_kg, extracted, held_kg / 0.9982, 1.0) == case.expected
