"""The web side of safe retries: the Idempotency-Key header, and storing answers with it."""

import hashlib
import re
from collections.abc import Callable, Collection
from typing import Any, TypeVar

from flask import Response, current_app, g, request
from marshmallow import Schema

from wortwright.api import body, conditional
from wortwright.api.auth import caller
from wortwright.api.extensions import database
from wortwright.api.problem_table import INVALID_HEADER
from wortwright.api.problems import ProblemError
from wortwright.usecases.work import AlreadyAnsweredError, Retry, Sent, Work

HEADER = "Idempotency-Key"
REPLAYED = "Idempotency-Replayed"
# A structured-field string (RFC 8941) or, as most clients send it, the same without quotes.
KEY_PATTERN = r'("[ !#-\[\]-~]{1,128}"|[!#-\[\]-~]{1,128})'

T = TypeVar("T")


def work() -> Work:
    """Give what a storing use case needs, where a retry needs no memory: PUT, PATCH, DELETE."""
    return Work(database(), caller())


def answer_stored(
    do: Callable[[Work], T],
    schema: Schema,
    status: int = 201,
    *,
    location: Callable[[T], str] | None = None,
    once: Collection[str] = (),
) -> Response:
    """Do storing work once, however often the request is sent, and answer with what it made.

    Parameters
    ----------
    do : callable
        Calls a storing use case with the Work it is given.
    schema : Schema
        Writes what the use case returned. If that has a ``version``, the answer has an ETag.
    status : int
        Status of the answer.
    location : callable, optional
        Gives the path of what was made.
    once : collection of str
        Members of the answer that are shown once: a replay leaves them out, as they are not kept.
    """

    def render(made: T, without: Collection[str] = ()) -> Sent:
        document = {k: v for k, v in schema.dump(made).items() if k not in without}
        headers = {} if location is None else {"Location": location(made)}
        version = getattr(made, "version", None)
        if isinstance(version, int):
            headers |= conditional.versioned(version)
        return Sent(status, headers, current_app.json.dumps(document).encode())

    def render_kept(made: T) -> Sent:
        return render(made, once)

    retry = _retry(render_kept)
    try:
        return _respond(render(do(Work(database(), caller(), retry))))
    except AlreadyAnsweredError as answered:
        response = _respond(answered.sent)
        response.headers[REPLAYED] = "true"
        return response


def answer_unstored(schema: Schema, thing: object) -> Response:
    """Answer with a thing that is not stored, where the same request could store it.

    A retry needs no memory then; a key for one is held to its form all the same.
    """
    _key_given()
    return _respond(Sent(200, {}, current_app.json.dumps(schema.dump(thing)).encode()))


def _respond(sent: Sent) -> Response:
    return current_app.response_class(
        sent.body, sent.status, dict(sent.headers), content_type="application/json"
    )


def _retry(render: Callable[[Any], Sent]) -> Retry | None:
    key = _key_given()
    if key is None:
        return None
    rule = request.url_rule.rule if request.url_rule is not None else request.path
    return Retry(key, f"{request.method} {rule}", _fingerprint(), render)


def _key_given() -> str | None:
    given = request.headers.get(HEADER)
    if given is None:
        return None
    if re.fullmatch(KEY_PATTERN, given.strip()) is None:
        raise ProblemError(
            INVALID_HEADER,
            f"{HEADER} must be 1 to 128 printable ASCII characters, best a random UUID.",
        )
    return given.strip().strip('"')


def _fingerprint() -> str:
    """Tell one request from another, and one brewer of the club from another."""
    asker = caller()
    parts = (
        f"{request.method} {request.full_path}".encode(),
        f"{asker.kind} {asker.brewer_id}".encode(),
        body.canonical(g.get("body")),
    )
    return hashlib.sha256(b"\n".join(parts)).hexdigest()
