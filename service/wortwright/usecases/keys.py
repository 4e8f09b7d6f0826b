"""Keys: minted by a club key, shown once, dated, revocable."""

from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from uuid import UUID

from wortwright.store import brewers, keys
from wortwright.store.clock import now
from wortwright.store.database import Database, DatabaseUnavailableError, Tx
from wortwright.store.keys import Key
from wortwright.store.stored import Page, Scope, Stored
from wortwright.usecases.callers import (
    Caller,
    KeyKind,
    PresentedKey,
    UnknownKeyError,
    mint_key,
)
from wortwright.usecases.rights import may_run_club
from wortwright.usecases.work import storing

# A page key sits in a browser: it lives for hours. The others live until they are revoked.
USUAL_LIFE: Mapping[KeyKind, timedelta] = {KeyKind.PAGE: timedelta(hours=8)}
LONGEST_LIFE: Mapping[KeyKind, timedelta] = {KeyKind.PAGE: timedelta(hours=24)}

_MINTED = (KeyKind.CLUB, KeyKind.BREWER, KeyKind.PAGE)


class KeyAskedError(ValueError):
    """A key that cannot be minted as asked; ``pointer`` tells the field."""

    def __init__(self, pointer: str, detail: str, *accepted: str) -> None:
        super().__init__(detail)
        self.pointer = pointer
        self.accepted = accepted


@dataclass(frozen=True, slots=True)
class KeyAsked:
    """The key wanted; ``origins`` are the web origins a page key may be used from."""

    kind: KeyKind
    name: str
    brewer_id: UUID | None = None
    origins: frozenset[str] = frozenset()
    expires_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class NewKey:
    """A key just minted, with the text that is shown this once."""

    stored: Stored[Key]
    text: str = field(repr=False)

    @property
    def version(self) -> int:
        """The version of the key."""
        return self.stored.version


@storing
def create_key(tx: Tx, caller: Caller, asked: KeyAsked, pepper: str) -> NewKey:
    """Mint a key of the club or of one of its brewers."""
    scope = may_run_club(caller, "mint keys")
    _check_owner(asked)
    if asked.brewer_id is not None:
        brewers.get(tx, scope, asked.brewer_id)
    minted = mint_key(asked.kind, pepper)
    key = Key(
        kind=asked.kind,
        name=asked.name,
        secret_hash=minted.secret_hash,
        origins=asked.origins,
        expires_at=_expiry(asked, now()),
    )
    return NewKey(
        keys.add(tx, minted.key_id, Scope(scope.club_id, asked.brewer_id), key), minted.text
    )


def get_key(database: Database, caller: Caller, key_id: UUID) -> Stored[Key]:
    """Give a key, without its secret: nobody has that."""
    with database.read() as tx:
        return keys.get(tx, may_run_club(caller, "read keys"), key_id)


def list_keys(
    database: Database, caller: Caller, after: UUID | None, limit: int
) -> Page[Stored[Key]]:
    """List the keys of the club."""
    scope = may_run_club(caller, "list keys")
    with database.read() as tx:
        return keys.page(tx, scope, after, limit)


@storing
def revoke_key(tx: Tx, caller: Caller, key_id: UUID) -> Stored[Key]:
    """Make a key open nothing from now on."""
    return keys.revoke(tx, may_run_club(caller, "revoke keys"), key_id)


def caller_for(database: Database, presented: PresentedKey) -> Caller:
    """Tell who asks by the key presented.

    Raises
    ------
    UnknownKeyError
        If there is no such key, its secret is another, or it is revoked or expired.
    """
    with database.read() as tx:
        found = keys.find(tx, presented.key_id)
        # An unknown key costs the same comparison as a wrong one.
        matches = presented.fits(found.value.secret_hash if found else "")
        if found is None or not matches or not _opens_now(found.value, presented):
            raise UnknownKeyError
        units = _units(tx, found)
    _note_use(database, found, presented.secret_hash)
    return Caller(
        club_id=found.club_id,
        kind=presented.kind,
        key_id=found.id,
        brewer_id=found.brewer_id,
        origins=found.value.origins,
        units=units,
        opens=found.value.opens,
        opens_id=found.value.opens_id,
    )


def _opens_now(key: Key, presented: PresentedKey) -> bool:
    return key.kind == presented.kind and key.is_live(now())


def _units(tx: Tx, key: Stored[Key]) -> str | None:
    if key.brewer_id is None:
        return None
    return brewers.get(tx, Scope(key.club_id), key.brewer_id).value.units.value


def _note_use(database: Database, key: Stored[Key], secret_hash: str) -> None:
    """Note the day, and keep the secret under the pepper of now."""
    today = now().date()
    if (key.value.last_used_on, key.value.secret_hash) != (today, secret_hash):
        # A note for the operator; reading goes on where nothing can be written.
        with suppress(DatabaseUnavailableError), database.write() as tx:
            keys.note_use(tx, key.id, today, secret_hash)


def _check_owner(asked: KeyAsked) -> None:
    if asked.kind is KeyKind.LINK:
        raise KeyAskedError("/kind", "A link is made on the thing it opens.", *_MINTED)
    if asked.kind is KeyKind.CLUB and asked.brewer_id is not None:
        raise KeyAskedError("/brewer_id", "A club key belongs to no brewer.", "no brewer_id")
    if asked.kind is not KeyKind.CLUB and asked.brewer_id is None:
        raise KeyAskedError(
            "/brewer_id", f"A {asked.kind} key belongs to a brewer.", "the id of a brewer"
        )
    if asked.kind is not KeyKind.PAGE and asked.origins:
        raise KeyAskedError("/origins", "Only a page key has origins.", "no origins")


def _expiry(asked: KeyAsked, minted_at: datetime) -> datetime | None:
    usual, longest = USUAL_LIFE.get(asked.kind), LONGEST_LIFE.get(asked.kind)
    if asked.expires_at is None:
        return None if usual is None else minted_at + usual
    if asked.expires_at <= minted_at:
        raise KeyAskedError("/expires_at", "The key would have expired already.", "a time to come")
    if longest is not None and asked.expires_at > minted_at + longest:
        hours = longest.total_seconds() / 3600
        raise KeyAskedError(
            "/expires_at", f"A {asked.kind} key lives {hours:g} hours at most.", "an earlier time"
        )
    return asked.expires_at
