"""Clubs. They are made by whoever runs the service; there is no open route."""

from uuid import UUID

from wortwright.records.brewer import Club
from wortwright.store import clubs, keys
from wortwright.store.database import Database
from wortwright.store.stored import NotFoundError, Page, Scope, Stored
from wortwright.usecases.callers import Caller, KeyKind, mint_key
from wortwright.usecases.rights import may_read


def create_club(database: Database, club: Club, pepper: str) -> tuple[Stored[Club], str]:
    """Make a club and its first key; the text of the key is given here and never again."""
    minted = mint_key(KeyKind.CLUB, pepper)
    with database.write() as tx:
        created = clubs.add(tx, club)
        key = keys.Key(KeyKind.CLUB, "first key", minted.secret_hash)
        keys.add(tx, minted.key_id, Scope(created.id), key)
    return created, minted.text


def list_all_clubs(database: Database) -> tuple[Stored[Club], ...]:
    """List every club, for whoever runs the service."""
    with database.read() as tx:
        return clubs.find_all(tx)


def get_club(database: Database, caller: Caller, club_id: UUID) -> Stored[Club]:
    """Give the caller's club."""
    scope = may_read(caller)
    if club_id != scope.club_id:
        raise NotFoundError("club", club_id)
    with database.read() as tx:
        return clubs.get(tx, club_id)


def list_clubs(database: Database, caller: Caller) -> Page[Stored[Club]]:
    """List the clubs that the caller may see: the one it belongs to."""
    with database.read() as tx:
        return Page((clubs.get(tx, may_read(caller).club_id),), has_more=False)


def create_club_key(database: Database, club_id: UUID, pepper: str) -> str:
    """Make a further key for a club, for whoever runs the service."""
    minted = mint_key(KeyKind.CLUB, pepper)
    with database.write() as tx:
        clubs.get(tx, club_id)
        key = keys.Key(KeyKind.CLUB, "key from the command line", minted.secret_hash)
        keys.add(tx, minted.key_id, Scope(club_id), key)
    return minted.text
