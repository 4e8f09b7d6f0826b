"""How a page is answered: under a strict policy, kept by nobody, and its refusals as a page too."""

import secrets
from collections.abc import Callable

from flask import Response, current_app, request

from wortwright.api import unit_choice
from wortwright.api.problems import CONTENT_TYPE as PROBLEM
from wortwright.pages.problem import problem_page
from wortwright.records.brewer import UnitSystem

HTML = "text/html"
PAGE = {"type": "string", "description": "A page for a person (HTML)."}

_POLICY = (
    "default-src 'none'; style-src 'nonce-{nonce}'; {more}; base-uri 'none'; frame-ancestors 'none'"
)
_ONLY_READ = "form-action 'none'"
_WITH_SCRIPT = "script-src 'self'; connect-src 'self'; form-action 'self'"


def page(write: Callable[[str], str], status: int = 200, *, with_script: bool = False) -> Response:
    """Answer with a page.

    Parameters
    ----------
    write : callable
        Writes the page, given the nonce of its style.
    status : int
        Status of the answer.
    with_script : bool
        Whether the page has a script of this service, which may call this service.
    """
    nonce = secrets.token_urlsafe(16)
    response = Response(write(nonce), status, content_type=f"{HTML}; charset=utf-8")
    more = _WITH_SCRIPT if with_script else _ONLY_READ
    response.headers["Content-Security-Policy"] = _POLICY.format(nonce=nonce, more=more)
    response.headers["Cache-Control"] = "no-store"
    return response


def choose_units(of_brewer: UnitSystem | None) -> None:
    """Write in the units asked for, else the caller's, else the brewer's, else metric."""
    if unit_choice.chosen() is None:
        unit_choice.choose(of_brewer or UnitSystem.METRIC)


def refusal_as_page(response: Response) -> Response:
    """Write a problem as a page where a person asked: a browser says that it wants HTML."""
    wanted = request.accept_mimetypes.best_match([PROBLEM, HTML])
    if response.mimetype != PROBLEM or wanted != HTML:
        return response
    problem = current_app.json.loads(response.get_data(as_text=True))
    answer = page(lambda nonce: problem_page(problem, nonce=nonce), response.status_code)
    for name in ("WWW-Authenticate", "Retry-After"):
        if name in response.headers:
            answer.headers[name] = response.headers[name]
    return answer
