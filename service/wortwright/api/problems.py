"""Every error leaves as one RFC 9457 document, ``application/problem+json``, and from here."""

from collections.abc import Iterable, Iterator, Mapping
from http import HTTPStatus
from typing import Any

import flask_smorest
import structlog
from flask import Flask, Response, current_app, g
from marshmallow import fields
from werkzeug.exceptions import HTTPException

from wortwright.api.problem_table import (
    BAD_REQUEST,
    DOMAIN_PROBLEMS,
    INTERNAL,
    INVALID_BODY,
    INVALID_PARAMETER,
    PROBLEM_OF_STATUS,
    ProblemType,
)
from wortwright.api.schemas import OutSchema
from wortwright.api.sentences import spoken, told
from wortwright.brewing.errors import OutOfRangeError
from wortwright.records.sentence import told_range

CONTENT_TYPE = "application/problem+json"
MOST_ERRORS = 50
LONGEST_POINTER = 200

Entry = dict[str, Any]

# Said in place of a library's sentence.
_DETAIL_OF_STATUS = {
    404: "There is nothing at this address.",
    405: "This address does not take this method.",
    413: "The body is larger than is accepted here.",
    429: "The rate limit is used up.",
}

_KEPT_HEADERS = ("Allow", "Retry-After", "WWW-Authenticate", "Accept")


class ProblemError(Exception):
    """A refusal by the web layer itself."""

    def __init__(
        self,
        kind: ProblemType,
        detail: str,
        *,
        errors: Iterable[Entry] = (),
        headers: Mapping[str, str] | None = None,
    ) -> None:
        super().__init__(detail)
        self.kind = kind
        self.errors = tuple(errors)
        self.headers = dict(headers or {})


class ProblemEntry(OutSchema):
    """One place in the request that is refused."""

    pointer = fields.String(metadata={"description": "JSON Pointer into the request body."})
    parameter = fields.String(metadata={"description": "Name of the query parameter."})
    detail = fields.String(required=True)
    accepted = fields.List(
        fields.String(), metadata={"description": "What would be accepted there."}
    )


class Problem(OutSchema):
    """What went wrong (RFC 9457)."""

    type = fields.String(required=True, metadata={"format": "uri-reference"})
    title = fields.String(required=True)
    status = fields.Integer(required=True)
    detail = fields.String()
    instance = fields.String(metadata={"description": "The id of the request."})
    errors = fields.List(fields.Nested(ProblemEntry()))


class Api(flask_smorest.Api):  # type: ignore[misc]
    """flask-smorest's Api, answering and documenting errors as problems."""

    ERROR_SCHEMA = Problem

    def _register_error_handlers(self) -> None:
        register_error_handlers(self._app)

    def _register_pagination_header(self) -> None:
        """Leave out flask-smorest's own pagination, which is not used."""

    def _register_etag_headers(self) -> None:
        """Leave its ETag headers to the contract, which says what ours look like."""

    def _register_responses(self) -> None:
        # The method documents every error response and takes their content type from the class.
        self.DEFAULT_RESPONSE_CONTENT_TYPE = CONTENT_TYPE
        try:
            super()._register_responses()
        finally:
            del self.DEFAULT_RESPONSE_CONTENT_TYPE


def register_error_handlers(app: Flask) -> None:
    """Answer every error of the application with a problem."""
    app.register_error_handler(HTTPException, _answer_http_error)
    app.register_error_handler(ProblemError, _answer_problem)
    for error_class in DOMAIN_PROBLEMS:
        app.register_error_handler(error_class, _answer_domain_error)


def problem_response(
    kind: ProblemType,
    detail: str | None,
    *,
    status: int | None = None,
    errors: Iterable[Entry] = (),
    headers: Mapping[str, str] | None = None,
) -> Response:
    """Make the response for one problem."""
    status = status or kind.status
    document: dict[str, Any] = {"type": kind.path, "title": kind.title, "status": status}
    if detail:
        document["detail"] = detail
    document["instance"] = g.get("request_id", "")
    if listed := list(errors):
        document["errors"] = listed
    response = current_app.response_class(
        current_app.json.dumps(document), status=status, content_type=CONTENT_TYPE
    )
    response.headers.update({**kind.headers, **(headers or {})})
    response.headers["Cache-Control"] = "no-store"
    return response


def entries_of(messages: object, pointer: str = "") -> Iterator[Entry]:
    """Turn marshmallow's nested messages into entries with JSON Pointers (RFC 6901)."""
    if isinstance(messages, Mapping):
        for key, below in messages.items():
            yield from entries_of(below, pointer if key == "_schema" else _down(pointer, key))
    elif isinstance(messages, (list, tuple)):
        for message in messages:
            yield from entries_of(message, pointer)
    else:
        yield {"pointer": _shortened(pointer), **_said(messages)}


def _said(message: object) -> Entry:
    accepted = getattr(message, "accepted", ())
    if isinstance(message, OutOfRangeError):
        accepted = spoken(told_range(message)[1])
    said: Entry = {"detail": told(message) if isinstance(message, Exception) else str(message)}
    if isinstance(accepted, str):
        accepted = (accepted,)
    if accepted:
        said["accepted"] = [str(choice) for choice in accepted]
    return said


def _down(pointer: str, key: object) -> str:
    return f"{pointer}/{str(key).replace('~', '~0').replace('/', '~1')}"


def _shortened(pointer: str) -> str:
    return pointer if len(pointer) <= LONGEST_POINTER else pointer[:LONGEST_POINTER] + "..."


def _refused(messages: Mapping[str, Any]) -> Response:
    """Answer what webargs collected: {location: nested messages}."""
    entries = list(entries_of(messages.get("json", {})))
    kind, said = INVALID_BODY, "The body is refused"
    if not entries:
        kind, said = INVALID_PARAMETER, "A parameter is refused"
        for parameters in messages.values():
            entries += [
                {"parameter": entry.pop("pointer")[1:], **entry} for entry in entries_of(parameters)
            ]
    places = "one place" if len(entries) == 1 else f"{len(entries)} places"
    return problem_response(kind, f"{said} in {places}.", errors=entries[:MOST_ERRORS])


def _answer_http_error(error: HTTPException) -> Response:
    status = error.code or 500
    data: Mapping[str, Any] = getattr(error, "data", None) or {}
    if status == HTTPStatus.UNPROCESSABLE_ENTITY and "messages" in data:
        return _refused(data["messages"])
    if status < 400:
        return Response(error.get_body(), status, error.get_headers())
    headers = {k: v for k, v in error.get_headers() if k in _KEPT_HEADERS}
    if status >= 500:
        kind = PROBLEM_OF_STATUS.get(status, INTERNAL)
        return problem_response(kind, None, status=status, headers=headers)
    kind = PROBLEM_OF_STATUS.get(status, BAD_REQUEST)
    detail = _DETAIL_OF_STATUS.get(status, error.description)
    return problem_response(kind, detail, status=status, headers=headers)


def _answer_problem(error: ProblemError) -> Response:
    return problem_response(error.kind, str(error), errors=error.errors, headers=error.headers)


def _answer_domain_error(error: Exception) -> Response:
    kind = next(DOMAIN_PROBLEMS[cls] for cls in type(error).__mro__ if cls in DOMAIN_PROBLEMS)
    if kind.status >= 500:
        structlog.get_logger().error("fault", exc_info=error)
    # One that knows what it would accept, but not where it was said, points at the whole body.
    pointer = getattr(error, "pointer", "" if hasattr(error, "accepted") else None)
    errors = [] if pointer is None else [{"pointer": pointer, **_said(error)}]
    return problem_response(kind, told(error), errors=errors)
