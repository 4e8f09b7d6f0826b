"""Laws that every plan keeps on its exact quantities."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from laws import tried
from planning.builders import (
    HOPS,
    calibration,
    calibrations,
    crystal,
    exact_extract_kg,
    grain_masses,
    pale,
    plan,
    recipe,
    recipe_of_this_setup,
    recipes,
    setup,
    sugar,
)
from wortwright.brewing.gravity import extract_kg
from wortwright.calibration.posterior import Calibration, MashPlan
from wortwright.planning.plan import Plan
from wortwright.planning.target import GristPolicy, Preferences, Target
from wortwright.records.grist import AddedTo
from wortwright.records.recipe import Recipe, VolumeAt
from wortwright.records.setup import LauterMethod, Vessel, Vessels

POLICIES = st.sampled_from(list(GristPolicy))
FULL = {"grist": (pale(5.0), crystal(0.4), sugar(0.5)), "hop_bill": HOPS}


def comes_back(made: Plan, read: Recipe) -> None:
    """The exact masses are the recipe's own."""
    assert [line.exact_kg for line in made.grist] == pytest.approx(
        [line.mass_kg for line in read.grist], rel=1e-9
    )
    assert [hop.exact_kg for hop in made.hop_bill] == pytest.approx(
        [hop.mass_kg for hop in read.hop_bill], rel=1e-9
    )


@tried(200)
@given(made=recipes(), known=calibrations(), policy=POLICIES)
def test_a_recipe_of_this_setup_comes_back_unchanged(
    made: Recipe, known: Calibration, policy: GristPolicy
) -> None:
    own = recipe_of_this_setup(made, known)
    comes_back(plan(own, known, preferences=Preferences(grist_policy=policy)), own)


@pytest.mark.parametrize("policy", list(GristPolicy))
@pytest.mark.parametrize("at", [VolumeAt.FERMENTER, VolumeAt.UNKNOWN])
def test_a_recipe_counted_in_the_fermenter_comes_back_where_nothing_is_lost(
    policy: GristPolicy, at: VolumeAt
) -> None:
    known = calibration(kettle_loss_l=0.0, fermenter_loss_l=0.0)
    grist = {"grist": FULL["grist"], "hop_bill": ()}
    counted_in_kettle = recipe_of_this_setup(recipe(**grist), known)
    own = replace(counted_in_kettle, volume_at=at)
    comes_back(plan(own, known, preferences=Preferences(grist_policy=policy)), own)


def test_a_recipe_comes_back_by_the_closed_form_of_a_bag() -> None:
    # E = c / (1 + a_w g + D / Vb): mass balance of a uniform wort.
    known = calibration(loss=0.0, absorption=1.05, dead_space_l=0.6, conversion=0.91)

    def efficiency(mash: MashPlan) -> float:
        load = mash.grain_kg / mash.preboil_l
        return 0.91 / (1.0 + 1.05 * load + 0.6 / mash.preboil_l)

    own = recipe_of_this_setup(recipe(**FULL), known, efficiency)
    comes_back(plan(own, known), own)


@pytest.mark.parametrize("runnings", [2, 3])
def test_a_recipe_comes_back_by_the_closed_form_of_equal_runnings(runnings: int) -> None:
    # E = c (1 - (R / (R + Vb / n))^n); the mash is thin enough for equal runnings.
    known = calibration(
        LauterMethod.BATCH_SPARGE, runnings, loss=0.0, absorption=1.4, conversion=0.94
    )

    def efficiency(mash: MashPlan) -> float:
        retained_l = 1.4 * mash.grain_kg
        left = (retained_l / (retained_l + mash.preboil_l / runnings)) ** runnings
        return 0.94 * (1.0 - left)

    made = recipe(grist=(pale(3.5), crystal(0.3), sugar(0.4)), hop_bill=HOPS)
    own = recipe_of_this_setup(made, known, efficiency)
    comes_back(plan(own, known), own)


@tried(100)
@given(made=recipes(), known=calibrations(), policy=POLICIES, gravity=st.floats(1.035, 1.085))
def test_twice_the_volume_with_twice_the_losses_takes_twice_of_everything(
    made: Recipe, known: Calibration, policy: GristPolicy, gravity: float
) -> None:
    own = recipe_of_this_setup(made, known)
    preferences = Preferences(grist_policy=policy)
    once = plan(own, known, None, Target(12.0, gravity=gravity), preferences)
    twice = plan(own, doubled(known), None, Target(24.0, gravity=gravity), preferences)
    assert exact_masses(twice) == pytest.approx(
        [2.0 * mass_kg for mass_kg in exact_masses(once)], rel=1e-9
    )
    for name in VOLUMES:
        assert getattr(twice.water, name) == pytest.approx(2.0 * getattr(once.water, name))
    # Strike water follows the grain as weighed: half a step of each of three malts.
    slack_l = 3 * 0.015 * 3.0
    assert twice.water.strike_l == pytest.approx(2.0 * once.water.strike_l, abs=slack_l)
    assert sum(twice.water.sparge_l) == pytest.approx(2.0 * sum(once.water.sparge_l), abs=slack_l)


def exact_masses(made: Plan) -> list[float]:
    """Exact masses of grist and hops. [kg]"""
    return [line.exact_kg for line in made.grist] + [hop.exact_kg for hop in made.hop_bill]


VOLUMES = (
    "preboil_l",
    "preboil_hot_l",
    "boiled_off_l",
    "postboil_l",
    "postboil_hot_l",
    "kettle_loss_l",
    "fermenter_l",
    "fermenter_loss_l",
    "packaged_l",
    "dead_space_l",
)


def doubled(known: Calibration) -> Calibration:
    """The same setup with every loss doubled."""
    grows = {"boil_off_l_per_h", "kettle_loss_l", "fermenter_loss_l", "dead_space_l"}
    curve = known.efficiency
    mean = tuple(
        2.0 * value if name in grows else value
        for name, value in zip(curve.names, curve.mean, strict=True)
    )
    constants = {
        name: replace(value, mean=2.0 * value.mean) if name in grows else value
        for name, value in known.constants.items()
    }
    return replace(known, efficiency=replace(curve, mean=mean), constants=constants)


@tried(150)
@given(
    made=recipes(),
    known=calibrations(),
    policy=POLICIES,
    gravity=st.floats(1.03, 1.10),
    volume_l=st.floats(8.0, 40.0),
)
def test_extract_is_conserved_from_the_grist_to_the_fermenter(
    made: Recipe, known: Calibration, policy: GristPolicy, gravity: float, volume_l: float
) -> None:
    own = recipe_of_this_setup(made, known)
    preferences = Preferences(grist_policy=policy)
    got = plan(own, known, None, Target(volume_l, gravity=gravity), preferences)
    reached = got.fit.ceiling_gravity or gravity
    codes = {finding.code for finding in got.warnings}
    from_grist_kg = exact_extract_kg(got, own, known)
    if "character_malts_too_much" not in codes:
        assert from_grist_kg == pytest.approx(extract_kg(got.water.postboil_l, reached), rel=1e-9)
    in_fermenter_kg = extract_kg(got.water.fermenter_l, reached)
    left_kg = extract_kg(got.water.kettle_loss_l, reached)
    assert in_fermenter_kg + left_kg == pytest.approx(
        extract_kg(got.water.postboil_l, reached), rel=1e-9
    )


@tried(100)
@given(made=recipes(), known=calibrations(), volume_l=st.floats(8.0, 40.0))
def test_the_forecast_conserves_the_extract_of_what_is_weighed(
    made: Recipe, known: Calibration, volume_l: float
) -> None:
    own = recipe_of_this_setup(made, known)
    got = plan(own, known, None, Target(volume_l))
    gives = {AddedTo.MASH: 0.0, AddedTo.KETTLE: 0.0}
    for line, read in zip(got.grist, own.grist, strict=True):
        gives[line.added_to] += line.to_weigh_kg * read.as_is_yield
    from_mash_kg = gives[AddedTo.MASH] * got.forecast.mash_efficiency.mean
    before_kg = extract_kg(got.water.preboil_l, got.forecast.preboil_gravity.mean)
    after_kg = extract_kg(got.water.postboil_l, got.forecast.original_gravity.mean)
    assert before_kg == pytest.approx(from_mash_kg, rel=1e-9)
    assert after_kg == pytest.approx(from_mash_kg + gives[AddedTo.KETTLE], rel=1e-9)


def test_sugar_in_the_kettle_leaves_the_forecast_of_the_mash_alone() -> None:
    known = calibration()
    plain = recipe_of_this_setup(recipe(grist=(pale(), crystal())), known)
    # The sugar's own volume on top, so that the same wort is collected from the mash.
    sweet = recipe_of_this_setup(
        recipe(grist=(pale(), crystal(), sugar(0.8)), volume_l=20.0 + 0.617 * 0.8), known
    )
    without, with_sugar = plan(plain, known), plan(sweet, known)
    assert grain_masses(with_sugar) == pytest.approx(grain_masses(without), rel=1e-9)
    assert with_sugar.forecast.mash_efficiency == without.forecast.mash_efficiency
    gained_kg = extract_kg(
        with_sugar.water.postboil_l, with_sugar.forecast.original_gravity.mean
    ) - extract_kg(without.water.postboil_l, without.forecast.original_gravity.mean)
    assert gained_kg == pytest.approx(0.8, rel=1e-9)


@pytest.mark.parametrize("conversion", [0.70, 0.85, 0.97])
def test_sugar_in_the_kettle_is_never_divided_by_efficiency(conversion: float) -> None:
    made = recipe(grist=(pale(), sugar(0.6)), original_gravity=1.060, efficiency=None)
    got = plan(made, calibration(conversion=conversion))
    assert got.grist[-1].exact_kg == pytest.approx(0.6, rel=1e-12)


@tried(60)
@given(made=recipes(), known=calibrations(), small_l=st.floats(15.0, 70.0), more=st.floats(1.0, 2))
def test_a_larger_kettle_never_makes_a_plan_worse(
    made: Recipe, known: Calibration, small_l: float, more: float
) -> None:
    own = recipe_of_this_setup(made, known)
    method, runnings = known.efficiency.method, known.efficiency.runnings

    def on(capacity_l: float) -> Plan:
        vessels = Vessels(Vessel(capacity_l), fermenters=(Vessel(50.0),))
        return plan(own, known, setup(method, runnings, vessels=vessels))

    small, large = on(small_l), on(small_l * more)
    assert large.fit.fits >= small.fit.fits
    # The bill is a root found to 1e-9 kg.
    assert large.fit.largest_grain_bill_kg >= small.fit.largest_grain_bill_kg - 2e-9
    assert large.forecast == small.forecast


def test_the_same_question_gets_the_same_plan() -> None:
    known = calibration()
    own = recipe_of_this_setup(recipe(**FULL), known)
    on = setup(kettle_l=25.0)
    assert plan(own, known, on) == plan(own, known, on)


def test_what_the_target_leaves_out_is_the_recipes() -> None:
    known = calibration()
    own = recipe_of_this_setup(recipe(**FULL), known)
    got = plan(own, known).asked
    assert (got.volume_l, got.volume_at) == (20.0, VolumeAt.KETTLE)
    assert got.gravity == own.original_gravity
    assert plan(own, known).water.postboil_l == pytest.approx(20.0, rel=1e-12)


def test_the_target_may_be_counted_elsewhere_than_the_recipe() -> None:
    known = calibration(kettle_loss_l=1.5)
    own = recipe_of_this_setup(recipe(hop_bill=()), known)
    got = plan(own, known, None, Target(20.0, VolumeAt.FERMENTER))
    assert got.water.fermenter_l == pytest.approx(20.0)
    assert got.water.postboil_l == pytest.approx(21.5)
    # More wort of the same gravity from the same recipe.
    crystal_kg = got.grist[1].exact_kg
    assert crystal_kg == pytest.approx(0.4 * 21.5 / 20.0)
