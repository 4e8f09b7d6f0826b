"""What all resource modules share: find in scope, compare versions, page, delete."""

from collections.abc import Callable
from functools import cache
from typing import Any, TypeVar, cast
from uuid import UUID

from sqlalchemy import ColumnElement, Select, bindparam, select
from sqlalchemy.orm.exc import StaleDataError

from wortwright.store.database import Tx
from wortwright.store.models import BrewerRow, OfClub, Row
from wortwright.store.stored import (
    AlreadyHereError,
    NotFoundError,
    Page,
    RowFacts,
    Scope,
    StaleVersionError,
)

C = TypeVar("C", bound=OfClub)
R = TypeVar("R", bound=Row)
V = TypeVar("V")


def in_scope(table: type[C], scope: Scope) -> Select[C]:
    """Select the rows that belong to the scope."""
    return select(table).where(_belongs(table, scope))


def _belongs(columns: Any, scope: Scope) -> ColumnElement[bool]:
    of_club: ColumnElement[bool] = columns.club_id == scope.club_id
    return of_club if scope.brewer_id is None else of_club & (columns.brewer_id == scope.brewer_id)


def built_scope(of_brewer: bool) -> Scope:
    """Give a scope for a statement that is built before anybody asks; `fetch` fills it in."""
    return Scope(bindparam("club_id"), bindparam("brewer_id") if of_brewer else None)  # type: ignore[arg-type]


def to_read(
    table: type[C], of_brewer: bool, belongs: Callable[[Any, Scope], ColumnElement[bool]] = _belongs
) -> tuple[Select[Any], Any]:
    """Begin a statement for `fetch`, and give its columns.

    They read like a row's attributes and cannot be changed, so that nobody keeps watch over them.
    """
    columns = cast(Any, table).__table__.c
    return select(*columns).where(belongs(columns, built_scope(of_brewer))), columns


@cache
def _by_id(table: Any, of_brewer: bool, lock: bool) -> Select[Any]:
    found, columns = to_read(table, of_brewer)
    found = found.where(columns.id == bindparam("row_id"))
    return found.with_for_update() if lock else found


def read(tx: Tx, table: type[C], scope: Scope, row_id: UUID, *, lock: bool = False) -> C:
    """Give the row of this id in the scope; with ``lock``, hold it against other writers.

    Its statement is built once for each table: building one costs as much as running it.
    """
    built: Select[C] = _by_id(cast(Any, table), scope.brewer_id is not None, lock)
    row: C | None = fetch(tx, built, scope, row_id=row_id)
    if row is None:
        raise NotFoundError(table.thing, row_id)
    return row


def fetch(tx: Tx, built: Select[C], scope: Scope, **values: object) -> C | None:
    """Run a statement of `to_read` with the scope's ids and further values in it.

    It goes straight to the connection: every change is flushed where it is made.
    """
    values["club_id"] = scope.club_id
    if scope.brewer_id is not None:
        values["brewer_id"] = scope.brewer_id
    return cast("C | None", tx.connection().execute(built, values).one_or_none())


def one(tx: Tx, table: type[R], found: Select[R], row_id: UUID, *, lock: bool = False) -> R:
    """Give the row of this id among those found.

    With ``lock``, hold it against other writers until the end of the transaction.
    """
    found = found.where(table.id == row_id)
    if lock:
        found = found.with_for_update().execution_options(populate_existing=True)
    row = tx.scalars(found).one_or_none()
    if row is None:
        raise NotFoundError(table.thing, row_id)
    return row


def expect_version(row: Row, expected: int) -> None:
    """Refuse to change what the caller has not seen in its present version."""
    if row.version != expected:
        raise StaleVersionError(row.thing, expected, row.version)


def flush(tx: Tx, row: Row) -> None:
    """Send a change; the database refuses the second of two writers with the same version."""
    expected = row.version
    try:
        tx.flush()
    except StaleDataError as error:
        raise StaleVersionError(row.thing, expected) from error


def add(tx: Tx, row: Row, facts: RowFacts | None = None) -> None:
    """Send a new row; one that comes from elsewhere keeps its facts."""
    if facts is not None:
        if tx.get(type(row), facts.id) is not None:
            raise AlreadyHereError(row.thing, facts.id)
        row.id, row.created_at, row.updated_at = facts.id, facts.created_at, facts.updated_at
    tx.add(row)
    tx.flush()


def remove(tx: Tx, row: Row, expected: int) -> None:
    """Delete a row that the caller has seen in its present version."""
    expect_version(row, expected)
    tx.delete(row)
    flush(tx, row)


def page(
    tx: Tx,
    table: type[R],
    found: Select[R],
    read: Callable[[R], V],
    *,
    after: UUID | None,
    limit: int,
) -> Page[V]:
    """Give the next rows, newest first: ids sort by age."""
    if after is not None:
        found = found.where(table.id < after)
    rows = tx.scalars(found.order_by(table.id.desc()).limit(limit + 1)).all()
    return Page(tuple(read(row) for row in rows[:limit]), len(rows) > limit)


def facts(row: OfClub | BrewerRow) -> dict[str, Any]:
    """Give what every stored value carries of its row."""
    return {
        "id": row.id,
        "club_id": row.club_id,
        "brewer_id": row.brewer_id,
        "version": row.version,
        "created_at": row.created_at,
        "updated_at": row.updated_at,
    }
