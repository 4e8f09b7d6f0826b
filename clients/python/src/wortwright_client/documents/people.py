"""What is sent of brewers, keys and links."""

from collections.abc import Mapping, Sequence
from typing import Any, Literal, Required, TypeAlias, TypedDict

from wortwright_client.documents.amounts import Timestamp, Units

# All of a brewer, in a form that only the service reads. It is JSON, to be kept in a file.
Export: TypeAlias = Mapping[str, Any]


class BrewerDocument(TypedDict, total=False):
    """A brewer."""

    name: Required[str]
    units: Units


class KeyDocument(TypedDict, total=False):
    """A key to be minted: of the club, of one brewer, or for pages in a browser."""

    kind: Required[Literal["club", "brewer", "page", "link"]]
    name: Required[str]
    brewer_id: str | None
    expires_at: Timestamp | None
    origins: Sequence[str]


class LinkDocument(TypedDict, total=False):
    """A link to be minted: whom it is for, and until when."""

    name: str
    expires_at: Timestamp | None
