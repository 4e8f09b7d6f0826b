"""A refusal as a person reads it: what is the matter, and what to do next."""

from collections.abc import Mapping
from typing import Any

from wortwright.pages.rendering import render

_SAID = {
    401: (
        "This address opens nothing, or no longer",
        "Addresses like this one open for a while only. Ask whoever gave it to you for a new one.",
    ),
    403: ("This may not be opened so", "Ask whoever gave you the address."),
    404: ("There is nothing here", "Check the address; or what it led to was deleted."),
    429: ("Too much at once", "Wait a minute, then load this page again."),
    503: ("The service is busy", "Wait a minute, then load this page again. Nothing was lost."),
}
_USUAL = "Go back, put it right, and try again."


def problem_page(problem: Mapping[str, Any], *, nonce: str) -> str:
    """Write a problem as a page.

    Parameters
    ----------
    problem : mapping
        As the API answers it (RFC 9457).
    nonce : str
        Of the page's content security policy.

    Returns
    -------
    str
        HTML.
    """
    title, next_step = _SAID.get(problem["status"], (problem["title"], _USUAL))
    return render(
        "problem.html",
        nonce=nonce,
        title=title,
        # A person has no use for the header that a program forgot.
        detail=problem.get("detail") if problem["status"] not in _SAID else None,
        errors=problem.get("errors", []),
        next_step=next_step,
    )
