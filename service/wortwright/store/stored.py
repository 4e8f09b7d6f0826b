"""What the store takes and gives back: plain values with their row's facts, and its errors."""

from dataclasses import dataclass
from datetime import datetime
from typing import Generic, TypeVar
from uuid import UUID

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Scope:
    """What a caller may see: one club, or of that club one brewer's things."""

    club_id: UUID
    brewer_id: UUID | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Stored(Generic[T]):
    """A value with the facts of its row; ``brewer_id`` is None where the club owns it."""

    id: UUID
    club_id: UUID
    brewer_id: UUID | None
    version: int
    created_at: datetime
    updated_at: datetime
    value: T


@dataclass(frozen=True, slots=True)
class RowFacts:
    """The facts of a row that moves here from another database."""

    id: UUID
    created_at: datetime
    updated_at: datetime


@dataclass(frozen=True, slots=True)
class Page(Generic[T]):
    """Part of a list, newest first, and whether more follows."""

    items: tuple[T, ...]
    has_more: bool


class NotFoundError(LookupError):
    """There is no such thing in the caller's scope; another club's thing is not there either."""

    def __init__(self, thing: str, thing_id: UUID | int) -> None:
        super().__init__(f"There is no {thing} {thing_id}.")
        self.thing = thing
        self.thing_id = thing_id


class StaleVersionError(RuntimeError):
    """The thing was changed after the caller read it."""

    def __init__(self, thing: str, expected: int, current: int | None = None) -> None:
        super().__init__(f"The {thing} has been changed since version {expected} was read.")
        self.thing = thing
        self.expected = expected
        self.current = current


class AlreadyHereError(RuntimeError):
    """Something is put under an id that is taken."""

    def __init__(self, thing: str, thing_id: UUID) -> None:
        super().__init__(f"There is a {thing} with the id {thing_id} here already.")
        self.thing = thing
        self.thing_id = thing_id
