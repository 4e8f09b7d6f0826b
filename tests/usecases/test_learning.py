from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace

import pytest

from factories import SETUP, session
from usecases.house import House
from wortwright.calibration.fit import fit_calibration
from wortwright.calibration.posterior import MODEL_VERSION
from wortwright.records.session import SessionState
from wortwright.usecases.calibrations import get_latest_calibration, list_calibrations
from wortwright.usecases.learning import refit_outdated
from wortwright.usecases.sessions import (
    close_session,
    create_session,
    delete_session,
    get_session,
    list_sessions,
)


def test_the_stored_calibration_is_what_a_fit_of_the_stored_sessions_gives(house: House) -> None:
    setup = house.setup()
    brews = [session(day, 1.04 + day / 1000) for day in (3, 1, 2)]
    stored = [create_session(house.work, setup.id, None, brew) for brew in brews]
    for one in stored:
        close_session(house.work, one.id)
    known = get_latest_calibration(house.database, house.caller, setup.id)
    by_day = sorted(stored, key=lambda one: one.value.brewed_at)
    evidence = [
        (
            str(one.id),
            session(
                one.value.brewed_at.day,
                1.04 + one.value.brewed_at.day / 1000,
                state=SessionState.CLOSED,
            ),
        )
        for one in by_day
    ]
    assert known.session_ids == tuple(one.id for one in by_day)
    assert known.value == fit_calibration(SETUP, evidence)


def test_each_version_of_a_calibration_stays_as_it_was(house: House) -> None:
    setup = house.setup()
    first = get_latest_calibration(house.database, house.caller, setup.id)
    create_session(house.work, setup.id, None, session(state=SessionState.CLOSED))
    versions = list_calibrations(house.database, house.caller, setup.id, None, 10).items
    assert [one.number for one in versions] == [1, 0]
    assert versions[1] == first


def test_sixteen_sessions_closed_at_once_teach_what_they_teach_one_by_one(house: House) -> None:
    setup = house.setup()
    brews = [session(day, 1.035 + day / 1000) for day in range(1, 17)]
    opened = [create_session(house.work, setup.id, None, brew).id for brew in brews]
    with ThreadPoolExecutor(16) as pool:
        list(pool.map(lambda one: close_session(house.work, one), opened))
    known = get_latest_calibration(house.database, house.caller, setup.id)
    assert set(known.session_ids) == set(opened)
    assert known.number == len(opened)
    closed = [
        (str(one), replace(brew, state=SessionState.CLOSED))
        for one, brew in zip(opened, brews, strict=True)
    ]
    assert known.value == fit_calibration(SETUP, closed)


@pytest.mark.parametrize("change", [close_session, lambda w, one: delete_session(w, one, 1)])
def test_a_fit_that_fails_leaves_the_session_as_it_was(
    house: House, monkeypatch: pytest.MonkeyPatch, change: Callable[..., object]
) -> None:
    setup = house.setup()
    state = SessionState.OPEN if change is close_session else SessionState.CLOSED
    opened = create_session(house.work, setup.id, None, session(state=state))
    before = get_latest_calibration(house.database, house.caller, setup.id)

    def fail(*_: object) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr("wortwright.usecases.learning.fit_calibration", fail)
    with pytest.raises(ZeroDivisionError):
        change(house.work, opened.id)
    assert get_session(house.database, house.caller, opened.id) == opened
    assert get_latest_calibration(house.database, house.caller, setup.id) == before


def test_a_page_of_sessions_takes_one_query(house: House, count_queries: Callable[[], int]) -> None:
    setup = house.setup()
    for day in range(1, 6):
        create_session(house.work, setup.id, None, session(day))
    before = count_queries()
    assert len(list_sessions(house.database, house.caller, None, 10).items) == 5
    assert count_queries() - before == 1


def test_only_what_an_older_model_made_is_refitted(
    house: House, monkeypatch: pytest.MonkeyPatch
) -> None:
    setup = house.setup()
    create_session(house.work, setup.id, None, session(state=SessionState.CLOSED))
    assert refit_outdated(house.database) == 0
    monkeypatch.setattr("wortwright.usecases.learning.MODEL_VERSION", MODEL_VERSION + 1)
    assert refit_outdated(house.database) == 1
    versions = list_calibrations(house.database, house.caller, setup.id, None, 10).items
    assert [one.number for one in versions] == [2, 1, 0]
    assert versions[0].session_ids == versions[1].session_ids
