"""Lists by pages: an opaque cursor that is good for one list and its filters only."""

import hashlib
import hmac
from base64 import urlsafe_b64decode, urlsafe_b64encode
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Protocol
from urllib.parse import urlencode
from uuid import UUID

import orjson
from flask import request
from marshmallow import Schema, fields, post_load, validate

from wortwright.api.extensions import settings
from wortwright.api.problem_table import INVALID_CURSOR
from wortwright.api.problems import ProblemError
from wortwright.api.schemas import InSchema, OutSchema
from wortwright.store.stored import Page

USUAL_LIMIT = 50
MOST = 200

# What may differ from one page to the next of the same list.
_NOT_FILTERS = frozenset({"cursor", "limit", "units"})
_SIGNATURE_BYTES = 16


class HasId(Protocol):
    """What can be listed."""

    @property
    def id(self) -> UUID:
        """Where it stands in the list."""


@dataclass(frozen=True, slots=True)
class PageAsked:
    """At most ``limit`` things that come after the one with the id ``after``."""

    after: UUID | None
    limit: int


class PageQuery(InSchema):
    """The query parameters of every list; a list with filters adds its own to a subclass."""

    cursor = fields.String(
        metadata={"description": "From `next` of the page before; opaque."},
        validate=validate.Length(max=500),
    )
    limit = fields.Integer(
        load_default=USUAL_LIMIT,
        metadata={"description": f"How many at most; more than {MOST} is taken as {MOST}."},
        validate=validate.Range(min=1, error="Write a whole number of 1 or more."),
    )

    @post_load
    def read(self, data: dict[str, Any], **_: Any) -> dict[str, Any]:
        """Put ``cursor`` and ``limit`` together under ``page``."""
        cursor, limit = data.pop("cursor", None), data.pop("limit")
        after = None if cursor is None else _read_cursor(cursor)
        return {**data, "page": PageAsked(after, min(limit, MOST))}


def page_schema(item: Schema) -> Schema:
    """Make the schema of one page of a list of these things."""
    name = type(item).__name__.removesuffix("Out")
    members: dict[str, fields.Field[Any]] = {
        "items": fields.List(fields.Nested(item), required=True),
        "next": fields.String(
            required=True,
            allow_none=True,
            metadata={"description": "Where the next page is; null on the last."},
        ),
    }
    return OutSchema.from_dict(members, name=f"{name}PageOut")()


def page_answer(
    page: Page[Any], id_of: Callable[[Any], UUID] = lambda item: item.id
) -> dict[str, Any]:
    """Put a page from a use case into the form that `page_schema` writes."""
    following = None
    if page.has_more and page.items:
        own = [(k, v) for k, v in request.args.items(multi=True) if k != "cursor"]
        query = urlencode([*own, ("cursor", _make_cursor(id_of(page.items[-1])))])
        following = f"{request.path}?{query}"
    return {"items": page.items, "next": following}


def _make_cursor(after: UUID) -> str:
    position = orjson.dumps({"after": after})
    signature = _signature(position, settings().pepper)
    return urlsafe_b64encode(signature + position).decode().rstrip("=")


def _read_cursor(cursor: str) -> UUID:
    try:
        signed = urlsafe_b64decode(cursor.encode() + b"=" * (-len(cursor) % 4))
    except ValueError as error:
        raise _not_ours() from error
    signature, position = signed[:_SIGNATURE_BYTES], signed[_SIGNATURE_BYTES:]
    ours = (_signature(position, pepper) for pepper in settings().peppers)
    if not any(hmac.compare_digest(signature, one) for one in ours):
        raise _not_ours()
    return UUID(orjson.loads(position)["after"])


def _signature(position: bytes, pepper: str) -> bytes:
    """Sign a position together with the list and its filters: it is no good elsewhere."""
    filters = sorted((k, v) for k, v in request.args.items(multi=True) if k not in _NOT_FILTERS)
    signed = orjson.dumps([request.path, filters]) + b"\n" + position
    key = f"cursor {pepper}".encode()
    return hmac.new(key, signed, hashlib.sha256).digest()[:_SIGNATURE_BYTES]


def _not_ours() -> ProblemError:
    return ProblemError(
        INVALID_CURSOR, "The cursor was not given for this list with these filters."
    )
