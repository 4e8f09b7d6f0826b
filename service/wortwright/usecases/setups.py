"""The setups of a brewer; each always has a calibration."""

from dataclasses import replace
from uuid import UUID

from wortwright.records.setup import Change, Setup
from wortwright.store import brewers, sessions, setups
from wortwright.store.database import Database, Tx
from wortwright.store.stored import Page, Stored
from wortwright.usecases.callers import Caller
from wortwright.usecases.learning import refit
from wortwright.usecases.rights import may_read, may_write
from wortwright.usecases.work import storing

MOST_CHANGES = 100


class SetupInUseError(RuntimeError):
    """A setup that sessions were brewed on is not deleted from under them."""

    def __init__(self, setup_id: UUID) -> None:
        super().__init__("Sessions were brewed on this setup; delete them first.")
        self.setup_id = setup_id


class TooManyChangesError(RuntimeError):
    """The setup holds as many changes as one may."""

    def __init__(self) -> None:
        super().__init__(
            f"A setup holds at most {MOST_CHANGES} changes; write it anew without the oldest."
        )


@storing
def create_setup(tx: Tx, caller: Caller, brewer_id: UUID, setup: Setup) -> Stored[Setup]:
    """Store a setup with its first calibration, which rests on no session."""
    brewer = brewers.get(tx, may_write(caller, "add setups"), brewer_id)
    created = setups.add(tx, brewer.club_id, brewer.id, setup)
    refit(tx, created)
    return created


def get_setup(database: Database, caller: Caller, setup_id: UUID) -> Stored[Setup]:
    """Give a setup."""
    with database.read() as tx:
        return setups.get(tx, may_read(caller), setup_id)


def list_setups(
    database: Database, caller: Caller, after: UUID | None, limit: int
) -> Page[Stored[Setup]]:
    """List the setups that the caller may see."""
    scope = may_read(caller)
    with database.read() as tx:
        return setups.page(tx, scope, after, limit)


@storing
def replace_setup(
    tx: Tx, caller: Caller, setup_id: UUID, expected: int, setup: Setup
) -> Stored[Setup]:
    """Describe a setup anew; what was said of it is part of its calibration."""
    scope = may_write(caller, "change setups")
    changed = setups.replace(tx, scope, setup_id, expected, setup)
    refit(tx, changed)
    return changed


@storing
def record_change(tx: Tx, caller: Caller, setup_id: UUID, change: Change) -> Stored[Setup]:
    """Write a change down on a setup, and calibrate it anew."""
    scope = may_write(caller, "change setups")
    held = setups.get(tx, scope, setup_id, lock=True)
    if len(held.value.changes) >= MOST_CHANGES:
        raise TooManyChangesError
    changed = replace(held.value, changes=(*held.value.changes, change))
    stored = setups.replace(tx, scope, setup_id, held.version, changed)
    refit(tx, stored)
    return stored


@storing
def delete_setup(tx: Tx, caller: Caller, setup_id: UUID, expected: int) -> None:
    """Delete a setup that has no sessions."""
    scope = may_write(caller, "delete setups")
    setups.get(tx, scope, setup_id, lock=True)
    if sessions.any_on(tx, setup_id):
        raise SetupInUseError(setup_id)
    setups.remove(tx, scope, setup_id, expected)
