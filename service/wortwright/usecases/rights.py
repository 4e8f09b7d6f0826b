"""Who may do what: the table of the contract, in one place."""

from uuid import UUID

from wortwright.store.stored import NotFoundError, Scope
from wortwright.usecases.callers import Caller, KeyKind


class NotAllowedError(PermissionError):
    """A key of this kind may not do this, whatever it is done to."""

    def __init__(self, caller: Caller, act: str) -> None:
        super().__init__(f"A {caller.kind} key may not {act}.")
        self.kind = caller.kind
        self.act = act


def may_read(caller: Caller) -> Scope:
    """Give what the caller may read, scale and add readings to."""
    if caller.kind is KeyKind.LINK:
        raise NotAllowedError(caller, "use the interface; it opens one page")
    return Scope(caller.club_id, caller.brewer_id)


def may_open(caller: Caller, thing: str, thing_id: UUID) -> Scope:
    """Give what the caller may read around one thing; for a link there is only its own."""
    if caller.kind is not KeyKind.LINK:
        return may_read(caller)
    if (caller.opens, caller.opens_id) != (thing, thing_id):
        raise NotFoundError(thing, thing_id)
    return Scope(caller.club_id, caller.brewer_id)


def may_write(caller: Caller, act: str) -> Scope:
    """Give what the caller may change: a club key its club's things, a brewer key its own."""
    if caller.kind not in (KeyKind.CLUB, KeyKind.BREWER):
        raise NotAllowedError(caller, act)
    return Scope(caller.club_id, caller.brewer_id)


def may_run_club(caller: Caller, act: str) -> Scope:
    """Give the club, to a club key only."""
    if caller.kind is not KeyKind.CLUB:
        raise NotAllowedError(caller, act)
    return Scope(caller.club_id)
