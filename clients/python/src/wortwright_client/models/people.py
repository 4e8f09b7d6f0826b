"""Clubs, brewers and keys."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any, Self, cast

from wortwright_client._reading import Model, as_document
from wortwright_client.documents.people import BrewerDocument


@dataclass(frozen=True, kw_only=True)
class Stored(Model):
    """What every stored thing has.

    ``etag`` tells its version to the operations that change it. Things out of a list have none.
    """

    id: str
    created_at: datetime
    updated_at: datetime
    etag: str | None = None


@dataclass(frozen=True, kw_only=True)
class Club(Stored):
    """A club: the brewers whose data stay together."""

    name: str


@dataclass(frozen=True, kw_only=True)
class Brewer(Stored):
    """A brewer, and the units in which their answers are written."""

    name: str
    units: str | None = None

    def to_document(self) -> BrewerDocument:
        """Write the brewer as `replace_brewer` takes it."""
        return cast(BrewerDocument, as_document(self))


@dataclass(frozen=True, kw_only=True)
class Key(Stored):
    """A key, without its text."""

    kind: str
    name: str
    origins: tuple[str, ...]
    brewer_id: str | None = None
    expires_at: datetime | None = None
    revoked_at: datetime | None = None
    last_used_on: date | None = None


@dataclass(frozen=True, kw_only=True)
class NewKey(Key):
    """A key just minted. Keep its ``text``: it is not told again."""

    text: str

    @classmethod
    def from_dict(cls, document: Mapping[str, Any]) -> Self:
        """Read a key with its text, which a repeated answer no longer has."""
        if "text" not in document:
            raise ValueError(
                f"the text of {document.get('id')} was in an answer that was lost; "
                "revoke this key and mint another"
            )
        return super().from_dict(document)


@dataclass(frozen=True, kw_only=True)
class NewLink(NewKey):
    """A link just minted. Whoever has its addresses can open it; they are not told again.

    ``address`` is for a program, ``page`` for a person with a browser.
    """

    address: str
    page: str
