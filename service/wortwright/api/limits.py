"""How often one may ask: a limit per key or address, and one on wrong keys per address."""

import time
from collections.abc import Callable
from math import ceil
from typing import Any

from flask import Blueprint, Flask, Response, current_app, g, request
from limits import RateLimitItem, parse
from limits.storage import MemoryStorage, storage_from_string
from limits.strategies import MovingWindowRateLimiter, SlidingWindowCounterRateLimiter

from wortwright.api.problem_table import TOO_MANY_REQUESTS
from wortwright.api.problems import ProblemError
from wortwright.settings import Settings

_SWEEP_EVERY_S = 10.0
_FAILURES = "wortwright.failures"
_REQUESTS = "wortwright.requests"
_EXEMPT = "wortwright.unlimited"


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


def _storage(settings: Settings) -> Any:
    storage = storage_from_string(settings.rate_limit_storage)
    if isinstance(storage, MemoryStorage):
        storage.timer = _Sweeper(storage.timer.function)  # type: ignore[assignment]
    return storage


class Failures:
    """The wrong keys of each address."""

    def __init__(self, settings: Settings) -> None:
        self._limit: RateLimitItem = parse(settings.failed_key_limit)
        self._limiter = MovingWindowRateLimiter(_storage(settings))

    def count(self, address: str) -> None:
        """Count one wrong key."""
        self._limiter.hit(self._limit, "wrong-key", address)

    def wait_s(self, address: str) -> int:
        """Tell how long an address must wait. [s]"""
        if self._limiter.test(self._limit, "wrong-key", address):
            return 0
        reset_at, _ = self._limiter.get_window_stats(self._limit, "wrong-key", address)
        return max(1, ceil(reset_at - time.time()))


class Requests:
    """The requests of each caller."""

    def __init__(self, settings: Settings) -> None:
        self.limit: RateLimitItem = parse(settings.rate_limit)
        self._limiter = SlidingWindowCounterRateLimiter(_storage(settings))

    def take(self, who: str) -> bool:
        """Count a request, and tell whether it is within the limit."""
        return self._limiter.hit(self.limit, "request", who)

    def left(self, who: str) -> tuple[int, int]:
        """Tell how many more are within the limit, and when there will be more again. [s]"""
        reset_at, remaining = self._limiter.get_window_stats(self.limit, "request", who)
        wait_s = max(1, ceil(reset_at - time.time()))
        return remaining, min(self.limit.get_expiry(), wait_s)


def init_app(app: Flask, settings: Settings) -> None:
    """Give the application its limits."""
    app.extensions[_FAILURES] = Failures(settings)
    app.extensions[_REQUESTS] = Requests(settings)
    app.extensions[_EXEMPT] = set()
    app.before_request(_refuse_beyond_limit)


def exempt(app: Flask, blueprint: Blueprint) -> None:
    """Leave what operators and their probes ask for out of the limits."""
    app.extensions[_EXEMPT].add(blueprint.name)


def _refuse_beyond_limit() -> None:
    if request.blueprint in current_app.extensions[_EXEMPT]:
        return
    g.limited_as = _who()
    requests: Requests = current_app.extensions[_REQUESTS]
    if not requests.take(g.limited_as):
        _, wait_s = requests.left(g.limited_as)
        raise ProblemError(
            TOO_MANY_REQUESTS,
            "The rate limit is used up.",
            headers={"Retry-After": str(wait_s)},
        )


def refuse_after_failures() -> None:
    """Refuse to look at yet another key of an address that has sent too many wrong ones."""
    failures: Failures = current_app.extensions[_FAILURES]
    if wait_s := failures.wait_s(_address()):
        raise ProblemError(
            TOO_MANY_REQUESTS,
            "Too many wrong keys came from this address.",
            headers={"Retry-After": str(wait_s)},
        )


def count_failure() -> None:
    """Count a wrong key against the address it came from."""
    failures: Failures = current_app.extensions[_FAILURES]
    failures.count(_address())


def add_headers(response: Response) -> Response:
    """Tell the limit and what is left of it (draft-ietf-httpapi-ratelimit-headers-11)."""
    if (who := g.get("limited_as")) is not None:
        requests: Requests = current_app.extensions[_REQUESTS]
        remaining, wait_s = requests.left(who)
        policy = f'"default";q={requests.limit.amount};w={requests.limit.get_expiry()}'
        response.headers["RateLimit-Policy"] = policy
        response.headers["RateLimit"] = f'"default";r={remaining};t={wait_s}'
    return response


def _who() -> str:
    """Tell callers apart before their key is checked: by its public part, or by address.

    Made-up public parts gain nothing: wrong keys are counted by address.
    """
    _, _, text = request.headers.get("Authorization", "").partition(" ")
    parts = text.split("_")
    return parts[2] if len(parts) == 4 and len(parts[2]) == 32 else _address()


def _address() -> str:
    return request.remote_addr or "127.0.0.1"
