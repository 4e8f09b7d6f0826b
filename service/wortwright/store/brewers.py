"""The brewers of a club."""

from uuid import UUID

from sqlalchemy import Select, select

from wortwright.records.brewer import Brewer, UnitSystem
from wortwright.store import rows
from wortwright.store.database import Tx
from wortwright.store.models import BrewerRow
from wortwright.store.stored import Page, RowFacts, Scope, Stored


def add(tx: Tx, club_id: UUID, brewer: Brewer, facts: RowFacts | None = None) -> Stored[Brewer]:
    """Store a new brewer."""
    row = BrewerRow(club_id=club_id, name=brewer.name, units=brewer.units)
    rows.add(tx, row, facts)
    return _read(row)


def get(tx: Tx, scope: Scope, brewer_id: UUID) -> Stored[Brewer]:
    """Give a brewer."""
    return _read(rows.one(tx, BrewerRow, _visible(scope), brewer_id))


def page(tx: Tx, scope: Scope, after: UUID | None, limit: int) -> Page[Stored[Brewer]]:
    """Give the next brewers, newest first."""
    return rows.page(tx, BrewerRow, _visible(scope), _read, after=after, limit=limit)


def replace(tx: Tx, scope: Scope, brewer_id: UUID, expected: int, brewer: Brewer) -> Stored[Brewer]:
    """Put other facts in place of a brewer's."""
    row = rows.one(tx, BrewerRow, _visible(scope), brewer_id)
    rows.expect_version(row, expected)
    row.name, row.units = brewer.name, brewer.units
    rows.flush(tx, row)
    return _read(row)


def remove(tx: Tx, scope: Scope, brewer_id: UUID, expected: int) -> None:
    """Delete a brewer and everything that is the brewer's."""
    rows.remove(tx, rows.one(tx, BrewerRow, _visible(scope), brewer_id), expected)


def _visible(scope: Scope) -> Select[BrewerRow]:
    found = select(BrewerRow).where(BrewerRow.club_id == scope.club_id)
    return found if scope.brewer_id is None else found.where(BrewerRow.id == scope.brewer_id)


def _read(row: BrewerRow) -> Stored[Brewer]:
    return Stored(**rows.facts(row), value=Brewer(row.name, UnitSystem(row.units)))
