"""The setups of brewers."""

from uuid import UUID

from sqlalchemy import select

from wortwright.records.setup import Setup
from wortwright.store import rows
from wortwright.store.database import Tx
from wortwright.store.documents import from_document, to_document
from wortwright.store.models import SetupRow
from wortwright.store.stored import Page, RowFacts, Scope, Stored


def add(
    tx: Tx, club_id: UUID, brewer_id: UUID, setup: Setup, facts: RowFacts | None = None
) -> Stored[Setup]:
    """Store a new setup of a brewer."""
    row = SetupRow(
        club_id=club_id, brewer_id=brewer_id, name=setup.name, document=to_document(setup)
    )
    rows.add(tx, row, facts)
    return _read(row)


def get(tx: Tx, scope: Scope, setup_id: UUID, *, lock: bool = False) -> Stored[Setup]:
    """Give a setup; with ``lock``, hold it against other writers."""
    return _read(rows.read(tx, SetupRow, scope, setup_id, lock=lock))


def page(tx: Tx, scope: Scope, after: UUID | None, limit: int) -> Page[Stored[Setup]]:
    """Give the next setups, newest first."""
    return rows.page(tx, SetupRow, rows.in_scope(SetupRow, scope), _read, after=after, limit=limit)


def find_all(tx: Tx) -> tuple[Stored[Setup], ...]:
    """Give the setups of all clubs: for whoever runs the service."""
    return tuple(_read(row) for row in tx.scalars(select(SetupRow).order_by(SetupRow.id)))


def replace(tx: Tx, scope: Scope, setup_id: UUID, expected: int, setup: Setup) -> Stored[Setup]:
    """Put another description in place of a setup's."""
    row = rows.one(tx, SetupRow, rows.in_scope(SetupRow, scope), setup_id, lock=True)
    rows.expect_version(row, expected)
    row.name, row.document = setup.name, to_document(setup)
    rows.flush(tx, row)
    return _read(row)


def remove(tx: Tx, scope: Scope, setup_id: UUID, expected: int) -> None:
    """Delete a setup with its calibrations."""
    found = rows.in_scope(SetupRow, scope)
    rows.remove(tx, rows.one(tx, SetupRow, found, setup_id, lock=True), expected)


def _read(row: SetupRow) -> Stored[Setup]:
    return Stored(**rows.facts(row), value=from_document(row.document, Setup))
