"""Clubs."""

from uuid import UUID

from sqlalchemy import select

from wortwright.records.brewer import Club
from wortwright.store import rows
from wortwright.store.database import Tx
from wortwright.store.models import ClubRow
from wortwright.store.stored import Stored


def add(tx: Tx, club: Club) -> Stored[Club]:
    """Store a new club."""
    row = ClubRow(name=club.name)
    rows.add(tx, row)
    return _read(row)


def get(tx: Tx, club_id: UUID) -> Stored[Club]:
    """Give a club."""
    return _read(rows.one(tx, ClubRow, select(ClubRow), club_id))


def find_all(tx: Tx) -> tuple[Stored[Club], ...]:
    """Give every club, oldest first: for whoever runs the service."""
    return tuple(_read(row) for row in tx.scalars(select(ClubRow).order_by(ClubRow.id)))


def _read(row: ClubRow) -> Stored[Club]:
    return Stored(
        id=row.id,
        club_id=row.id,
        brewer_id=None,
        version=row.version,
        created_at=row.created_at,
        updated_at=row.updated_at,
        value=Club(row.name),
    )
