from dataclasses import replace
from uuid import UUID

import pytest

from factories import session
from usecases.house import House
from wortwright.records.session import Reading, Session, SessionState, Stage
from wortwright.store.sessions import StoredSession
from wortwright.store.stored import NotFoundError
from wortwright.usecases.calibrations import get_calibration
from wortwright.usecases.session_answers import (
    NoEarlierBrewError,
    NothingTaughtError,
    compare_with,
    lesson_from,
    reconcile_session,
)
from wortwright.usecases.sessions import (
    close_session,
    create_session,
    reopen_session,
    set_session_aside,
)


def brewed(house: House, setup_id: UUID, day: int, gravity: float = 1.042) -> StoredSession:
    readings = (
        Reading(Stage.PRE_BOIL, volume_l=26.0, gravity=gravity),
        Reading(Stage.FERMENTER, volume_l=21.0, gravity=1.0 + (gravity - 1.0) * 1.18),
    )
    one = replace(session(day, state=SessionState.CLOSED), readings=readings)
    return create_session(house.work, setup_id, None, one)


def other_of(house: House, one: StoredSession) -> UUID:
    return compare_with(house.database, house.caller, one.id, None).other_id


def test_a_brew_is_compared_with_the_last_one_brewed_before_it(house: House) -> None:
    setup, elsewhere = house.setup(), house.setup()
    # Written down in another order than brewed, and one on another setup between them.
    third, first, second = (brewed(house, setup.id, day) for day in (9, 3, 6))
    brewed(house, elsewhere.id, 8)
    assert other_of(house, third) == second.id
    assert other_of(house, second) == first.id
    with pytest.raises(NoEarlierBrewError):
        other_of(house, first)


def test_of_two_brews_of_one_moment_the_later_written_is_the_later(house: House) -> None:
    setup = house.setup()
    first, second = brewed(house, setup.id, 3), brewed(house, setup.id, 3)
    assert other_of(house, second) == first.id
    with pytest.raises(NoEarlierBrewError):
        other_of(house, first)


def test_a_brewer_does_not_see_the_brew_of_another(house: House) -> None:
    mine = brewed(house, house.setup().id, 3)
    stranger = House(house.database, "Lockgate")
    theirs = brewed(stranger, stranger.setup().id, 3)
    with pytest.raises(NotFoundError):
        compare_with(house.database, house.caller, mine.id, theirs.id)
    for ask in (reconcile_session, lesson_from):
        with pytest.raises(NotFoundError):
            ask(house.database, house.caller, theirs.id)


def test_a_session_is_reconciled_without_itself_among_the_others(house: House) -> None:
    setup = house.setup()
    first, *_ = (brewed(house, setup.id, day) for day in (3, 4, 5))
    assert reconcile_session(house.database, house.caller, first.id).others == 2
    reopen_session(house.work, first.id)
    assert reconcile_session(house.database, house.caller, first.id).others == 2


def test_a_lesson_is_the_change_when_the_session_was_last_counted(house: House) -> None:
    setup = house.setup()
    first, second = brewed(house, setup.id, 3), brewed(house, setup.id, 4, 1.039)
    set_session_aside(house.work, first.id, "A test.")
    reopen_session(house.work, first.id)
    close_session(house.work, first.id)
    # 0: none, 1: first, 2: both, 3: second, 4: both again; reopening taught nothing.
    for one, numbers in ((first, (3, 4)), (second, (1, 2))):
        lesson = lesson_from(house.database, house.caller, one.id)
        assert (lesson.before.number, lesson.after.number) == numbers
        stored = get_calibration(house.database, house.caller, setup.id, numbers[1])
        assert lesson.after == stored
        moved = {moved.name: moved.after for moved in lesson.answer.constants}
        assert moved == stored.value.constants


def test_what_does_not_count_taught_nothing(house: House) -> None:
    setup = house.setup()
    never: Session = session(3)
    opened = create_session(house.work, setup.id, None, never)
    aside = brewed(house, setup.id, 4)
    set_session_aside(house.work, aside.id, "A test.")
    for one in (opened, aside):
        with pytest.raises(NothingTaughtError):
            lesson_from(house.database, house.caller, one.id)
