"""A storing use case: one write transaction, and the answer to a retry kept inside it.

The answer kept for an ``Idempotency-Key`` is written in the same transaction as the effect, so a
crash leaves both or neither. Only answers of work that was done are kept: what was refused left
nothing behind and may simply be tried again.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import timedelta
from functools import wraps
from typing import Any, Concatenate, ParamSpec, TypeVar

from wortwright.store import idempotency
from wortwright.store.clock import now
from wortwright.store.database import Database, Tx
from wortwright.usecases.callers import Caller

KEPT_FOR = timedelta(hours=24)

P = ParamSpec("P")
T = TypeVar("T")


class IdempotencyMismatchError(Exception):
    """The same idempotency key came with another request."""

    def __init__(self) -> None:
        super().__init__("This Idempotency-Key was already used for a different request.")


class AlreadyAnsweredError(Exception):
    """The work was done before; ``sent`` is what was answered then."""

    def __init__(self, sent: "Sent") -> None:
        super().__init__("This request was already answered.")
        self.sent = sent


@dataclass(frozen=True, slots=True)
class Sent:
    """An answer as it went over the wire."""

    status: int
    headers: Mapping[str, str]
    body: bytes


@dataclass(frozen=True, slots=True)
class Retry:
    """How a repeated request is recognised, and how its answer is put into bytes to keep."""

    key: str
    route: str
    fingerprint: str
    render: Callable[[Any], Sent]


@dataclass(frozen=True, slots=True)
class Work:
    """What a storing use case needs besides its arguments."""

    database: Database
    caller: Caller
    retry: Retry | None = None


def storing(
    use_case: Callable[Concatenate[Tx, Caller, P], T],
) -> Callable[Concatenate[Work, P], T]:
    """Turn ``f(tx, caller, ...)`` into ``f(work, ...)`` that runs in one write transaction.

    The result raises AlreadyAnsweredError if the same request was answered before, and
    IdempotencyMismatchError if its key was used for another request.
    """

    @wraps(use_case)
    def in_one_transaction(work: Work, /, *args: P.args, **kwargs: P.kwargs) -> T:
        with work.database.write() as tx:
            if work.retry is not None:
                _raise_if_answered(tx, work.caller, work.retry)
            answer = use_case(tx, work.caller, *args, **kwargs)
            if work.retry is not None:
                _keep(tx, work.caller, work.retry, answer)
        return answer

    return in_one_transaction


def _raise_if_answered(tx: Tx, caller: Caller, retry: Retry) -> None:
    idempotency.claim(tx, club_id=caller.club_id, route=retry.route, key=retry.key)
    idempotency.forget(tx, before=now() - KEPT_FOR)
    kept = idempotency.find(tx, club_id=caller.club_id, route=retry.route, key=retry.key)
    if kept is None:
        return
    if kept.fingerprint != retry.fingerprint:
        raise IdempotencyMismatchError
    raise AlreadyAnsweredError(Sent(kept.status, kept.headers, kept.body))


def _keep(tx: Tx, caller: Caller, retry: Retry, answer: object) -> None:
    sent = retry.render(answer)
    kept = idempotency.KeptAnswer(retry.fingerprint, sent.status, dict(sent.headers), sent.body)
    idempotency.keep(tx, club_id=caller.club_id, route=retry.route, key=retry.key, answer=kept)
