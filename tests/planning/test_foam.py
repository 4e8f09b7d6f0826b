"""Room for foam by gravity and yeast, in the check of the fermenter and in the vessel chain."""

from dataclasses import replace
from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from laws import tried
from planning.builders import calibration, plan, recipe, recipe_of_this_setup, setup
from planning.kit import BAG, BITTER, bag_calibration
from wortwright.planning.brewhouse import Brewhouse
from wortwright.planning.foam import foam_of, usable_l
from wortwright.planning.plan import Plan
from wortwright.planning.recipe import read_recipe
from wortwright.planning.set_schedule import schedule_set
from wortwright.planning.target import Preferences, Target, TargetError
from wortwright.planning.vessel_chain import ChainAsked, chain_back
from wortwright.records.recipe import VolumeAt, Yeast
from wortwright.records.setup import Vessel, Vessels

KNOWN = calibration()
ALE, WHEAT, LAGER = (Yeast(name) for name in ("English ale", "Bavarian Wheat", "Alpine lager"))


@pytest.mark.parametrize(
    ("gravity", "yeast", "free"),
    [
        # A fifth for an ordinary ale (design: foam_room 20 %), a quarter at 1.070, 30 % from
        # 1.090; two fifths more for what is cropped from the top, two fifths less for lager.
        (1.040, None, 0.20), (1.050, ALE, 0.20), (1.070, ALE, 0.25), (1.110, ALE, 0.30),
        (1.050, WHEAT, 0.28), (1.070, WHEAT, 0.35), (1.090, Yeast("Hefeweizen"), 0.42),
        (1.050, LAGER, 0.12), (1.090, LAGER, 0.18), (1.050, Yeast("Top-cropping ale"), 0.28),
    ],
)  # fmt: skip
def test_room_for_foam_goes_by_gravity_and_yeast(
    gravity: float, yeast: Yeast | None, free: float
) -> None:
    vessel = Vessel(25.0, foam_room=0.20)
    assert usable_l(vessel, foam_of(gravity, yeast)) == pytest.approx(25.0 * (1.0 - free))


def fermenting(yeast: Yeast, gravity: float, fermenter_l: float) -> Plan:
    own = recipe_of_this_setup(recipe(yeast=yeast), KNOWN)
    on = setup(vessels=Vessels(Vessel(1000.0), fermenters=(Vessel(fermenter_l),)))
    return plan(own, KNOWN, on, Target(20.0, VolumeAt.FERMENTER, gravity))


@pytest.mark.parametrize(
    ("yeast", "gravity", "fermenter_l", "fits"),
    [
        # 20 L: 25 L with a fifth free, 27.8 L with 28 %, 22.7 L with 12 %, 28.6 L with 30 %.
        (ALE, 1.050, 25.1, True), (WHEAT, 1.050, 25.1, False), (WHEAT, 1.050, 27.9, True),
        (LAGER, 1.050, 22.8, True), (ALE, 1.050, 22.8, False), (ALE, 1.090, 28.5, False),
        (ALE, 1.090, 28.7, True), (LAGER, 1.090, 24.5, True),
    ],
)  # fmt: skip
def test_the_check_of_the_fermenter_knows_the_foam(
    yeast: Yeast, gravity: float, fermenter_l: float, fits: bool
) -> None:
    (check,) = [
        one
        for one in fermenting(yeast, gravity, fermenter_l).fit.checks
        if one.at == "fermentation"
    ]
    assert check.fits is fits


def test_what_fails_by_its_foam_alone_is_told_of_a_tube() -> None:
    def told(made: Plan) -> bool:
        return "foams_high" in {finding.code for finding in made.warnings}

    assert told(fermenting(WHEAT, 1.050, 25.5))
    assert not told(fermenting(WHEAT, 1.050, 24.5))  # too small for any beer of 20 L
    assert not told(fermenting(ALE, 1.050, 25.5))


def chain(yeast: Yeast) -> int:
    bitter = replace(BITTER, yeast=yeast)
    on = replace(BAG, vessels=replace(BAG.vessels, fermenters=(Vessel(25.0),) * 2))
    house = Brewhouse(read_recipe(bitter), on, bag_calibration(), Preferences())
    asked = ChainAsked(18.0, aged=False)
    made = chain_back(replace(house, setup=replace(on, vessels=one_fermenter(on.vessels))), asked)
    return made.brews


def one_fermenter(vessels: Vessels) -> Vessels:
    return replace(vessels, fermenters=vessels.fermenters[:1])


def test_the_vessel_chain_takes_another_brew_where_the_yeast_foams_high() -> None:
    # 18 L packaged are about 19 L in a fermenter of 25 L: a fifth is free, 28 % is not.
    assert chain(ALE) == 1
    assert chain(WHEAT) == 2


def test_a_set_of_brews_wants_fermenters_that_hold_the_foam() -> None:
    start = datetime(2026, 5, 2, 9, tzinfo=UTC)
    made = fermenting(WHEAT, 1.050, 27.9)
    (brew,) = schedule_set([made], start, [Vessel(25.5, "small"), Vessel(27.9, "large")])
    assert brew.fermenter == "large"
    with pytest.raises(TargetError):
        schedule_set([made], start, [Vessel(25.5)])


@tried(100)
@given(
    own=st.floats(0.0, 0.9),
    lower=st.floats(1.0, 1.2),
    more=st.floats(0.0, 0.1),
    yeast=st.sampled_from([None, ALE, WHEAT, LAGER]),
)
def test_stronger_wort_never_gets_less_room_and_some_wort_always_fits(
    own: float, lower: float, more: float, yeast: Yeast | None
) -> None:
    vessel = Vessel(30.0, foam_room=own)
    weak, strong = (usable_l(vessel, foam_of(g, yeast)) for g in (lower, lower + more))
    assert 0.0 < strong <= weak
    assert strong >= 30.0 * min(1.0 - own, 0.5) - 1e-9
