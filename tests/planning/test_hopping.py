"""The hop bill, against worked cases and Tinseth's separable law."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from laws import tried
from planning.builders import HOPS, calibration, hop, pale, plan, recipe
from wortwright.brewing.hops import UtilisationModel
from wortwright.planning.plan import Plan
from wortwright.planning.target import Preferences, Target
from wortwright.records.grist import HopAddition, Moment, Purpose
from wortwright.records.recipe import Recipe

# Nothing boils off and nothing is lost: the gravity of the boil is the original gravity.
STILL = calibration(boil_off_l_per_h=0.0, kettle_loss_l=0.0)
RAGER = Preferences(bitterness_formula=UtilisationModel.RAGER)


def hopped(volume_l: float, gravity: float, *bill: HopAddition) -> Recipe:
    """A recipe for the kettle, of this gravity before and after the boil."""
    return recipe(
        volume_l=volume_l,
        grist=(pale(volume_l * 0.25),),
        original_gravity=gravity,
        efficiency=None,
        hop_bill=bill,
    )


def grams(got: Plan) -> list[float]:
    """Exact masses of the hop bill. [g]"""
    return [line.exact_kg * 1000.0 for line in got.hop_bill]


@pytest.mark.parametrize(
    ("from_l", "from_gravity", "written", "to_l", "to_gravity", "mass_g", "ibu"),
    [
        (20.0, 1.048, hop(0.025, alpha=0.12), 40.0, 1.053, 52.30, 35.23),
        (20.0, 1.060, hop(0.030), 23.0, 1.095, 47.25, 31.63),
    ],
)
def test_bittering_hops_keep_their_bitterness_as_in_the_worked_cases(
    from_l: float,
    from_gravity: float,
    written: HopAddition,
    to_l: float,
    to_gravity: float,
    mass_g: float,
    ibu: float,
) -> None:
    # Tinseth 1997, worked by hand.
    made = hopped(from_l, from_gravity, written)
    got = plan(made, STILL, None, Target(to_l, gravity=to_gravity))
    assert grams(got) == [pytest.approx(mass_g, abs=0.01)]
    assert got.recipe_reading.bitterness_ibu == pytest.approx(ibu, abs=0.01)
    assert got.asked.bitterness_ibu == pytest.approx(ibu, abs=0.01)


def test_a_bill_with_a_stand_is_that_of_the_worked_case() -> None:
    # 20 to 45 L, 1.055 to 1.057; the stand keeps its mass per volume and falls from 37.83 to
    # 37.15 IBU, so that much less is asked of the whole bill.
    made = hopped(
        20.0,
        1.055,
        hop(0.030, alpha=0.12),
        hop(0.040, 15.0, alpha=0.06),
        hop(0.100, 20.0, Purpose.AROMA, Moment.STAND, alpha=0.11, temperature_c=90.0),
    )
    as_written = plan(made, STILL).recipe_reading.bitterness_ibu
    target = Target(45.0, gravity=1.057, bitterness_ibu=as_written - (37.83 - 37.15))
    got = plan(made, STILL, None, target)
    assert grams(got) == [
        pytest.approx(68.72, abs=0.03),
        pytest.approx(91.63, abs=0.04),
        pytest.approx(225.0, abs=1e-6),
    ]
    assert got.hop_bill[2].bitterness_ibu == pytest.approx(37.15, abs=0.01)


@tried(100)
@given(
    gravity=st.floats(1.035, 1.085),
    volume_l=st.floats(8.0, 45.0),
    formula=st.sampled_from(list(UtilisationModel)),
)
def test_every_bittering_addition_keeps_its_own_bitterness(
    gravity: float, volume_l: float, formula: UtilisationModel
) -> None:
    made = hopped(20.0, 1.050, hop(0.030), hop(0.020, 20.0), hop(0.010, moment=Moment.FIRST_WORT))
    known, preferences = calibration(), Preferences(bitterness_formula=formula)
    before = exact_ibu(plan(made, known, None, None, preferences))
    got = plan(made, known, None, Target(volume_l, gravity=gravity), preferences)
    after = exact_ibu(got)
    # The recipe does not tell its boil-off, so it is read as if its wort had thickened as much
    # as this one: that moves the bitterness read into it, alike for every addition.
    assert sum(after) == pytest.approx(got.recipe_reading.bitterness_ibu, rel=1e-9)
    assert sum(after) == pytest.approx(sum(before), rel=0.08)
    balance = [part / sum(after) for part in after]
    assert balance == pytest.approx([part / sum(before) for part in before], rel=1e-9)


@pytest.mark.parametrize("gravity", [1.040, 1.075])
def test_a_bittering_stand_keeps_its_own_bitterness_beside_ragers_boil(gravity: float) -> None:
    # Rager's curve is never used for a stand, so the two answer to gravity in different ways.
    stand = hop(0.060, 30.0, Purpose.BITTERNESS, Moment.STAND, temperature_c=90.0)
    made = hopped(20.0, 1.060, hop(0.030), stand)
    before = exact_ibu(plan(made, calibration(), preferences=RAGER))
    after = exact_ibu(plan(made, calibration(), None, Target(gravity=gravity), RAGER))
    assert after == pytest.approx(before, rel=1e-9)


def exact_ibu(got: Plan) -> list[float]:
    """Bitterness of the exact masses; it is proportional to the mass."""
    return [line.bitterness_ibu * line.exact_kg / line.to_weigh_kg for line in got.hop_bill]


@tried(100)
@given(gravity=st.floats(1.035, 1.085), volume_l=st.floats(8.0, 45.0))
def test_aroma_hops_keep_their_mass_per_volume(gravity: float, volume_l: float) -> None:
    made = hopped(20.0, 1.050, *HOPS)
    got = plan(made, calibration(), None, Target(volume_l, gravity=gravity))
    for written, line in zip(HOPS, got.hop_bill, strict=True):
        if written.purpose is Purpose.AROMA:
            assert line.exact_kg / volume_l == pytest.approx((written.mass_kg or 0.0) / 20.0)


@tried(100)
@given(gravity=st.floats(1.035, 1.085), volume_l=st.floats(8, 45), ibu=st.floats(45.0, 90.0))
def test_the_bitterness_asked_for_is_what_the_whole_bill_gives(
    gravity: float, volume_l: float, ibu: float
) -> None:
    made = hopped(20.0, 1.050, *HOPS)
    got = plan(made, calibration(), None, Target(volume_l, gravity=gravity, bitterness_ibu=ibu))
    assert sum(exact_ibu(got)) == pytest.approx(ibu, rel=1e-9)
    assert got.asked.bitterness_ibu == ibu
    assert got.forecast.bitterness_ibu == pytest.approx(
        sum(line.bitterness_ibu for line in got.hop_bill)
    )


def test_a_bitterness_that_aroma_hops_alone_exceed_is_not_said_to_be_met() -> None:
    made = hopped(20.0, 1.050, hop(0.020), hop(0.080, 10.0, Purpose.AROMA))
    got = plan(made, calibration(), None, Target(bitterness_ibu=10.0))
    assert got.asked.bitterness_ibu == 10.0
    assert got.forecast.bitterness_ibu > 20.0
    finding = next(w for w in got.warnings if w.code == "bitterness_not_met")
    assert "aroma hops alone" in finding.detail


def test_a_bill_without_bittering_hops_says_what_it_cannot_add() -> None:
    made = hopped(20.0, 1.050, hop(0.040, 10.0, Purpose.AROMA))
    got = plan(made, calibration(), None, Target(bitterness_ibu=60.0))
    finding = next(w for w in got.warnings if w.code == "bitterness_not_met")
    assert "no bittering hops" in finding.detail
    assert "bitterness_not_met" not in {w.code for w in plan(made, calibration()).warnings}


def test_a_hop_written_by_its_bitterness_gets_the_mass_for_it() -> None:
    # 40 IBU, 22 L, 1.052, 9.5 %, 60 min: 40.89 g (Tinseth, worked by hand).
    made = hopped(22.0, 1.052, hop(None, alpha=0.095, bitterness_ibu=40.0))
    assert grams(plan(made, STILL)) == [pytest.approx(40.89, abs=0.01)]


def test_dry_hops_bring_no_bitterness() -> None:
    made = hopped(20.0, 1.050, hop(0.030), hop(0.100, 0.0, Purpose.AROMA, Moment.DRY))
    assert plan(made, calibration()).hop_bill[1].bitterness_ibu == 0.0


def test_a_stand_carries_on_bittering_what_was_boiled() -> None:
    # 60 min, then 15 min at 95 degC: 3.2 % more of the boiled addition.
    stand = hop(0.001, 15.0, Purpose.AROMA, Moment.STAND, temperature_c=95.0)
    alone = exact_ibu(plan(hopped(20.0, 1.060, hop(0.030)), STILL))[0]
    with_stand = exact_ibu(plan(hopped(20.0, 1.060, hop(0.030), stand), STILL))[0]
    assert with_stand / alone == pytest.approx(1.032, abs=0.001)


def test_ragers_curve_is_used_where_asked_for() -> None:
    # 28 g, 10 %, 60 min, 20 L, 1.070: 39.22 IBU on the smooth curve.
    made = hopped(20.0, 1.070, hop(0.028))
    got = plan(made, STILL, preferences=RAGER)
    assert got.recipe_reading.bitterness_ibu == pytest.approx(39.22, abs=0.1)
    assert got.forecast.bitterness_formula == "rager"
