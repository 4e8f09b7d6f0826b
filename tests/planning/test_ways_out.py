"""Ways out: each is a plan that fits, and one step more would not."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from laws import tried
from planning.builders import (
    calibration,
    calibrations,
    exact_extract_kg,
    plan,
    recipe,
    recipe_of_this_setup,
    recipes,
    setup,
)
from wortwright.api.sentences import spoken
from wortwright.brewing.gravity import gravity_of_wort
from wortwright.calibration.posterior import Calibration
from wortwright.planning.limits import Limits
from wortwright.planning.plan import Asked, Plan, WayOut
from wortwright.planning.target import GristPolicy, Preferences, Target, WeighIn
from wortwright.planning.ways_out import last_that_fits
from wortwright.records.recipe import Recipe
from wortwright.records.setup import Setup, Vessel, Vessels

NOTHING_ELSE = Limits(no_extract=True, no_sugar=True, no_rinse=True, max_boil_min=0.0, max_brews=1)
"""No way out but less beer or weaker beer."""


def all_goes_in(made: Plan) -> bool:
    """Whether every vessel holds what goes into it, told by the volumes themselves."""
    return all(check.needed_l <= check.usable_l + 1e-6 for check in made.fit.checks)


@st.composite
def setups(draw: st.DrawFn, known: Calibration) -> Setup:
    """Kettles from too small to roomy, sometimes with fermenters and ageing vessels."""
    sizes = st.floats(8.0, 30.0)
    vessels = Vessels(
        Vessel(draw(st.floats(15.0, 90.0))),
        fermenters=tuple(Vessel(draw(sizes)) for _ in range(draw(st.integers(0, 2)))),
        ageing=tuple(Vessel(draw(sizes)) for _ in range(draw(st.integers(0, 2)))),
    )
    return setup(known.efficiency.method, known.efficiency.runnings, vessels=vessels)


@tried(120)
@given(
    made=recipes(),
    known=calibrations(),
    data=st.data(),
    gravity=st.floats(1.035, 1.14),
    volume_l=st.floats(8.0, 45.0),
    preferences=st.builds(
        Preferences,
        grist_policy=st.sampled_from(list(GristPolicy)),
        weigh_in=st.sampled_from(list(WeighIn)),
    ),
)
def test_every_way_out_fits_reaches_its_gravity_and_is_the_last_that_does(
    made: Recipe,
    known: Calibration,
    data: st.DataObject,
    gravity: float,
    volume_l: float,
    preferences: Preferences,
) -> None:
    own = recipe_of_this_setup(made, known)
    on = data.draw(setups(known))
    got = plan(own, known, on, Target(volume_l, gravity=gravity), preferences)
    assert (got.fit.fits and got.fit.reaches_gravity) <= (got.ways_out == ())
    for way in got.ways_out:
        again = brewed_again(way, own, known, on, preferences)
        assert again == way.plan
        assert again.fit.fits
        assert all_goes_in(again)
        assert again.fit.reaches_gravity
        codes = {finding.code for finding in again.warnings}
        if "character_malts_too_much" not in codes:
            got_gravity = gravity_of_wort(
                exact_extract_kg(again, way.recipe or own, calibration_of(way, known)),
                again.water.postboil_l,
            )
            assert got_gravity == pytest.approx(again.asked.gravity, abs=1e-8)
        if way.kind in ("largest_volume", "strongest_beer"):
            further = plan(own, known, on, nearer(way, got.asked), preferences)
            assert not (further.fit.fits and further.fit.reaches_gravity)


@tried(60)
@given(
    made=recipes(),
    known=calibrations(),
    data=st.data(),
    gravity=st.floats(1.050, 1.13),
    policy=st.sampled_from(list(GristPolicy)),
)
def test_the_plan_of_a_way_out_written_down_as_a_recipe_is_its_own_plan(
    made: Recipe, known: Calibration, data: st.DataObject, gravity: float, policy: GristPolicy
) -> None:
    own, on = recipe_of_this_setup(made, known), data.draw(setups(known))
    preferences = Preferences(grist_policy=policy)
    for way in plan(own, known, on, Target(25.0, gravity=gravity), preferences).ways_out:
        written = written_down(way.plan, way.recipe or own)
        again = plan(written, calibration_of(way, known), way.setup or on, None, preferences)
        for weighed in ("grist", "hop_bill"):
            assert [line.exact_kg for line in getattr(again, weighed)] == pytest.approx(
                [line.exact_kg for line in getattr(way.plan, weighed)], rel=1e-7, abs=1e-9
            )


def written_down(made: Plan, read: Recipe) -> Recipe:
    """A recipe of what a plan takes, for the volume and the gravity that it is of."""
    pairs = zip(read.grist, made.grist, strict=True)
    hops = zip(read.hop_bill, made.hop_bill, strict=True)
    return replace(
        read,
        volume_l=made.asked.volume_l,
        volume_at=made.asked.volume_at,
        original_gravity=made.asked.gravity,
        efficiency=None,
        grist=tuple(replace(line, mass_kg=planned.exact_kg) for line, planned in pairs),
        hop_bill=tuple(replace(hop, mass_kg=planned.exact_kg) for hop, planned in hops),
    )


def calibration_of(way: WayOut, known: Calibration) -> Calibration:
    """What is known of the setup of a way out: the constants carry over to one more running."""
    if way.setup is None:
        return known
    method, runnings = way.setup.lauter_method, way.setup.runnings
    return replace(known, efficiency=replace(known.efficiency, method=method, runnings=runnings))


def brewed_again(
    way: WayOut, own: Recipe, known: Calibration, on: Setup, preferences: Preferences
) -> Plan:
    """The plan for what a way out says, from recipe and setup as it changes them."""
    asked = way.plan.asked
    return plan(
        way.recipe or own,
        calibration_of(way, known),
        way.setup or on,
        Target(asked.volume_l, asked.volume_at, asked.gravity),
        preferences,
    )


def nearer(way: WayOut, asked: Asked) -> Target:
    """The target a step nearer to what was asked than that of a way out."""
    volume_l, gravity = way.plan.asked.volume_l, way.plan.asked.gravity
    if way.kind == "largest_volume":
        assert gravity == asked.gravity
        assert volume_l < asked.volume_l
        return Target(min(volume_l + 0.1, asked.volume_l), gravity=gravity)
    assert volume_l == asked.volume_l
    assert gravity < asked.gravity
    return Target(volume_l, gravity=min(gravity + 0.001, asked.gravity))


def test_a_plan_that_fits_offers_no_way_out() -> None:
    known = calibration()
    assert plan(recipe_of_this_setup(recipe(), known), known).ways_out == ()


def test_ways_out_have_none_of_their_own() -> None:
    known = calibration()
    got = plan(recipe_of_this_setup(recipe(), known), known, setup(kettle_l=28.0))
    assert got.ways_out
    assert all(way.plan.ways_out == () for way in got.ways_out)


def test_where_the_boil_is_too_big_no_weaker_beer_helps() -> None:
    # 20 L and 3.5 L/h boiled off want 23.5 * 1.042 / 0.8 = 30.6 L of kettle at any gravity.
    known = calibration()
    on = setup(vessels=Vessels(Vessel(29.0), Vessel(100.0)))
    own = recipe_of_this_setup(recipe(hop_bill=()), known)
    assert "strongest_beer" not in [way.kind for way in plan(own, known, on).ways_out]
    got = plan(own, known, on, preferences=Preferences(limits=NOTHING_ELSE))
    assert [way.kind for way in got.ways_out] == ["largest_volume"]
    # 29 * 0.8 / 1.0416 - 3.5 = 18.77 L, in whole steps 18.7
    assert got.ways_out[0].plan.asked.volume_l == pytest.approx(18.7)


def test_a_kettle_too_small_for_anything_offers_nothing() -> None:
    known = calibration()
    assert plan(recipe_of_this_setup(recipe(), known), known, setup(kettle_l=4.0)).ways_out == ()


def test_a_way_out_says_what_it_costs() -> None:
    known = calibration()
    got = plan(recipe_of_this_setup(recipe(), known), known, setup(kettle_l=28.0))
    (volume,) = [way for way in got.ways_out if way.kind == "largest_volume"]
    assert spoken(volume.detail) == (
        f"{volume.plan.asked.volume_l:.1f} L instead of 20.0 L at the same gravity"
    )


def test_what_fits_only_between_two_steps_is_not_offered() -> None:
    def margin(volume_l: float) -> float:
        return 0.02 - abs(volume_l - 12.85)

    assert last_that_fits(margin, 0.0, 25.7, 0.1) is None  # 12.85 is a rung of the ladder


def test_the_last_step_that_fits_is_found_below_a_sudden_end() -> None:
    def margin(volume_l: float) -> float:
        return 1.0 if volume_l < 7.34 else -1.0

    assert last_that_fits(margin, 1.0, 10.0, 0.1) == pytest.approx(7.3, abs=1e-12)
