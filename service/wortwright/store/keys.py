"""Keys: what they open and the hash of their secret."""

from dataclasses import dataclass
from datetime import date, datetime
from typing import Any
from uuid import UUID

from sqlalchemy import bindparam, select, update

from wortwright.store import rows
from wortwright.store.clock import now
from wortwright.store.database import Tx
from wortwright.store.models import KeyRow
from wortwright.store.stored import Page, Scope, Stored


@dataclass(frozen=True, slots=True)
class Key:
    """A key as it is kept; ``opens`` and ``opens_id`` name the one thing that a link opens."""

    kind: str
    name: str
    secret_hash: str
    origins: frozenset[str] = frozenset()
    opens: str | None = None
    opens_id: UUID | None = None
    expires_at: datetime | None = None
    revoked_at: datetime | None = None
    last_used_on: date | None = None

    def is_live(self, at: datetime) -> bool:
        """Tell whether the key opens anything at a moment."""
        return self.revoked_at is None and (self.expires_at is None or at < self.expires_at)


def add(tx: Tx, key_id: UUID, scope: Scope, key: Key) -> Stored[Key]:
    """Store a new key of a club or of one of its brewers, under the id that its text carries."""
    row = KeyRow(
        id=key_id,
        club_id=scope.club_id,
        brewer_id=scope.brewer_id,
        kind=key.kind,
        name=key.name,
        secret_hash=key.secret_hash,
        origins=sorted(key.origins),
        opens=key.opens,
        opens_id=key.opens_id,
        expires_at=key.expires_at,
    )
    rows.add(tx, row)
    return _read(row)


def find(tx: Tx, key_id: UUID) -> Stored[Key] | None:
    """Find a key of any club by its id: this is how a caller becomes known."""
    row = tx.connection().execute(_BY_ID, {"key_id": key_id}).one_or_none()
    return None if row is None else _read(row)


def get(tx: Tx, scope: Scope, key_id: UUID) -> Stored[Key]:
    """Give a key."""
    return _read(rows.one(tx, KeyRow, rows.in_scope(KeyRow, scope), key_id))


def page(tx: Tx, scope: Scope, after: UUID | None, limit: int) -> Page[Stored[Key]]:
    """Give the next keys, newest first."""
    return rows.page(tx, KeyRow, rows.in_scope(KeyRow, scope), _read, after=after, limit=limit)


def page_opening(
    tx: Tx, owner: Scope, opens: str, opens_id: UUID, after: UUID | None, limit: int
) -> Page[Stored[Key]]:
    """Give the next links to one thing of an owner, newest first."""
    found = rows.in_scope(KeyRow, owner).where(KeyRow.opens == opens, KeyRow.opens_id == opens_id)
    return rows.page(tx, KeyRow, found, _read, after=after, limit=limit)


def revoke(tx: Tx, scope: Scope, key_id: UUID) -> Stored[Key]:
    """Make a key open nothing from now on; a key once revoked stays as it is."""
    row = rows.one(tx, KeyRow, rows.in_scope(KeyRow, scope), key_id)
    if row.revoked_at is None:
        row.revoked_at = now()
        rows.flush(tx, row)
    return _read(row)


def note_use(tx: Tx, key_id: UUID, day: date, secret_hash: str) -> None:
    """Note the day on which a key was last used, and its hash of that day; no new version."""
    used = {"last_used_on": day, "secret_hash": secret_hash, "updated_at": KeyRow.updated_at}
    tx.execute(update(KeyRow).where(KeyRow.id == key_id).values(used))


# Every request looks for a key: plain columns, by a statement built once.
_BY_ID = select(*KeyRow.__table__.columns).where(KeyRow.id == bindparam("key_id"))


def _read(row: Any) -> Stored[Key]:
    key = Key(
        kind=row.kind,
        name=row.name,
        secret_hash=row.secret_hash,
        origins=frozenset(row.origins),
        opens=row.opens,
        opens_id=row.opens_id,
        expires_at=row.expires_at,
        revoked_at=row.revoked_at,
        last_used_on=row.last_used_on,
    )
    return Stored(**rows.facts(row), value=key)
