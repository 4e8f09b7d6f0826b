"""Sessions: brews on a setup."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from sqlalchemy import and_, or_, select

from wortwright.records.session import Session, SessionState
from wortwright.store import rows
from wortwright.store.database import Tx
from wortwright.store.documents import from_document, to_document
from wortwright.store.models import SessionRow
from wortwright.store.stored import Page, RowFacts, Scope, Stored


@dataclass(frozen=True, slots=True, kw_only=True)
class StoredSession(Stored[Session]):
    """A session with the setup it was brewed on and the scaling it was brewed from."""

    setup_id: UUID
    scaling_id: UUID | None


def add(
    tx: Tx,
    owner: Scope,
    setup_id: UUID,
    scaling_id: UUID | None,
    value: Session,
    facts: RowFacts | None = None,
) -> StoredSession:
    """Store a new session of the brewer whose setup it was brewed on."""
    row = SessionRow(
        club_id=owner.club_id,
        brewer_id=owner.brewer_id,
        setup_id=setup_id,
        scaling_id=scaling_id,
    )
    _write(row, value)
    rows.add(tx, row, facts)
    return _read(row)


def get(tx: Tx, scope: Scope, session_id: UUID, *, lock: bool = False) -> StoredSession:
    """Give a session; with ``lock``, hold it against other writers."""
    return _read(rows.read(tx, SessionRow, scope, session_id, lock=lock))


def page(
    tx: Tx,
    scope: Scope,
    after: UUID | None,
    limit: int,
    *,
    setup_id: UUID | None = None,
    state: SessionState | None = None,
) -> Page[StoredSession]:
    """Give the next sessions, newest first, of one setup or in one state if asked."""
    found = rows.in_scope(SessionRow, scope)
    if setup_id is not None:
        found = found.where(SessionRow.setup_id == setup_id)
    if state is not None:
        found = found.where(SessionRow.state == state)
    return rows.page(tx, SessionRow, found, _read, after=after, limit=limit)


def replace(tx: Tx, scope: Scope, session_id: UUID, expected: int, value: Session) -> StoredSession:
    """Put another document in place of a session's."""
    row = rows.one(tx, SessionRow, rows.in_scope(SessionRow, scope), session_id, lock=True)
    rows.expect_version(row, expected)
    _write(row, value)
    rows.flush(tx, row)
    return _read(row)


def remove(tx: Tx, scope: Scope, session_id: UUID, expected: int) -> None:
    """Delete a session."""
    found = rows.in_scope(SessionRow, scope)
    rows.remove(tx, rows.one(tx, SessionRow, found, session_id, lock=True), expected)


def closed_on(tx: Tx, setup_id: UUID) -> list[tuple[UUID, Session]]:
    """Give the sessions that may teach a setup something, oldest brew first."""
    found = (
        select(SessionRow)
        .where(SessionRow.setup_id == setup_id, SessionRow.state == SessionState.CLOSED)
        .order_by(SessionRow.brewed_at, SessionRow.id)
    )
    return [(row.id, from_document(row.document, Session)) for row in tx.scalars(found)]


def brewed_before(tx: Tx, scope: Scope, session: StoredSession) -> StoredSession | None:
    """Give the brew before one on the same setup; None if it was the first."""
    row = SessionRow
    at = session.value.brewed_at
    earlier = or_(row.brewed_at < at, and_(row.brewed_at == at, row.id < session.id))
    found = rows.in_scope(row, scope).where(row.setup_id == session.setup_id, earlier)
    newest = found.order_by(row.brewed_at.desc(), row.id.desc()).limit(1)
    before = tx.scalars(newest).one_or_none()
    return None if before is None else _read(before)


def last_brewed_at(tx: Tx, scope: Scope, scaling_id: UUID) -> datetime | None:
    """Tell when a scaling was last brewed; None if no session was made from it."""
    found = rows.in_scope(SessionRow, scope).where(SessionRow.scaling_id == scaling_id)
    row = tx.scalars(found.order_by(SessionRow.brewed_at.desc()).limit(1)).one_or_none()
    return None if row is None else row.brewed_at


def any_on(tx: Tx, setup_id: UUID) -> bool:
    """Tell whether a setup has sessions."""
    found = select(SessionRow.id).where(SessionRow.setup_id == setup_id).limit(1)
    return tx.scalar(found) is not None


def _write(row: SessionRow, value: Session) -> None:
    row.brewed_at, row.state, row.document = value.brewed_at, value.state, to_document(value)


def _read(row: SessionRow) -> StoredSession:
    return StoredSession(
        **rows.facts(row),
        value=from_document(row.document, Session),
        setup_id=row.setup_id,
        scaling_id=row.scaling_id,
    )
