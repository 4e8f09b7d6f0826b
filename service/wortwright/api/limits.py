"""How often one may ask: a limit per key or address, and one on wrong keys per address."""

import time
from collections.abc import Callable
from math import ceil

from flask import Blueprint, Flask, Response, current_app, request
from flask_limiter import Limiter
from flask_limiter.util import get_remote_address
from limits import RateLimitItem, parse
from limits.storage import MemoryStorage, storage_from_string
from limits.strategies import MovingWindowRateLimiter

from wortwright.api.problem_table import TOO_MANY_REQUESTS
from wortwright.api.problems import ProblemError
from wortwright.settings import Settings

_SWEEP_EVERY_S = 10.0
_FAILURES = "wortwright.failures"
_LIMITER = "wortwright.limiter"


class _Sweeper:
    """Stands in for the timer of limits' memory storage, which starts a thread a request.

    What has run out is forgotten every ten seconds, by whichever request comes then.
    """

    def __init__(self, forget: Callable[[], None]) -> None:
        self._forget = forget
        self._next = 0.0

    def is_alive(self) -> bool:
        """Tell the storage that it needs no new timer."""
        now = time.monotonic()
        if now >= self._next:
            self._next = now + _SWEEP_EVERY_S
            self._forget()
        return True


def _without_threads(storage: object) -> None:
    if isinstance(storage, MemoryStorage):
        storage.timer = _Sweeper(storage.timer.function)  # type: ignore[assignment]


class Failures:
    """The wrong keys of each address."""

    def __init__(self, settings: Settings) -> None:
        self._limit: RateLimitItem = parse(settings.failed_key_limit)
        storage = storage_from_string(settings.rate_limit_storage)
        _without_threads(storage)
        self._limiter = MovingWindowRateLimiter(storage)

    def count(self, address: str) -> None:
        """Count one wrong key."""
        self._limiter.hit(self._limit, "wrong-key", address)

    def wait_s(self, address: str) -> int:
        """Tell how long an address must wait. [s]"""
        if self._limiter.test(self._limit, "wrong-key", address):
            return 0
        reset_at, _ = self._limiter.get_window_stats(self._limit, "wrong-key", address)
        return max(1, ceil(reset_at - time.time()))


def init_app(app: Flask, settings: Settings) -> None:
    """Give the application its limits."""
    app.extensions[_FAILURES] = Failures(settings)
    limiter = Limiter(
        _who,
        app=app,
        application_limits=[settings.rate_limit],
        strategy="sliding-window-counter",
        storage_uri=settings.rate_limit_storage,
        headers_enabled=False,
    )
    _without_threads(limiter.storage)
    app.extensions[_LIMITER] = limiter


def exempt(app: Flask, blueprint: Blueprint) -> None:
    """Leave what operators and their probes ask for out of the limits."""
    limiter: Limiter = app.extensions[_LIMITER]
    limiter.exempt(blueprint)


def refuse_after_failures() -> None:
    """Refuse to look at yet another key of an address that has sent too many wrong ones."""
    failures: Failures = current_app.extensions[_FAILURES]
    if wait_s := failures.wait_s(get_remote_address()):
        raise ProblemError(
            TOO_MANY_REQUESTS,
            "Too many wrong keys came from this address.",
            headers={"Retry-After": str(wait_s)},
        )


def count_failure() -> None:
    """Count a wrong key against the address it came from."""
    failures: Failures = current_app.extensions[_FAILURES]
    failures.count(get_remote_address())


def add_headers(response: Response) -> Response:
    """Tell the limit and what is left of it (draft-ietf-httpapi-ratelimit-headers-11)."""
    limiter: Limiter = current_app.extensions[_LIMITER]
    found = limiter.current_limit
    if found is None:
        return response
    window_s = found.limit.get_expiry()
    wait_s = min(window_s, max(1, ceil(found.reset_at - time.time())))
    response.headers["RateLimit-Policy"] = f'"default";q={found.limit.amount};w={window_s}'
    response.headers["RateLimit"] = f'"default";r={found.remaining};t={wait_s}'
    if found.breached:
        response.headers["Retry-After"] = str(wait_s)
    return response


def _who() -> str:
    """Tell callers apart before their key is checked: by its public part, or by address.

    Made-up public parts gain nothing: wrong keys are counted by address.
    """
    _, _, text = request.headers.get("Authorization", "").partition(" ")
    parts = text.split("_")
    return parts[2] if len(parts) == 4 and len(parts[2]) == 32 else get_remote_address()
