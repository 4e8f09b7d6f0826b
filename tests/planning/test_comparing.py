"""The plan beside the rules in common use."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from laws import tried
from planning.builders import (
    calibration,
    calibrations,
    crystal,
    grain_masses,
    pale,
    plan,
    recipe,
    recipe_of_this_setup,
    recipes,
)
from wortwright.calibration.posterior import Calibration
from wortwright.planning.target import Target
from wortwright.records.recipe import EfficiencyKind, Recipe, VolumeAt


def test_scaling_by_a_fixed_efficiency_lands_where_the_worked_case_says() -> None:
    # A bag of 28 L that gives 76.32 % at 1.045: scaled by that to 1.080 it takes 9.928 kg and
    # lands at 1.0702, where 11.98 kg are needed.
    known = calibration(loss=0.0, conversion=0.93, absorption=1.1)
    made = recipe(
        volume_l=28.0,
        boil_time_min=0.0,
        hop_bill=(),
        grist=(pale(5.564),),
        original_gravity=1.045,
        efficiency=0.7632,
    )
    got = plan(made, known, None, Target(gravity=1.080))
    naive = got.compared_with.stated_efficiency
    assert naive is not None
    assert naive.grain_kg == pytest.approx(9.928, rel=0.002)
    assert naive.original_gravity.mean == pytest.approx(1.0702, abs=0.0002)
    assert sum(grain_masses(got)) == pytest.approx(11.98, rel=0.003)


@tried(100)
@given(made=recipes(), known=calibrations(), better=st.floats(1.02, 1.3))
def test_a_stated_efficiency_above_the_setups_own_takes_less_grain_and_lands_lower(
    made: Recipe, known: Calibration, better: float
) -> None:
    own = recipe_of_this_setup(made, known)
    honest = plan(own, known)
    assume(honest.fit.reaches_gravity)
    stated = honest.forecast.mash_efficiency.mean * better
    boast = recipe_of_this_setup(made, known)
    boast = Recipe(
        **{name: getattr(boast, name) for name in boast.__slots__}
        | {"efficiency": stated, "efficiency_kind": EfficiencyKind.MASH}
    )
    got = plan(boast, known)
    alternative = got.compared_with.stated_efficiency
    assert alternative is not None
    assert alternative.efficiency == pytest.approx(stated)
    assert alternative.grain_kg < sum(grain_masses(got))
    assert alternative.original_gravity.mean < got.asked.gravity


def test_an_efficiency_into_the_fermenter_is_turned_into_one_into_the_kettle() -> None:
    known = calibration(kettle_loss_l=2.0)
    made = recipe(
        volume_l=20.0,
        volume_at=VolumeAt.FERMENTER,
        grist=(pale(), crystal()),
        hop_bill=(),
        efficiency=0.70,
        efficiency_kind=EfficiencyKind.BREWHOUSE,
    )
    alternative = plan(made, known).compared_with.stated_efficiency
    assert alternative is not None
    assert alternative.efficiency == pytest.approx(0.70 * 22.0 / 20.0)


def test_without_sessions_there_is_no_average_to_compare_with() -> None:
    known = calibration(session_count=0)
    made = recipe_of_this_setup(recipe(), known)
    assert plan(made, known).compared_with.average_efficiency is None


def test_the_average_of_past_brews_takes_less_grain_for_a_stronger_beer() -> None:
    usual = recipe_of_this_setup(recipe(), calibration())
    average = plan(usual, calibration()).forecast.mash_efficiency.mean
    got = plan(usual, calibration(average_efficiency=average), None, Target(gravity=1.095))
    alternative = got.compared_with.average_efficiency
    assert alternative is not None
    assert alternative.efficiency == average
    assert alternative.grain_kg < sum(grain_masses(got))
    assert alternative.original_gravity.mean < 1.095
