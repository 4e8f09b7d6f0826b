from typing import Any

import pytest

from wortwright.records.brewer import Brewer, Club
from wortwright.store import idempotency
from wortwright.store.database import Database, Tx
from wortwright.usecases.brewers import create_brewer, list_brewers
from wortwright.usecases.callers import Caller, read_key
from wortwright.usecases.clubs import create_club
from wortwright.usecases.keys import caller_for
from wortwright.usecases.work import (
    AlreadyAnsweredError,
    IdempotencyMismatchError,
    Retry,
    Sent,
    Work,
    storing,
)

PEPPER = "a pepper that is only good for tests"


@pytest.fixture
def caller(database: Database) -> Caller:
    _, text = create_club(database, Club("Millrace Lane"), PEPPER)
    return caller_for(database, read_key(text, PEPPER))


def retry(key: str = "one", fingerprint: str = "f", route: str = "POST /v1/brewers") -> Retry:
    def render(made: Any) -> Sent:
        return Sent(201, {"X": "1"}, made.value.name.encode())

    return Retry(key, route, fingerprint, render)


def names(database: Database, caller: Caller) -> list[str]:
    return [found.value.name for found in list_brewers(database, caller, None, 50).items]


def test_use_case_gets_transaction_and_caller_and_its_answer_comes_back(
    database: Database, caller: Caller
) -> None:
    @storing
    def look(tx: Tx, asker: Caller, what: str, *, loud: bool) -> tuple[Any, ...]:
        return tx.in_transaction(), asker, what, loud

    assert look(Work(database, caller), "malt", loud=True) == (True, caller, "malt", True)


def test_failure_rolls_everything_back(database: Database, caller: Caller) -> None:
    @storing
    def add_and_fail(tx: Tx, asker: Caller) -> None:
        create_brewer.__wrapped__(tx, asker, Brewer("Ada"))  # type: ignore[attr-defined]
        raise RuntimeError("spilled")

    with pytest.raises(RuntimeError, match="spilled"):
        add_and_fail(Work(database, caller))
    assert names(database, caller) == []


def test_same_request_again_gives_what_was_answered_and_does_nothing(
    database: Database, caller: Caller
) -> None:
    work = Work(database, caller, retry())
    create_brewer(work, Brewer("Ada"))
    with pytest.raises(AlreadyAnsweredError) as again:
        create_brewer(work, Brewer("Ada"))
    assert again.value.sent == Sent(201, {"X": "1"}, b"Ada")
    assert names(database, caller) == ["Ada"]


def test_same_key_with_another_request_is_refused(database: Database, caller: Caller) -> None:
    create_brewer(Work(database, caller, retry()), Brewer("Ada"))
    with pytest.raises(IdempotencyMismatchError):
        create_brewer(Work(database, caller, retry(fingerprint="g")), Brewer("Bo"))
    assert names(database, caller) == ["Ada"]


def test_same_key_on_another_route_is_another_key(database: Database, caller: Caller) -> None:
    create_brewer(Work(database, caller, retry()), Brewer("Ada"))
    create_brewer(Work(database, caller, retry(route="POST /v1/other")), Brewer("Bo"))
    assert sorted(names(database, caller)) == ["Ada", "Bo"]


def test_two_requests_of_one_key_at_once_take_effect_once(
    database: Database, caller: Caller, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Neither finds the other's answer; the database lets only one of them keep its own."""
    create_brewer(Work(database, caller, retry()), Brewer("Ada"))
    monkeypatch.setattr(idempotency, "find", lambda *_, **__: None)
    with pytest.raises(idempotency.IdempotencyKeyBusyError):
        create_brewer(Work(database, caller, retry()), Brewer("Ada"))
    assert names(database, caller) == ["Ada"]


def test_answer_that_cannot_be_written_leaves_no_effect(database: Database, caller: Caller) -> None:
    def fail(_: object) -> Sent:
        raise RuntimeError("unwritable")

    with pytest.raises(RuntimeError, match="unwritable"):
        create_brewer(Work(database, caller, Retry("one", "r", "f", fail)), Brewer("Ada"))
    assert names(database, caller) == []
