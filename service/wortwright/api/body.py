"""Reading a request strictly: one JSON document, nothing said twice, nothing silently dropped."""

import json
import re
from collections import Counter
from typing import Any

import orjson
from flask import Request, g
from marshmallow import Schema
from webargs.flaskparser import FlaskParser
from werkzeug.exceptions import RequestEntityTooLarge

from wortwright.api.auth import LINK_PARAMETER
from wortwright.api.extensions import settings
from wortwright.api.problem_table import INVALID_JSON, UNSUPPORTED_MEDIA_TYPE
from wortwright.api.problems import ProblemError
from wortwright.usecases.callers import KeyKind

CONTENT_TYPES = frozenset({"application/json", "application/merge-patch+json"})
DEEPEST = 64

# Query parameters that every operation takes and the application reads itself.
COMMON_PARAMETERS = frozenset({"units"})

_STRING = re.compile(rb'"(?:[^"\\]|\\.)*"')


class RequestParser(FlaskParser):
    """webargs' parser on orjson; unknown query parameters are refused like unknown fields."""

    DEFAULT_UNKNOWN_BY_LOCATION: dict[str, str | None] = {  # noqa: RUF012
        **FlaskParser.DEFAULT_UNKNOWN_BY_LOCATION,
        "query": None,
        "querystring": None,
    }

    def load_json(self, req: Request, schema: Schema) -> Any:
        """Give the JSON body; it is also left in ``g.body``."""
        g.body = read_body(req)
        return g.body

    def load_querystring(self, req: Request, schema: Schema) -> Any:
        """Give the query parameters that are this operation's own."""
        own = req.args.copy()
        for name in COMMON_PARAMETERS:
            own.pop(name, None)
        if getattr(g.get("caller"), "kind", None) is KeyKind.LINK:
            own.pop(LINK_PARAMETER, None)
        return self._makeproxy(own, schema)


def read_body(request: Request) -> Any:
    """Read the body of a request as one strict JSON document.

    Raises
    ------
    ProblemError
        If it is not declared as JSON, or is none, or is too deep, or names a member twice.
    """
    if request.mimetype not in CONTENT_TYPES:
        found = request.mimetype or "no Content-Type"
        raise _unsupported(f"The body came as {found[:100]}; send application/json.")
    if request.headers.get("Content-Encoding", "identity").lower() != "identity":
        raise _unsupported("The body came compressed; send it as it is.")
    raw = request.get_data()
    # Without a Content-Length, werkzeug cuts the body off at the limit and says nothing.
    if request.content_length is None and len(raw) >= settings().max_body_bytes:
        raise RequestEntityTooLarge
    return parse(raw)


def parse(raw: bytes) -> Any:
    """Parse strict JSON: no NaN, no number beyond a double, no member named twice.

    Raises
    ------
    ProblemError
        If the bytes are anything else.
    """
    if not raw.strip():
        raise ProblemError(INVALID_JSON, "The body is empty.")
    try:
        document = orjson.loads(raw)
    except orjson.JSONDecodeError as error:
        raise ProblemError(INVALID_JSON, f"The body is not JSON: {error}.") from error
    members, depth = _measure(document)
    if depth > DEEPEST:
        raise ProblemError(INVALID_JSON, f"The body is nested deeper than {DEEPEST} levels.")
    # In valid JSON each colon outside a string belongs to one member; a missing member was
    # overwritten by its namesake.
    if _STRING.sub(b"", raw).count(b":") != members:
        raise ProblemError(INVALID_JSON, f"The body names {_named_twice(raw)!r} twice.")
    return document


def canonical(document: Any) -> bytes:
    """Write a parsed document in the one form in which equal documents are equal bytes."""
    return orjson.dumps(document, option=orjson.OPT_SORT_KEYS)


def _unsupported(detail: str) -> ProblemError:
    return ProblemError(UNSUPPORTED_MEDIA_TYPE, detail, headers={"Accept": "application/json"})


def _measure(document: Any) -> tuple[int, int]:
    """Count the members of all objects, and the levels of nesting."""
    members = depth = 0
    level = [document]
    while level := [value for value in level if isinstance(value, (dict, list))]:
        depth += 1
        below: list[Any] = []
        for value in level:
            if isinstance(value, dict):
                members += len(value)
                below += value.values()
            else:
                below += value
        level = below
    return members, depth


def _named_twice(raw: bytes) -> str:
    found: list[str] = []

    def look(pairs: list[tuple[str, Any]]) -> None:
        found.extend(name for name, times in Counter(k for k, _ in pairs).items() if times > 1)

    json.loads(raw, object_pairs_hook=look)
    return found[0][:100]
