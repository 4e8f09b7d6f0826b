"""Sessions: what a brew day writes down, and what it teaches when it is closed."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from uuid import UUID

from wortwright.records.session import Reading, Session, SessionState
from wortwright.store import calibrations, scalings, sessions, setups
from wortwright.store.calibrations import StoredCalibration
from wortwright.store.clock import now
from wortwright.store.database import Database, Tx
from wortwright.store.sessions import StoredSession
from wortwright.store.stored import Page, Scope
from wortwright.usecases.callers import Caller
from wortwright.usecases.learning import refit
from wortwright.usecases.rights import may_open, may_read, may_write
from wortwright.usecases.session_events import recorded
from wortwright.usecases.work import storing

MOST_READINGS = 100


class SessionStateError(RuntimeError):
    """The session's state does not allow this."""

    def __init__(self, state: SessionState, act: str) -> None:
        super().__init__(f"A session that is {state.replace('_', ' ')} cannot be {act}.")
        self.state = state
        self.act = act


class NotTrustedError(RuntimeError):
    """No doubt of the session was overruled."""

    def __init__(self) -> None:
        super().__init__("This session is not trusted, so there is nothing to take back.")


class TooManyReadingsError(RuntimeError):
    """The session holds as many readings as one may."""

    def __init__(self) -> None:
        super().__init__(f"A session holds at most {MOST_READINGS} readings.")


@dataclass(frozen=True, slots=True)
class Learnt:
    """A session after a change, and the setup's calibration after it.

    ``before`` is the calibration that it was, None where the change taught nothing.
    """

    session: StoredSession
    after: StoredCalibration
    before: StoredCalibration | None = None

    @property
    def version(self) -> int:
        """The version of the session."""
        return self.session.version


@storing
def create_session(
    tx: Tx, caller: Caller, setup_id: UUID, scaling_id: UUID | None, session: Session
) -> StoredSession:
    """Write down a brew; one that is closed already teaches at once."""
    owner = _owner_of(tx, caller, setup_id, scaling_id, lock=True)
    written = recorded(None, session, now())
    created = sessions.add(tx, owner, setup_id, scaling_id, written)
    return _learn(tx, created, teaches=session.state is SessionState.CLOSED).session


def check_session(
    database: Database, caller: Caller, setup_id: UUID, scaling_id: UUID | None
) -> None:
    """Raise what `create_session` would raise, and store nothing."""
    with database.read() as tx:
        _owner_of(tx, caller, setup_id, scaling_id)


def _owner_of(
    tx: Tx, caller: Caller, setup_id: UUID, scaling_id: UUID | None, *, lock: bool = False
) -> Scope:
    """Give whose a new session will be: the setup's and, if it has one, the scaling's owner."""
    setup = setups.get(tx, may_write(caller, "add sessions"), setup_id, lock=lock)
    owner = Scope(setup.club_id, setup.brewer_id)
    if scaling_id is not None:
        scalings.get(tx, owner, scaling_id)
    return owner


def get_session(database: Database, caller: Caller, session_id: UUID) -> StoredSession:
    """Give a session."""
    with database.read() as tx:
        return sessions.get(tx, may_open(caller, "session", session_id), session_id)


def list_sessions(
    database: Database,
    caller: Caller,
    after: UUID | None,
    limit: int,
    setup_id: UUID | None = None,
    state: SessionState | None = None,
) -> Page[StoredSession]:
    """List the sessions that the caller may see, of one setup or in one state if asked."""
    scope = may_read(caller)
    with database.read() as tx:
        return sessions.page(tx, scope, after, limit, setup_id=setup_id, state=state)


@storing
def replace_session(
    tx: Tx, caller: Caller, session_id: UUID, expected: int, session: Session
) -> StoredSession:
    """Write a session anew, its state with it."""
    scope = may_write(caller, "change sessions")
    return _change(tx, scope, session_id, lambda _: session, expected).session


def with_reading(tx: Tx, scope: Scope, session_id: UUID, reading: Reading) -> StoredSession:
    """Give a session one reading more; a closed one teaches anew."""

    def with_one_more(session: Session) -> Session:
        if len(session.readings) >= MOST_READINGS:
            raise TooManyReadingsError
        return replace(session, readings=(*session.readings, reading))

    return _change(tx, scope, session_id, with_one_more).session


@storing
def close_session(tx: Tx, caller: Caller, session_id: UUID) -> Learnt:
    """Close an open session: from now on it teaches."""

    def closed(session: Session) -> Session:
        if session.state is not SessionState.OPEN:
            raise SessionStateError(session.state, "closed")
        return replace(session, state=SessionState.CLOSED)

    return _change(tx, may_write(caller, "close sessions"), session_id, closed)


@storing
def set_session_aside(tx: Tx, caller: Caller, session_id: UUID, reason: str) -> Learnt:
    """Set a session aside: it stays on record and teaches nothing."""

    def aside(session: Session) -> Session:
        if session.state is SessionState.SET_ASIDE:
            raise SessionStateError(session.state, "set aside")
        return replace(
            session,
            state=SessionState.SET_ASIDE,
            set_aside_because=reason,
            trusted_because=None,
        )

    return _change(tx, may_write(caller, "set sessions aside"), session_id, aside)


@storing
def reopen_session(tx: Tx, caller: Caller, session_id: UUID) -> Learnt:
    """Open a session again; until it is closed it teaches nothing."""

    def reopened(session: Session) -> Session:
        if session.state is SessionState.OPEN:
            raise SessionStateError(session.state, "reopened")
        return replace(
            session, state=SessionState.OPEN, set_aside_because=None, trusted_because=None
        )

    return _change(tx, may_write(caller, "reopen sessions"), session_id, reopened)


@storing
def trust_session(tx: Tx, caller: Caller, session_id: UUID, reason: str) -> Learnt:
    """Overrule the doubt of the calibration: the session's readings count in full."""

    def trusted(session: Session) -> Session:
        if session.state is not SessionState.CLOSED:
            raise SessionStateError(session.state, "trusted")
        return replace(session, trusted_because=reason)

    return _change(tx, may_write(caller, "trust sessions"), session_id, trusted)


@storing
def doubt_session(tx: Tx, caller: Caller, session_id: UUID) -> Learnt:
    """Take the overruling back: the session is judged by the others again."""

    def doubted(session: Session) -> Session:
        if session.trusted_because is None:
            raise NotTrustedError
        return replace(session, trusted_because=None)

    return _change(tx, may_write(caller, "doubt sessions"), session_id, doubted)


@storing
def delete_session(tx: Tx, caller: Caller, session_id: UUID, expected: int) -> None:
    """Delete a session and forget what it taught."""
    scope = may_write(caller, "delete sessions")
    held = _hold(tx, scope, session_id)
    sessions.remove(tx, scope, session_id, expected)
    _learn(tx, held, teaches=held.value.state is SessionState.CLOSED)


def _hold(tx: Tx, scope: Scope, session_id: UUID) -> StoredSession:
    """Give a session with its setup's row held first, then its own: always in this order."""
    found = sessions.get(tx, scope, session_id)
    setups.get(tx, scope, found.setup_id, lock=True)
    return sessions.get(tx, scope, session_id, lock=True)


def _change(
    tx: Tx,
    scope: Scope,
    session_id: UUID,
    change: Callable[[Session], Session],
    expected: int | None = None,
) -> Learnt:
    """Change a session and, if it taught or now teaches, refit its setup."""
    held = _hold(tx, scope, session_id)
    changed = sessions.replace(
        tx,
        scope,
        session_id,
        held.version if expected is None else expected,
        recorded(held.value, change(held.value), now()),
    )
    states = {held.value.state, changed.value.state}
    return _learn(tx, changed, teaches=SessionState.CLOSED in states)


def _learn(tx: Tx, session: StoredSession, *, teaches: bool) -> Learnt:
    owner = Scope(session.club_id, session.brewer_id)
    known = calibrations.latest(tx, owner, session.setup_id)
    if not teaches:
        return Learnt(session, known)
    return Learnt(session, refit(tx, setups.get(tx, owner, session.setup_id)), known)
