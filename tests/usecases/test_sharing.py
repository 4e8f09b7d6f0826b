"""Setups that share in a club learn from each other, and only those."""

from dataclasses import replace
from uuid import UUID

import pytest

from factories import SETUP, session
from usecases.house import House
from wortwright.calibration.fit import fit_calibration
from wortwright.calibration.posterior import Calibration
from wortwright.records.session import SessionState
from wortwright.records.setup import LauterMethod, Setup
from wortwright.usecases.calibrations import get_latest_calibration
from wortwright.usecases.sessions import create_session
from wortwright.usecases.setups import create_setup, replace_setup

SHARING = replace(SETUP, shares_with_club=True)


def known(house: House, setup_id: UUID) -> Calibration:
    return get_latest_calibration(house.database, house.caller, setup_id).value


def brewed_on(house: House, setup: Setup, gravity: float = 1.052) -> UUID:
    """A new setup on which five brews were made."""
    made = create_setup(house.work, house.brewer.id, setup).id
    for day in range(1, 6):
        create_session(house.work, made, None, session(day, gravity, state=SessionState.CLOSED))
    return made


@pytest.fixture
def club(house: House) -> House:
    """A club of four setups that share."""
    for _ in range(4):
        brewed_on(house, SHARING)
    return house


def test_a_newcomer_that_shares_starts_from_what_the_club_knows(club: House) -> None:
    newcomer = known(club, create_setup(club.work, club.brewer.id, SHARING).id)
    alone = fit_calibration(SETUP, ())
    assert newcomer.efficiency.mean != alone.efficiency.mean
    assert newcomer.constants["conversion"].sd < alone.constants["conversion"].sd


def test_who_does_not_share_learns_nothing(club: House) -> None:
    assert known(club, create_setup(club.work, club.brewer.id, SETUP).id) == fit_calibration(
        SETUP, ()
    )


@pytest.mark.parametrize(
    "other",
    [SETUP, replace(SHARING, lauter_method=LauterMethod.CONTINUOUS_SPARGE)],
    ids=["not sharing", "of another method"],
)
def test_setups_that_do_not_share_or_are_of_another_method_teach_nothing(
    house: House, other: Setup
) -> None:
    for _ in range(4):
        brewed_on(house, other)
    newcomer = known(house, create_setup(house.work, house.brewer.id, SHARING).id)
    assert newcomer.efficiency == fit_calibration(SHARING, ()).efficiency


def test_another_club_teaches_nothing(club: House) -> None:
    other = House(club.database, "Tail Race")
    newcomer = known(other, create_setup(other.work, other.brewer.id, SHARING).id)
    assert newcomer.efficiency == fit_calibration(SHARING, ()).efficiency


def test_sharing_ends_when_the_brewer_says_so(club: House) -> None:
    made = create_setup(club.work, club.brewer.id, SHARING)
    replace_setup(club.work, made.id, made.version, SETUP)
    assert known(club, made.id) == fit_calibration(SETUP, ())
    assert known(club, made.id).own_word is None


def test_a_setup_hears_the_others_and_not_itself(house: House) -> None:
    for _ in range(2):
        brewed_on(house, SHARING)
    third = brewed_on(house, SHARING)
    # Two others are too few; its own word is not a third.
    alone = fit_calibration(
        SHARING,
        [(str(day), session(day, 1.052, state=SessionState.CLOSED)) for day in range(1, 6)],
    )
    assert known(house, third).efficiency == alone.efficiency
