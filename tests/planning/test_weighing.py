"""What a scale can do."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from laws import tried
from planning.builders import (
    HOPS,
    calibration,
    crystal,
    hop,
    pale,
    plan,
    recipe,
    recipe_of_this_setup,
    sugar,
)
from wortwright.planning.plan import Plan
from wortwright.planning.target import GristPolicy, Preferences, Target, WeighIn
from wortwright.planning.weighing import weigh_grain_kg, weigh_hops_kg

OUNCE_KG = 0.45359237 / 16.0  # international yard and pound agreement, 1959
US = Preferences(weigh_in=WeighIn.US)


def is_whole(mass_kg: float, step_kg: float) -> bool:
    """Whether a mass is a whole number of steps."""
    return abs(mass_kg / step_kg - round(mass_kg / step_kg)) < 1e-6


@settings(deadline=None)
@given(mass_kg=st.floats(0.005, 50.0))
def test_grain_is_rounded_to_ten_grams_or_an_ounce(mass_kg: float) -> None:
    for weigh_in, step_kg in [(WeighIn.METRIC, 0.010), (WeighIn.US, OUNCE_KG)]:
        weighed = weigh_grain_kg(mass_kg, weigh_in)
        assert is_whole(weighed, step_kg)
        assert weighed > 0.0
        if mass_kg >= step_kg / 2.0:
            assert abs(weighed - mass_kg) <= step_kg / 2.0 + 1e-12


@settings(deadline=None)
@given(mass_kg=st.floats(0.00005, 0.5))
def test_hops_are_rounded_to_what_a_pocket_scale_shows(mass_kg: float) -> None:
    metric_kg = 0.001 if mass_kg >= 0.010 else 0.0001
    for weigh_in, step_kg in [(WeighIn.METRIC, metric_kg), (WeighIn.US, 0.05 * OUNCE_KG)]:
        weighed = weigh_hops_kg(mass_kg, weigh_in)
        assert is_whole(weighed, step_kg)
        assert weighed > 0.0
        if mass_kg >= step_kg / 2.0:
            assert abs(weighed - mass_kg) <= step_kg / 2.0 + 1e-12


@settings(deadline=None)
@given(mass_kg=st.floats(1e-9, 1e-5), weigh_in=st.sampled_from(list(WeighIn)))
def test_nothing_wanted_is_rounded_to_nothing(mass_kg: float, weigh_in: WeighIn) -> None:
    assert weigh_grain_kg(mass_kg, weigh_in) > 0.0
    assert weigh_hops_kg(mass_kg, weigh_in) > 0.0


@pytest.mark.parametrize("weigh_in", list(WeighIn))
def test_nothing_stays_nothing(weigh_in: WeighIn) -> None:
    assert weigh_grain_kg(0.0, weigh_in) == 0.0
    assert weigh_hops_kg(0.0, weigh_in) == 0.0


def test_a_plan_is_weighed_in_the_brewers_own_steps() -> None:
    known = calibration()
    own = recipe_of_this_setup(
        recipe(grist=(pale(4.9876), crystal(0.3333), sugar(0.4567)), hop_bill=HOPS), known
    )
    metric, us = plan(own, known), plan(own, known, preferences=US)
    assert [line.to_weigh_kg for line in metric.grist] == pytest.approx([4.99, 0.33, 0.46])
    for line in us.grist:
        assert is_whole(line.to_weigh_kg, OUNCE_KG)
        assert abs(line.to_weigh_kg - line.exact_kg) <= OUNCE_KG / 2.0
    for hops in us.hop_bill:
        assert is_whole(hops.to_weigh_kg, 0.05 * OUNCE_KG)
    assert metric.grain_kg == pytest.approx(4.99 + 0.33)
    # The exact plan does not know what it will be weighed in.
    assert [line.exact_kg for line in us.grist] == [line.exact_kg for line in metric.grist]


@tried(60)
@given(
    grain_kg=st.floats(3.0, 8.0), hops_kg=st.floats(0.012, 0.06), weigh_in=st.sampled_from(WeighIn)
)
def test_the_forecast_is_of_what_is_weighed(
    grain_kg: float, hops_kg: float, weigh_in: WeighIn
) -> None:
    known = calibration()
    made = recipe_of_this_setup(recipe(grist=(pale(grain_kg),), hop_bill=(hop(hops_kg),)), known)
    preferences = Preferences(GristPolicy.KEEP_SHARES, weigh_in=weigh_in)
    got = plan(made, known, preferences=preferences)
    asked = got.asked
    off = got.grist[0].to_weigh_kg / got.grist[0].exact_kg - 1.0
    points = (got.forecast.original_gravity.mean - asked.gravity) * 1000.0
    # A per cent more grain gives two thirds of a per cent or more of the extract, and less than
    # a per cent.
    gained = points / ((asked.gravity - 1.0) * 1000.0)
    assert min(0.5 * off, 1.0 * off) - 1e-9 <= gained <= max(0.5 * off, 1.0 * off) + 1e-9
    by_hops = got.hop_bill[0].to_weigh_kg / got.hop_bill[0].exact_kg
    assert got.forecast.bitterness_ibu == pytest.approx((asked.bitterness_ibu or 0.0) * by_hops)


def test_a_malt_that_shrinks_to_nothing_is_not_weighed() -> None:
    made = recipe(grist=(pale(3.0), crystal(2.5)), original_gravity=1.045, efficiency=None)
    got: Plan = plan(made, calibration(), None, Target(gravity=1.012))
    assert got.grist[0].exact_kg < 1e-4
    assert got.grist[0].to_weigh_kg <= 0.010
