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


def acts_for(caller: Caller, brewer_id: UUID) -> None:
    """Refuse a brewer's key that names another brewer: for it there is no other."""
    if caller.brewer_id not in (None, brewer_id):
        raise NotFoundError("brewer", brewer_id)
