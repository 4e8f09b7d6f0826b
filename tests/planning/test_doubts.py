"""Every doubt appears where its reason is, and nowhere else."""

import pytest

from planning.builders import (
    calibration,
    crystal,
    hop,
    pale,
    plan,
    recipe,
    recipe_of_this_setup,
    setup,
)
from wortwright.api.sentences import spoken
from wortwright.calibration.posterior import SeenRange
from wortwright.planning.plan import Finding, Plan
from wortwright.planning.target import Target
from wortwright.records.grist import Kind
from wortwright.records.recipe import Yeast
from wortwright.records.setup import LauterMethod, Vessel, Vessels

KNOWN = calibration()
USUAL = recipe_of_this_setup(recipe(), KNOWN)


def found(made: Plan) -> dict[str, Finding]:
    """Doubts by code."""
    return {finding.code: finding for finding in made.warnings}


def test_a_usual_brew_on_a_roomy_setup_raises_no_doubt() -> None:
    assert plan(USUAL, KNOWN).warnings == ()


def test_a_gravity_out_of_reach_says_why_more_grain_does_not_help() -> None:
    target = Target(gravity=1.150)
    too_thick = found(plan(USUAL, calibration(loss=0.0), None, target))
    assert "could not be stirred" in spoken(too_thick["gravity_out_of_reach"].detail)
    # Where thick mashes convert badly the most extract comes before that.
    known = calibration(LauterMethod.BATCH_SPARGE, 3, loss=2.5)
    holds_back = found(plan(USUAL, known, None, target))
    assert "hold back more than it gives" in spoken(holds_back["gravity_out_of_reach"].detail)


@pytest.mark.parametrize(
    ("kettle_l", "code"), [(28.0, "does_not_fit"), (30.9, "nearly_full"), (60.0, None)]
)
def test_a_full_vessel_is_doubted_by_its_name(kettle_l: float, code: str | None) -> None:
    on = setup(vessels=Vessels(Vessel(kettle_l, "big pot"), Vessel(100.0)))
    doubts = found(plan(USUAL, KNOWN, on))
    assert set(doubts) == ({code} if code else set())
    if code:
        assert spoken(doubts[code].detail).startswith("big pot, boil: ")


def test_a_setup_without_sessions_says_what_its_forecast_rests_on() -> None:
    assert "no_sessions_yet" in found(plan(USUAL, calibration(session_count=0)))


@pytest.mark.parametrize(("seen", "outside"), [((0.15, 0.25), False), ((0.10, 0.18), True)])
def test_a_brew_beyond_what_was_seen_says_so(seen: tuple[float, float], outside: bool) -> None:
    # 5.4 kg in 23.5 L: 0.230 kg/L, 28 % beyond 0.18.
    load, potential = seen, (seen[0] * 0.766, seen[1] * 0.766)
    known = calibration(seen=SeenRange(load, potential))
    doubts = found(plan(recipe_of_this_setup(recipe(), known), known))
    assert ("outside_seen_range" in doubts) is outside
    if outside:
        assert "28 %" in doubts["outside_seen_range"].detail


def test_a_thick_mash_is_doubted() -> None:
    made = recipe(grist=(pale(14.0),))
    known = calibration(absorption=0.9)
    got = plan(recipe_of_this_setup(made, known), known)
    assert got.water.strike_l / got.grain_kg < 2.2
    heavier = recipe(grist=(pale(16.0),))
    got = plan(recipe_of_this_setup(heavier, known), known)
    assert got.water.strike_l / got.grain_kg < 2.0
    assert "thick_mash" in found(got)


def test_a_bitterness_the_hop_bill_does_not_give_is_doubted() -> None:
    # 30 g of 10 % for 60 min in 20 L of about 1.055: some 33 IBU.
    right = recipe_of_this_setup(recipe(bitterness_ibu=33.0), KNOWN)
    wrong = recipe_of_this_setup(recipe(bitterness_ibu=60.0), KNOWN)
    assert "bitterness_differs" not in found(plan(right, KNOWN))
    assert "60 IBU" in found(plan(wrong, KNOWN))["bitterness_differs"].detail


def test_more_alpha_acid_than_dissolves_is_doubted() -> None:
    # 100 g of 14 % in 20 L: 700 mg/L, where 240 dissolve.
    bitter = recipe_of_this_setup(recipe(hop_bill=(hop(0.100, alpha=0.14),)), KNOWN)
    finding = found(plan(bitter, KNOWN))["bitterness_overstated"]
    assert "700 mg/L" in finding.detail
    # 48 g of 10 %: 240 mg/L is the limit itself
    assert "bitterness_overstated" not in found(
        plan(recipe_of_this_setup(recipe(hop_bill=(hop(0.047),)), KNOWN), KNOWN)
    )


def test_a_colour_beyond_the_formula_is_doubted() -> None:
    black = crystal(1.0, kind=Kind.ROASTED_MALT, colour_ebc=1000.0)
    dark = recipe_of_this_setup(recipe(grist=(pale(), black)), KNOWN)
    assert "colour_extrapolated" in found(plan(dark, KNOWN))


def test_doubts_of_the_recipe_come_first() -> None:
    made = recipe(original_gravity=1.070)
    got = plan(made, calibration(session_count=0))
    assert [finding.code for finding in got.warnings] == [
        "recipe_contradicts_itself",
        "no_sessions_yet",
    ]


@pytest.mark.parametrize(
    ("attenuation", "bears"), [(0.68, 0.09), (0.73, 0.10), (0.78, 0.11), (0.83, 0.14)]
)
def test_a_beer_stronger_than_its_class_of_yeast_bears_is_doubted(
    attenuation: float, bears: float
) -> None:
    # Classes from memory: to 70 % bears 9 % by volume, to 75 % 10 %, to 80 % 11 %, above 14 %.
    made = recipe_of_this_setup(recipe(yeast=Yeast("ale", attenuation), final_gravity=None), KNOWN)
    for gravity in (1.060, 1.090, 1.100, 1.110, 1.120, 1.140):
        got = plan(made, KNOWN, None, Target(gravity=gravity))
        strong = got.forecast.alcohol_by_volume.mean
        assert ("alcohol_tolerance" in found(got)) == (strong > bears), gravity
