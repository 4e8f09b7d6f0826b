"""What one brew says: reconciled, beside another, and what it taught."""

from dataclasses import dataclass
from uuid import UUID

from wortwright.calibration.lesson import Lesson, lesson_of
from wortwright.calibration.posterior import Calibration, OwnWord
from wortwright.calibration.reconciliation import (
    Reconciliation,
    calibration_beside,
    reconcile,
)
from wortwright.calibration.session_comparison import SessionComparison, compare_sessions
from wortwright.records.session import Session
from wortwright.records.setup import Setup
from wortwright.store import calibrations, sessions, setups
from wortwright.store.calibrations import StoredCalibration
from wortwright.store.database import Database, Tx
from wortwright.store.sessions import StoredSession
from wortwright.store.stored import Scope, Stored
from wortwright.usecases.calibrations import full_kettle_l
from wortwright.usecases.callers import Caller
from wortwright.usecases.learning import closed_sessions, club_of, with_plain_readings
from wortwright.usecases.rights import may_read


class NothingTaughtError(RuntimeError):
    """The session does not count, so nothing was learnt from it."""

    def __init__(self) -> None:
        super().__init__("This session does not count: only a closed one teaches its setup.")


class NoEarlierBrewError(RuntimeError):
    """There is nothing to compare the first brew on a setup with."""

    def __init__(self) -> None:
        super().__init__(
            "This is the first brew on its setup; name the one to compare it with by other_id."
        )


@dataclass(frozen=True, slots=True)
class ReconciledSession:
    """A session reconciled; ``others`` is how many sessions tell what its setup usually does."""

    session_id: UUID
    others: int
    answer: Reconciliation


@dataclass(frozen=True, slots=True)
class ComparedSessions:
    """Two sessions of one brewer side by side."""

    session_id: UUID
    other_id: UUID
    answer: SessionComparison


@dataclass(frozen=True, slots=True)
class SessionLesson:
    """What was known before a session was counted and after, and what that changed."""

    session_id: UUID
    before: StoredCalibration
    after: StoredCalibration
    preboil_l: float
    answer: Lesson


@dataclass(frozen=True, slots=True)
class _Brew:
    """A session with its readings as volumes and gravities, and what is known beside it."""

    setup: Stored[Setup]
    session: Session
    others: list[tuple[str, Session]]
    club: tuple[OwnWord, ...]

    def calibration(self) -> Calibration:
        return calibration_beside(self.setup.value, self.others, self.session, self.club)


def reconcile_session(database: Database, caller: Caller, session_id: UUID) -> ReconciledSession:
    """Balance the readings of a session, by what the other sessions say of its setup."""
    scope = may_read(caller)
    with database.read() as tx:
        brew = _brew(tx, sessions.get(tx, scope, session_id), {session_id})
    calibration = brew.calibration()
    answer = reconcile(brew.session, calibration)
    return ReconciledSession(session_id, calibration.session_count, answer)


def compare_with(
    database: Database, caller: Caller, session_id: UUID, other_id: UUID | None
) -> ComparedSessions:
    """Set a session beside another of the same brewer, or beside the brew before it."""
    scope = may_read(caller)
    with database.read() as tx:
        one = sessions.get(tx, scope, session_id)
        owner = Scope(one.club_id, one.brewer_id)
        if other_id is None:
            other = sessions.brewed_before(tx, owner, one)
        else:
            other = sessions.get(tx, owner, other_id)
        if other is None:
            raise NoEarlierBrewError
        both = {one.id, other.id}
        first, second = _brew(tx, other, both), _brew(tx, one, both)
    answer = compare_sessions(
        (first.session, first.calibration()),
        (second.session, second.calibration()),
        one_setup=first.setup.id == second.setup.id,
    )
    return ComparedSessions(session_id, other.id, answer)


def lesson_from(database: Database, caller: Caller, session_id: UUID) -> SessionLesson:
    """Tell what changed when a session was last counted."""
    scope = may_read(caller)
    with database.read() as tx:
        session = sessions.get(tx, scope, session_id)
        owner = Scope(session.club_id, session.brewer_id)
        setup = setups.get(tx, owner, session.setup_id)
        counted = calibrations.numbers_with(tx, owner, setup.id, session_id)
        if not counted[-1][1]:
            raise NothingTaughtError
        number = max(number for number, has_it in counted if not has_it)
        before = calibrations.get(tx, owner, setup.id, number)
        after = calibrations.get(tx, owner, setup.id, number + 1)
    preboil_l = full_kettle_l(setup.value)
    answer = lesson_of(before.value, after.value, preboil_l)
    return SessionLesson(session_id, before, after, preboil_l, answer)


def _brew(tx: Tx, session: StoredSession, apart: set[UUID]) -> _Brew:
    setup = setups.get(tx, Scope(session.club_id, session.brewer_id), session.setup_id)
    others = [
        (str(other_id), other)
        for other_id, other in closed_sessions(tx, setup)
        if other_id not in apart
    ]
    plain = with_plain_readings(session.value, setup.value)
    return _Brew(setup, plain, others, club_of(tx, setup))
