"""Reading a recipe: what it claims, what its own numbers imply, what it refuses."""

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planning.builders import calibration, crystal, pale, plan, recipe, sugar
from wortwright.api.sentences import spoken
from wortwright.brewing.gravity import extract_kg
from wortwright.planning.recipe import IncompleteRecipeError, potential_kg, read_recipe
from wortwright.planning.target import Target, TargetError
from wortwright.records.grist import AddedTo, Kind, ShareOf
from wortwright.records.recipe import EfficiencyKind, Recipe, VolumeAt


def codes(made: Recipe) -> set[str]:
    """Codes of what was noticed."""
    return {finding.code for finding in read_recipe(made).findings}


def share(of: float, **changes: Any) -> dict[str, Any]:
    """A line that gives a share and no mass."""
    return {"mass_kg": None, "share": of, **changes}


def test_the_efficiency_implied_is_that_of_the_worked_case() -> None:
    # 5 kg of e 0.77 and 26.00 L at 1.043: 75.33 % by a Plato fit that is 0.01 degP lower.
    made = recipe(volume_l=26.0, grist=(pale(5.0),), original_gravity=1.043, efficiency=None)
    assert read_recipe(made).implied_efficiency == pytest.approx(0.7533, abs=0.001)


def test_sugar_in_the_kettle_stays_out_of_the_implied_efficiency() -> None:
    plain = recipe(grist=(pale(5.0),), efficiency=0.75)
    sweet = recipe(grist=(pale(5.0), sugar(0.7)), efficiency=0.75)
    for made in (plain, sweet):
        assert read_recipe(made).implied_efficiency == pytest.approx(0.75, rel=1e-9)
    more_kg = extract_kg(20.0, read_recipe(sweet).original_gravity) - extract_kg(
        20.0, read_recipe(plain).original_gravity
    )
    assert more_kg == pytest.approx(0.7, rel=1e-9)


def test_sugar_in_the_fermenter_stays_out_of_the_original_gravity() -> None:
    grist = (pale(5.0), sugar(0.7, added_to=AddedTo.FERMENTER))
    assert read_recipe(recipe(grist=grist)).original_gravity == (
        read_recipe(recipe(grist=(pale(5.0),))).original_gravity
    )


@settings(deadline=None)
@given(malt=st.floats(0.3, 0.8), sweet=st.floats(0.05, 0.2), times=st.sampled_from([1.0, 100.0]))
def test_shares_of_extract_are_what_the_wort_is_made_of(
    malt: float, sweet: float, times: float
) -> None:
    # Whatever the shares add up to: per cent, fractions or parts.
    made = recipe(
        grist=(pale(**share(malt * times)), sugar(**share(sweet * times))),
        share_of=ShareOf.EXTRACT,
        original_gravity=1.060,
        efficiency=0.72,
    )
    read = read_recipe(made)
    wort_kg = extract_kg(20.0, 1.060)
    assert potential_kg(read.grist, AddedTo.KETTLE) == pytest.approx(
        wort_kg * sweet / (malt + sweet), rel=1e-9
    )
    assert read.implied_efficiency == pytest.approx(0.72, rel=1e-9)


@settings(deadline=None)
@given(pale_share=st.floats(0.5, 0.95), times=st.sampled_from([1.0, 100.0]))
def test_shares_of_mass_keep_their_ratio_and_give_the_gravity(
    pale_share: float, times: float
) -> None:
    made = recipe(
        grist=(pale(**share(pale_share * times)), crystal(**share((1 - pale_share) * times))),
        original_gravity=1.055,
        efficiency=0.78,
    )
    read = read_recipe(made)
    masses = [line.mass_kg or 0.0 for line in read.grist]
    assert masses[0] / sum(masses) == pytest.approx(pale_share, rel=1e-9)
    assert read.implied_efficiency == pytest.approx(0.78, rel=1e-9)


def test_a_share_for_the_fermenter_is_no_part_of_the_gravity() -> None:
    grist = (pale(**share(0.9)), sugar(**share(0.1, added_to=AddedTo.FERMENTER)))
    for share_of in ShareOf:
        made = recipe(grist=grist, share_of=share_of, original_gravity=1.05, efficiency=0.7)
        assert read_recipe(made).implied_efficiency == pytest.approx(0.7, rel=1e-9)


def test_shares_without_an_efficiency_say_which_was_assumed() -> None:
    made = recipe(grist=(pale(**share(1.0)),), original_gravity=1.05, efficiency=None)
    assert "efficiency_assumed" in codes(made)
    assert "efficiency_assumed" not in codes(replace(made, efficiency=0.8))


@pytest.mark.parametrize(
    ("made", "field"),
    [
        (recipe(grist=(sugar(2.0),)), "grist"),
        (recipe(grist=()), "grist"),
        (recipe(grist=(pale(**share(1.0)),), efficiency=0.75), "original_gravity"),
        (recipe(efficiency=None), "original_gravity"),
        (recipe(grist=(pale(0.5), sugar(4.0)), original_gravity=1.050), "grist"),
        (recipe(grist=(pale(4.0), crystal(**share(0.1))), original_gravity=1.050), "grist"),
        (recipe(grist=(pale(4.0, extract_yield=0.0),), original_gravity=1.050), "grist"),
        (recipe(grist=(pale(**share(0.0)),), original_gravity=1.050), "grist"),
        (
            recipe(
                grist=(pale(**share(0.9)), pale(**share(0.1, kind=Kind.HUSKS, extract_yield=0.0))),
                share_of=ShareOf.EXTRACT,
                original_gravity=1.050,
            ),
            "grist",
        ),
    ],
)
def test_a_recipe_that_gives_no_beer_is_refused_by_the_name_of_its_field(
    made: Recipe, field: str
) -> None:
    with pytest.raises(IncompleteRecipeError) as refused:
        plan(made, calibration())
    assert refused.value.field == field
    assert str(refused.value) == refused.value.detail


@pytest.mark.parametrize(
    ("volume_l", "at", "stays_l"),
    [
        (2.1, VolumeAt.KETTLE, "2.2 L"),
        (0.9, VolumeAt.FERMENTER, "1.0 L"),
    ],
)
def test_a_target_that_leaves_nothing_is_refused_and_says_what_stays_behind(
    volume_l: float, at: VolumeAt, stays_l: str
) -> None:
    made = recipe(hop_bill=())
    with pytest.raises(TargetError) as refused:
        plan(made, calibration(), None, Target(volume_l, at))
    assert refused.value.field == "volume"
    assert stays_l in spoken(refused.value.detail)


def test_a_recipe_that_contradicts_itself_says_by_how_much_and_what_was_believed() -> None:
    # 5 kg of e 0.77 at 75 % are 2.888 kg in 20 L: 1.0558 (13.73 degP); it states 1.062.
    made = recipe(grist=(pale(5.0),), original_gravity=1.062, efficiency=0.75)
    finding = next(f for f in read_recipe(made).findings if f.code == "recipe_contradicts_itself")
    assert "1.056" in finding.detail
    assert "6 points below the stated 1.062" in finding.detail
    assert "gravity was believed" in finding.detail
    assert read_recipe(made).original_gravity == 1.062


def test_rounding_is_no_contradiction() -> None:
    made = recipe(grist=(pale(5.0),), original_gravity=1.056, efficiency=0.75)
    assert "recipe_contradicts_itself" not in codes(made)


@pytest.mark.parametrize(
    ("kind", "at", "implied", "contradicts"),
    [
        # wort left in the kettle makes the fermenter's figure smaller than the kettle's
        (EfficiencyKind.MASH, VolumeAt.FERMENTER, 0.92, False),
        (EfficiencyKind.MASH, VolumeAt.FERMENTER, 0.80, True),
        (EfficiencyKind.MASH, VolumeAt.FERMENTER, 1.08, True),
        (EfficiencyKind.BREWHOUSE, VolumeAt.KETTLE, 1.08, False),
        (EfficiencyKind.BREWHOUSE, VolumeAt.KETTLE, 0.92, True),
        (EfficiencyKind.MASH, VolumeAt.KETTLE, 0.92, True),
        (EfficiencyKind.UNKNOWN, VolumeAt.FERMENTER, 0.92, True),
    ],
)
def test_wort_left_behind_is_no_contradiction(
    kind: EfficiencyKind, at: VolumeAt, implied: float, contradicts: bool
) -> None:
    stated = recipe(grist=(pale(5.0),), efficiency=0.75 * implied)
    made = replace(
        stated,
        original_gravity=read_recipe(stated).original_gravity,
        efficiency=0.75,
        efficiency_kind=kind,
        volume_at=at,
    )
    assert ("recipe_contradicts_itself" in codes(made)) is contradicts


def test_a_grist_too_small_for_any_mash_is_said_to_be() -> None:
    made = recipe(grist=(pale(3.0),), original_gravity=1.050, efficiency=None)
    assert "grist_too_small" in codes(made)
    assert "grist_too_small" not in codes(recipe())


def test_an_unknown_volume_is_read_as_the_fermenters_and_said_so() -> None:
    made = recipe(volume_at=VolumeAt.UNKNOWN)
    assert "volume_at_unknown" in codes(made)
    assert read_recipe(made).volume_at is VolumeAt.FERMENTER
    assert plan(made, calibration()).asked.volume_at is VolumeAt.FERMENTER


def test_typical_yields_are_named() -> None:
    made = recipe(grist=(pale(5.0, assumed=("extract_yield",)), crystal()))
    finding = next(f for f in read_recipe(made).findings if f.code == "yield_assumed")
    assert "Pale malt" in finding.detail
    assert "Crystal" not in finding.detail
