"""Who asks: a key in the ``Authorization`` header, found, checked and held to its kind."""

from collections.abc import Callable
from copy import deepcopy
from functools import wraps
from typing import Any, ParamSpec, TypeVar, cast

from flask import g, request

from wortwright.api import limits, observe, unit_choice
from wortwright.api.extensions import database, settings
from wortwright.api.problem_table import FORBIDDEN, UNKNOWN_KEY
from wortwright.api.problems import ProblemError
from wortwright.usecases.callers import Caller, KeyKind, UnknownKeyError, read_key
from wortwright.usecases.keys import caller_for

SECURITY_SCHEME = "key"
LINK_SCHEME = "link"
CHALLENGE = 'Bearer realm="wortwright"'
LINK_PARAMETER = "key"

P = ParamSpec("P")
T = TypeVar("T")


def caller() -> Caller:
    """Give the caller that `requires` found."""
    return cast(Caller, g.caller)


def requires(*kinds: KeyKind | str) -> Callable[[Callable[P, T]], Callable[P, T]]:
    """Let a view be called only with a key of one of these kinds, and document that."""
    allowed = frozenset(KeyKind(kind) for kind in kinds)

    def decorator(view: Callable[P, T]) -> Callable[P, T]:
        @wraps(view)
        def guarded(*args: P.args, **kwargs: P.kwargs) -> T:
            g.caller = _authenticate(by_address=KeyKind.LINK in allowed)
            _check_kind(g.caller, allowed)
            return view(*args, **kwargs)

        _document(guarded, allowed)
        return guarded

    return decorator


def _authenticate(*, by_address: bool) -> Caller:
    """Find the caller; whoever opens a link's address sends no header, its key is in there."""
    limits.refuse_after_failures()
    link = request.args.get(LINK_PARAMETER, "") if by_address else ""
    found = _caller_of(link if link.startswith(f"ww_{KeyKind.LINK}_") else _key_of_header())
    observe.note_caller(found)
    _check_origin(found)
    unit_choice.prefer(found.units)
    return found


def _caller_of(text: str) -> Caller:
    try:
        return caller_for(database(), read_key(text, *settings().peppers))
    except UnknownKeyError as error:
        limits.count_failure()
        challenge = f'{CHALLENGE}, error="invalid_token"'
        raise ProblemError(
            UNKNOWN_KEY, str(error), headers={"WWW-Authenticate": challenge}
        ) from error


def _key_of_header() -> str:
    scheme, _, text = request.headers.get("Authorization", "").partition(" ")
    if not text.strip() or scheme.lower() != "bearer":
        raise ProblemError(
            UNKNOWN_KEY,
            "No key was given; send Authorization: Bearer <key>.",
            headers={"WWW-Authenticate": CHALLENGE},
        )
    return text.strip()


def _check_origin(found: Caller) -> None:
    """Hold a page key to its web origins: it lies open in a browser."""
    allowed = found.origins or settings().allowed_origins
    if found.kind is KeyKind.PAGE and request.headers.get("Origin") not in allowed:
        raise ProblemError(FORBIDDEN, "This page key may not be used from this web origin.")


def _check_kind(found: Caller, allowed: frozenset[KeyKind]) -> None:
    if found.kind not in allowed:
        kinds = " or ".join(kind for kind in KeyKind if kind in allowed)
        raise ProblemError(FORBIDDEN, f"A {found.kind} key may not do this; a {kinds} key may.")


def _document(view: Callable[..., Any], allowed: frozenset[KeyKind]) -> None:
    documentation = deepcopy(getattr(view, "_apidoc", {}))
    kinds = [str(kind) for kind in KeyKind if kind in allowed]
    documentation["key_kinds"] = kinds
    manual = documentation.setdefault("manual_doc", {})
    ways = [SECURITY_SCHEME, LINK_SCHEME] if KeyKind.LINK in allowed else [SECURITY_SCHEME]
    manual |= {"security": [{way: []} for way in ways], "x-key-kinds": kinds}
    view._apidoc = documentation  # type: ignore[attr-defined]
