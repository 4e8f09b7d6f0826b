from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wortwright.api.sentences import spoken
from wortwright.brewing.bottling import BottlePressureError
from wortwright.brewing.tables.packaging import BottleKind
from wortwright.planning.cellar.packaging import (
    BottlingAsked,
    PrimingAsked,
    plan_bottling,
    plan_priming,
    told_pressure,
)

BEER = BottlingAsked(20.0, 2.4, 20.0, 1.010, 1.010, 1.010, BottleKind.STANDARD)


def codes(found):
    return {each.code for each in found}


@given(st.floats(1.0, 100.0), st.floats(0.0, 5.0), st.floats(-2.0, 45.0))
def test_priming_is_never_negative_and_scales_with_the_volume(volume_l, carbonation, warmest_c):
    asked = PrimingAsked(volume_l, carbonation, warmest_c)
    one, two = plan_priming(asked), plan_priming(replace(asked, volume_l=2.0 * volume_l))
    assert one.sugar_g >= 0.0
    assert two.sugar_g == pytest.approx(2.0 * one.sugar_g)
    assert ("no_sugar_needed" in codes(one.warnings)) is (one.sugar_g == 0.0)


@given(st.floats(1.0, 1.03), st.floats(0.0, 0.02))
def test_more_left_to_ferment_never_lowers_the_pressure(gravity, more):
    def reached(left_from):
        beer = replace(BEER, gravity=left_from, expected_final_gravity=1.0)
        try:
            return plan_bottling(replace(beer, lowest_final_gravity=1.0)).plan.gauge_bar
        except BottlePressureError as error:
            return error.gauge_bar

    assert reached(gravity + more) >= reached(gravity)


def test_a_refused_plan_says_volumes_pressure_place_and_limit():
    with pytest.raises(BottlePressureError) as refused:
        plan_bottling(replace(BEER, gravity=1.020))
    # Reference 5.3.
    assert spoken(told_pressure(refused.value)) == (
        "This would reach 7.3 volumes, 9.1 bar at 25.0 °C, in bottles of the kind 'standard': "
        "each may hold 3 volumes."
    )


def test_a_bottle_that_may_hold_none_says_why():
    with pytest.raises(BottlePressureError) as refused:
        plan_bottling(replace(BEER, bottle=BottleKind.WINE_BOTTLE))
    assert "its glass is made for still wine" in spoken(told_pressure(refused.value))


def test_a_little_left_is_told_though_the_bottle_bears_it():
    made = plan_bottling(replace(BEER, expected_final_gravity=1.009, lowest_final_gravity=1.009))
    (found,) = made.warnings
    # 0.491 volume a point (reference 5.3).
    assert found.code == "gas_from_what_is_left"
    assert "adds 0.5 volumes" in found.detail
    assert plan_bottling(BEER).warnings == ()


def test_bottles_that_only_bear_the_forecast_carry_a_second_caution():
    made = plan_bottling(replace(BEER, lowest_final_gravity=1.006))
    assert codes(made.warnings) == {"unsafe_if_it_ferments_on"}
    assert codes(made.cautions) == {"bottle_pressure", "doubtful_bottle", "glass"}
