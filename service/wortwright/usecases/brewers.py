"""The brewers of a club."""

from uuid import UUID

from wortwright.records.brewer import Brewer, UnitSystem
from wortwright.store import brewers
from wortwright.store.database import Database, Tx
from wortwright.store.stored import Page, Scope, Stored
from wortwright.usecases.callers import Caller
from wortwright.usecases.rights import may_read, may_run_club, may_write
from wortwright.usecases.work import storing


@storing
def create_brewer(tx: Tx, caller: Caller, brewer: Brewer) -> Stored[Brewer]:
    """Take a brewer into the club."""
    return brewers.add(tx, may_run_club(caller, "add brewers").club_id, brewer)


def get_brewer(database: Database, caller: Caller, brewer_id: UUID) -> Stored[Brewer]:
    """Give a brewer."""
    with database.read() as tx:
        return brewers.get(tx, may_read(caller), brewer_id)


def list_brewers(
    database: Database, caller: Caller, after: UUID | None, limit: int
) -> Page[Stored[Brewer]]:
    """List the brewers that the caller may see."""
    scope = may_read(caller)
    with database.read() as tx:
        return brewers.page(tx, scope, after, limit)


@storing
def replace_brewer(
    tx: Tx, caller: Caller, brewer_id: UUID, expected: int, brewer: Brewer
) -> Stored[Brewer]:
    """Change a brewer's name or units."""
    return brewers.replace(tx, may_write(caller, "change brewers"), brewer_id, expected, brewer)


@storing
def delete_brewer(tx: Tx, caller: Caller, brewer_id: UUID, expected: int) -> None:
    """Delete a brewer and everything of theirs: setups, recipes, sessions, scalings, keys."""
    brewers.remove(tx, may_write(caller, "delete brewers"), brewer_id, expected)


def units_of(tx: Tx, caller: Caller, brewer_id: UUID | None) -> UnitSystem | None:
    """Give the units that the brewer of a thing reads, None for a thing that is nobody's."""
    if brewer_id is None:
        return None
    return brewers.get(tx, Scope(caller.club_id), brewer_id).value.units
