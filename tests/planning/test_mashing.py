"""Water of the mash against worked balances of water, extract and heat."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from laws import tried
from planning.builders import (
    calibration,
    calibrations,
    crystal,
    hop,
    pale,
    plan,
    recipe,
    recipe_of_this_setup,
    recipes,
    setup,
    sugar,
)
from wortwright.calibration.efficiency import mean_mash_efficiency
from wortwright.calibration.posterior import Calibration, MashPlan
from wortwright.planning.mashing import USUAL_REST, expect_mash, rests_of
from wortwright.planning.plan import Plan
from wortwright.planning.target import Preferences, Target
from wortwright.records.grist import AddedTo, HopForm, Moment, Purpose
from wortwright.records.recipe import MashStep, Recipe, VolumeAt
from wortwright.records.setup import GrainHeldBy, LauterMethod, Vessel, Vessels

NO_BOIL = {"volume_l": 28.0, "boil_time_min": 0.0, "hop_bill": ()}


def of_grain(grain_kg: float, known: Calibration) -> Plan:
    """The plan of a recipe that comes back: this grain and 28 L before the boil."""
    own = recipe_of_this_setup(recipe(**NO_BOIL, grist=(pale(grain_kg),)), known)
    return plan(own, known)


def test_a_bag_takes_the_water_of_the_worked_case() -> None:
    # 5 kg, e 0.77, c 0.95, apparent absorption 0.60: 31.00 L in, 28.00 L out, E_m 0.7999.
    known = calibration(loss=0.0, conversion=0.95, absorption=0.60 + 0.617 * 0.77 * 0.95)
    got = of_grain(5.0, known)
    assert got.water.strike_l == pytest.approx(31.00, abs=0.005)
    assert got.water.sparge_l == ()
    assert got.forecast.mash_efficiency.mean == pytest.approx(0.7999, abs=0.0003)


def test_a_batch_sparge_takes_the_water_of_the_worked_case() -> None:
    # 6 kg, Vb 28, a_w 1.5, D 1, c 1, e 0.77, two runnings, step by step.
    known = calibration(
        LauterMethod.BATCH_SPARGE, 2, loss=0.0, conversion=1.0, absorption=1.5, dead_space_l=1.0
    )
    got = of_grain(6.0, known)
    assert got.water.strike_l == pytest.approx(21.15, abs=0.005)
    assert list(got.water.sparge_l) == pytest.approx([14.00], abs=0.005)
    assert got.forecast.mash_efficiency.mean == pytest.approx(0.8264, abs=0.0003)


def test_a_continuous_sparge_takes_the_water_of_the_worked_case() -> None:
    # 6 kg in 18 L, Vb 28, a_w 1.5, D 1, three tanks, a fifth bypassed, v_x 0.616: S 17.15 L.
    known = calibration(
        LauterMethod.CONTINUOUS_SPARGE,
        1,
        loss=0.0,
        conversion=1.0,
        absorption=1.5,
        dead_space_l=1.0,
        bypass=0.2,
    )
    got = of_grain(6.0, known)
    assert got.water.strike_l == pytest.approx(18.0, abs=0.005)
    assert list(got.water.sparge_l) == pytest.approx([17.15], abs=0.02)
    assert got.forecast.mash_efficiency.mean == pytest.approx(0.8843, abs=0.0005)


@tried(150)
@given(made=recipes(), known=calibrations(), gravity=st.floats(1.03, 1.12))
def test_water_is_conserved_along_the_brew(
    made: Recipe, known: Calibration, gravity: float
) -> None:
    own = recipe_of_this_setup(made, known)
    got = plan(own, known, None, Target(gravity=gravity))
    water = got.water
    assert water.total_l == pytest.approx(water.strike_l + sum(water.sparge_l), rel=1e-12)
    assert water.total_l == pytest.approx(
        water.preboil_l + water.absorbed_l + water.dead_space_l, rel=1e-9
    )
    kettle_kg = sum(line.exact_kg for line in got.grist if line.added_to is AddedTo.KETTLE)
    assert water.preboil_l - water.boiled_off_l + 0.617 * kettle_kg == pytest.approx(
        water.postboil_l, rel=1e-9
    )
    hours = own.boil_time_min / 60.0
    assert water.boiled_off_l == pytest.approx(known.constants["boil_off_l_per_h"].mean * hours)
    assert water.postboil_l - water.kettle_loss_l == pytest.approx(water.fermenter_l, rel=1e-9)
    assert water.fermenter_l - water.fermenter_loss_l == pytest.approx(water.packaged_l, rel=1e-9)
    counted = {
        VolumeAt.KETTLE: water.postboil_l,
        VolumeAt.FERMENTER: water.fermenter_l,
        VolumeAt.PACKAGE: water.packaged_l,
    }
    assert counted[own.volume_at] == pytest.approx(own.volume_l, rel=1e-9)


@tried(100)
@given(known=calibrations(), load=st.floats(0.08, 0.5))
def test_water_and_dissolved_extract_in_are_wort_out_and_wort_held(
    known: Calibration, load: float
) -> None:
    on = setup(known.efficiency.method, known.efficiency.runnings)
    mash = expect_mash(on, known, MashPlan(load * 25.0, 0.77, 25.0), (USUAL_REST,))
    dissolved_kg = mash.conversion * 0.77 * mash.grain_kg
    water_l = mash.strike_water_l + sum(mash.sparge_l)
    held_l = known.constants["true_absorption_l_per_kg"].mean * mash.grain_kg
    assert water_l + 0.617 * dissolved_kg == pytest.approx(
        25.0 + held_l + known.constants["dead_space_l"].mean, rel=1e-9
    )


def test_hops_in_the_kettle_and_in_the_fermenter_keep_their_wort() -> None:
    # 6 L/kg of pellets and 8 L/kg of whole hops, common practice.
    bill = (hop(0.100), hop(0.050, form=HopForm.WHOLE), hop(0.080, 0.0, Purpose.AROMA, Moment.DRY))
    known = calibration(kettle_loss_l=1.0, fermenter_loss_l=0.7)
    own = recipe_of_this_setup(recipe(hop_bill=bill), known)
    water = plan(own, known).water
    assert water.kettle_loss_l == pytest.approx(1.0 + 0.6 + 0.4, rel=1e-9)
    assert water.fermenter_loss_l == pytest.approx(0.7 + 0.48, rel=1e-9)


def test_sugar_in_the_kettle_takes_the_place_of_water() -> None:
    known = calibration(boil_off_l_per_h=3.0)
    made = recipe(grist=(pale(), crystal(), sugar(1.0)), hop_bill=())
    water = plan(recipe_of_this_setup(made, known), known).water
    assert water.preboil_l == pytest.approx(20.0 + 3.0 - 0.617, rel=1e-9)


@pytest.mark.parametrize(("tun", "vessel_heat_kg"), [(None, 0.0), (Vessel(60.0), 0.8)])
def test_strike_water_and_grain_meet_at_the_mash_temperature(
    tun: Vessel | None, vessel_heat_kg: float
) -> None:
    # Heat given by the water is taken up by the grain (0.40 of water's) and by a cold tun.
    known = calibration(vessel_heat_kg=0.8)
    on = setup(vessels=Vessels(Vessel(60.0), tun))
    own = recipe_of_this_setup(recipe(mash=(MashStep(67.0, 60.0),)), known)
    got = plan(own, known, on, preferences=Preferences(grain_temperature_c=15.0))
    water_kg = got.water.strike_l * 0.998203
    given_heat = water_kg * (got.temperatures.strike_water_c - 67.0)
    taken_heat = (0.40 * got.grain_kg + vessel_heat_kg) * (67.0 - 15.0)
    assert given_heat == pytest.approx(taken_heat, rel=1e-5)


def test_a_setup_that_misses_its_mash_temperature_strikes_that_much_hotter() -> None:
    own = recipe_of_this_setup(recipe(), calibration())
    hits = plan(own, calibration()).temperatures.strike_water_c
    misses = plan(own, calibration(mash_in_offset_c=-1.0)).temperatures.strike_water_c
    # The grain has to be warmed by that degree as well.
    assert 1.0 < misses - hits < 1.2


@pytest.mark.parametrize(
    ("loss_c_per_h", "minutes", "ends_c"),
    # A tenth of the 47 degrees above the room in an hour; so of 46 a tenth as well.
    [(4.7, 60.0, 20.0 + 0.9 * 46.0), (4.7, 120.0, 20.0 + 0.81 * 46.0), (0.0, 60.0, 66.0)],
)
def test_a_rest_ends_cooler_by_what_past_mashes_lost(
    loss_c_per_h: float, minutes: float, ends_c: float
) -> None:
    known = calibration(mash_heat_loss_c_per_h=loss_c_per_h)
    mash = (MashStep(66.0, minutes), MashStep(76.0, 10.0))
    got = plan(recipe_of_this_setup(recipe(mash=mash), known), known).temperatures
    assert got.first_rest_ends_c == pytest.approx(ends_c)


def test_no_mash_cools_below_its_room() -> None:
    known = calibration(mash_heat_loss_c_per_h=60.0)
    mash = (MashStep(66.0, 300.0),)
    got = plan(recipe_of_this_setup(recipe(mash=mash), known), known).temperatures
    assert 20.0 < got.first_rest_ends_c < 22.0


def test_a_recipe_without_a_mash_gets_the_usual_rest() -> None:
    assert rests_of(recipe(mash=())) == (USUAL_REST,)


def test_a_grain_bill_too_big_to_sparge_takes_all_its_water_at_once() -> None:
    known = calibration(LauterMethod.CONTINUOUS_SPARGE, 1)
    on = setup(LauterMethod.CONTINUOUS_SPARGE, 1, grain_held_by=GrainHeldBy.FALSE_BOTTOM)
    mash = expect_mash(on, known, MashPlan(10.0, 0.77, 20.0), (USUAL_REST,))
    assert mash.sparge_l == ()
    assert mash.strike_water_l < 30.0


@tried(200)
@given(known=calibrations(), load=st.floats(0.08, 0.74))
def test_strike_and_sparge_are_all_the_water_and_forecast_and_plan_mean_the_same_mash(
    known: Calibration, load: float
) -> None:
    method, runnings = known.efficiency.method, known.efficiency.runnings
    mash = expect_mash(
        setup(method, runnings), known, MashPlan(load * 25.0, 0.77, 25.0), (USUAL_REST,)
    )
    as_planned = MashPlan(load * 25.0, 0.77, 25.0, mash.strike_water_l)
    usual = MashPlan(load * 25.0, 0.77, 25.0)
    assert mean_mash_efficiency(known, as_planned) == pytest.approx(
        mean_mash_efficiency(known, usual), rel=1e-9
    )
    if method is LauterMethod.BATCH_SPARGE and mash.strike_water_l > 2.51 * mash.grain_kg:
        # Equal runnings: what the strike water gives is a share like every sparge.
        dissolved_kg = mash.conversion * 0.77 * mash.grain_kg
        held_l = known.constants["true_absorption_l_per_kg"].mean * mash.grain_kg
        first_l = mash.strike_water_l + 0.617 * dissolved_kg - held_l - mash.dead_space_l
        assert first_l == pytest.approx(25.0 / runnings, rel=1e-9)
        assert list(mash.sparge_l) == pytest.approx([25.0 / runnings] * (runnings - 1), rel=1e-9)


@pytest.mark.parametrize("runnings", [2, 3])
@pytest.mark.parametrize("load", [0.55, 0.6, 0.7])
def test_a_mash_that_takes_all_the_water_counts_no_running_it_does_not_have(
    load: float, runnings: int
) -> None:
    # Thicker than 2.5 L/kg even with all the water in: there is nothing left to sparge with.
    known = calibration(LauterMethod.BATCH_SPARGE, runnings)
    grain = MashPlan(load * 25.0, 0.77, 25.0)
    mash = expect_mash(setup(LauterMethod.BATCH_SPARGE, runnings), known, grain, (USUAL_REST,))
    assert mash.sparge_l == ()
    # A uniform wort: what the grain keeps of it is lost, and nothing is washed out of that.
    held_l = 1.0 * mash.grain_kg
    assert mean_mash_efficiency(known, grain) == pytest.approx(
        mash.conversion * 25.0 / (25.0 + held_l), rel=1e-9
    )
    # The conversion is that of this thickness: 0.93 less 0.35 for each kg/L over 0.30 kg/L.
    thickness = mash.grain_kg / mash.strike_water_l
    assert mash.conversion == pytest.approx(0.93 - 0.35 * (thickness - 0.30), rel=1e-9)
