"""Versions over HTTP: strong ETags, If-Match to change, If-None-Match to spare (RFC 9110)."""

import re

from flask import Response, request

from wortwright.api import unit_choice
from wortwright.api.problem_table import STALE_VERSION, VERSION_REQUIRED
from wortwright.api.problems import ProblemError

# The units an answer is written in are part of a strong tag, as they change its bytes.
TAG_PATTERN = r'"v([0-9]{1,18})(-[a-z]+)?"'


def etag_of(version: int) -> str:
    """Give the ETag of a version, in the units of this answer."""
    system = unit_choice.chosen()
    return f'"v{version}"' if system is None else f'"v{version}-{system}"'


def versioned(version: int) -> dict[str, str]:
    """Give the headers that tell an answer's version."""
    return {"ETag": etag_of(version)}


def required_version() -> int:
    """Give the version that the caller has read, out of If-Match.

    Raises
    ------
    ProblemError
        428 without If-Match, or with ``*``, which names no version; 412 if it is none of ours.
    """
    given = request.headers.get("If-Match", "").strip()
    if given in ("", "*"):
        raise ProblemError(VERSION_REQUIRED, "Send If-Match with the ETag this was read with.")
    found = re.fullmatch(TAG_PATTERN, given)
    if found is None:
        raise ProblemError(STALE_VERSION, "If-Match holds no ETag that was given here.")
    return int(found[1])


def spare_known(response: Response) -> Response:
    """Answer 304 without a body if the caller has this version already."""
    if response.status_code == 200 and "ETag" in response.headers:
        response.make_conditional(request.environ)
    return response
