"""Links: each opens one thing for whoever holds it, for a while; minted by a club key."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum
from uuid import UUID

from wortwright.records.setup import Setup
from wortwright.store import keys, scalings, sessions, setups
from wortwright.store.clock import now
from wortwright.store.database import Database, Tx
from wortwright.store.keys import Key
from wortwright.store.scalings import StoredScaling
from wortwright.store.sessions import StoredSession
from wortwright.store.stored import Page, Scope, Stored
from wortwright.usecases.callers import Caller, KeyKind, mint_key
from wortwright.usecases.keys import KeyAskedError, NewKey
from wortwright.usecases.rights import may_run_club
from wortwright.usecases.work import storing


class Opens(StrEnum):
    """What a link may open: a scaling to read it, a session to read it and add readings.

    Of a setup it opens the page of its calibration.
    """

    SCALING = "scaling"
    SESSION = "session"
    SETUP = "setup"


LONGEST_LIFE: Mapping[Opens, timedelta] = {
    Opens.SCALING: timedelta(days=30),
    Opens.SESSION: timedelta(hours=48),
    Opens.SETUP: timedelta(days=30),
}


@dataclass(frozen=True, slots=True)
class LinkAsked:
    """The link wanted; it lives as long as one of its kind may unless an end is given."""

    name: str = "link"
    expires_at: datetime | None = None


@storing
def create_link(
    tx: Tx, caller: Caller, opens: Opens, thing_id: UUID, asked: LinkAsked, pepper: str
) -> NewKey:
    """Mint a link to a scaling, a session or a setup of the club."""
    owner = _owner(tx, may_run_club(caller, "mint links"), opens, thing_id)
    minted = mint_key(KeyKind.LINK, pepper)
    key = Key(
        kind=KeyKind.LINK,
        name=asked.name,
        secret_hash=minted.secret_hash,
        opens=opens,
        opens_id=thing_id,
        expires_at=_expiry(opens, asked.expires_at, now()),
    )
    return NewKey(keys.add(tx, minted.key_id, owner, key), minted.text)


def list_links(
    database: Database,
    caller: Caller,
    opens: Opens,
    thing_id: UUID,
    after: UUID | None,
    limit: int,
) -> Page[Stored[Key]]:
    """List the links to one thing, the revoked ones too."""
    scope = may_run_club(caller, "list links")
    with database.read() as tx:
        owner = _owner(tx, scope, opens, thing_id)
        return keys.page_opening(tx, owner, opens, thing_id, after, limit)


def _owner(tx: Tx, scope: Scope, opens: Opens, thing_id: UUID) -> Scope:
    found: StoredScaling | StoredSession | Stored[Setup]
    if opens is Opens.SCALING:
        found = scalings.get(tx, scope, thing_id)
    elif opens is Opens.SETUP:
        found = setups.get(tx, scope, thing_id)
    else:
        found = sessions.get(tx, scope, thing_id)
    return Scope(found.club_id, found.brewer_id)


def _expiry(opens: Opens, asked: datetime | None, minted_at: datetime) -> datetime:
    longest = minted_at + LONGEST_LIFE[opens]
    if asked is None:
        return longest
    if asked <= minted_at:
        raise KeyAskedError("/expires_at", "The link would have expired already.", "a time to come")
    if asked > longest:
        hours = LONGEST_LIFE[opens].total_seconds() / 3600
        detail = f"A link to a {opens} lives {hours:g} hours at most."
        raise KeyAskedError("/expires_at", detail, "an earlier time")
    return asked
