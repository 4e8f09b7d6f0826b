from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from api.toy import toys
from wortwright.api.extensions import DATABASE
from wortwright.records.brewer import Club
from wortwright.settings import Settings
from wortwright.store.clock import now
from wortwright.usecases import work
from wortwright.usecases.clubs import create_club


@pytest.fixture
def app(make_app: Callable[..., Flask], settings: Settings) -> Flask:
    return make_app(settings, [toys])


def add(client: FlaskClient, headers: dict[str, str], key: str | None, name: str = "Ada") -> Any:
    sent = headers if key is None else {**headers, "Idempotency-Key": key}
    return client.post("/v1/coopers", json={"name": name}, headers=sent)


def count(client: FlaskClient, headers: dict[str, str]) -> int:
    return len(client.get("/v1/coopers", headers=headers).json["items"])


def test_request_sent_twice_takes_effect_once(client: FlaskClient, as_club: dict[str, str]) -> None:
    first, second = (add(client, as_club, '"one"') for _ in range(2))
    assert (first.status_code, second.status_code) == (201, 201)
    assert "Idempotency-Replayed" not in first.headers
    assert second.headers["Idempotency-Replayed"] == "true"
    assert second.json["id"] == first.json["id"]
    for name in ("Location", "ETag", "Content-Type"):
        assert second.headers[name] == first.headers[name]
    assert count(client, as_club) == 1


def test_what_is_shown_once_is_not_kept(client: FlaskClient, as_club: dict[str, str]) -> None:
    first, second = (add(client, as_club, "one") for _ in range(2))
    assert first.json["password"] == "shown once"
    assert second.json == {k: v for k, v in first.json.items() if k != "password"}


def test_without_a_key_each_request_takes_effect(
    client: FlaskClient, as_club: dict[str, str]
) -> None:
    add(client, as_club, None)
    add(client, as_club, None)
    assert count(client, as_club) == 2


def test_quotes_do_not_make_another_key(client: FlaskClient, as_club: dict[str, str]) -> None:
    add(client, as_club, "one")
    assert add(client, as_club, '"one"').headers["Idempotency-Replayed"] == "true"


def test_order_of_members_does_not_make_another_request(
    client: FlaskClient, as_club: dict[str, str]
) -> None:
    headers = {**as_club, "Idempotency-Key": "one", "Content-Type": "application/json"}
    client.post("/v1/coopers", data=b'{"name":"Ada"}', headers=headers)
    again = client.post("/v1/coopers", data=b' { "name" : "\\u0041da" } ', headers=headers)
    assert again.headers["Idempotency-Replayed"] == "true"


def test_same_key_with_another_request_is_answered_422(
    client: FlaskClient, as_club: dict[str, str]
) -> None:
    add(client, as_club, "one")
    answer = add(client, as_club, "one", name="Bo")
    assert answer.status_code == 422
    assert answer.json["type"] == "/problems/idempotency-key-reused"
    assert count(client, as_club) == 1


def test_same_key_of_another_club_is_another_key(
    client: FlaskClient, as_club: dict[str, str], app: Flask, settings: Settings
) -> None:
    _, text = create_club(app.extensions[DATABASE], Club("Tailrace"), settings.pepper)
    first = add(client, as_club, "one")
    other = add(client, {"Authorization": f"Bearer {text}"}, "one")
    assert other.status_code == 201
    assert "Idempotency-Replayed" not in other.headers
    assert other.json["id"] != first.json["id"]


@pytest.mark.parametrize("key", ["", "x" * 129, '"open', 'a"b', "a\\b", '""', "caf\u00e9", "a b"])
def test_malformed_key_is_answered_400(
    client: FlaskClient, as_club: dict[str, str], key: str
) -> None:
    answer = add(client, as_club, key)
    assert answer.status_code == 400
    assert answer.json["type"] == "/problems/invalid-header"
    assert count(client, as_club) == 0


def test_refused_request_uses_no_key(client: FlaskClient, as_club: dict[str, str]) -> None:
    assert add(client, as_club, "one", name="").status_code == 422
    assert add(client, as_club, "one").status_code == 201


def test_failure_after_the_effect_leaves_neither_effect_nor_answer(
    client: FlaskClient, as_club: dict[str, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(*_: Any, **__: Any) -> None:
        raise RuntimeError("the power is gone")

    with monkeypatch.context() as broken:
        broken.setattr(work.idempotency, "keep", fail)
        assert add(client, as_club, "one").status_code == 500
    assert count(client, as_club) == 0
    assert "Idempotency-Replayed" not in add(client, as_club, "one").headers
    assert count(client, as_club) == 1


def test_request_that_meets_itself_is_answered_409_to_try_again(
    client: FlaskClient, as_club: dict[str, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    add(client, as_club, "one")
    monkeypatch.setattr(work.idempotency, "find", lambda *_, **__: None)
    answer = add(client, as_club, "one")
    assert answer.status_code == 409
    assert answer.json["type"] == "/problems/idempotency-key-busy"
    assert answer.headers["Retry-After"] == "1"


def test_key_is_forgotten_after_a_day(
    client: FlaskClient, as_club: dict[str, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    add(client, as_club, "one")
    monkeypatch.setattr(work, "now", lambda: now() + timedelta(hours=23, minutes=59))
    assert add(client, as_club, "one").headers["Idempotency-Replayed"] == "true"
    monkeypatch.setattr(work, "now", lambda: now() + timedelta(hours=24, minutes=1))
    assert "Idempotency-Replayed" not in add(client, as_club, "one").headers
    assert count(client, as_club) == 2


def test_request_sent_many_times_at_once_takes_effect_once(
    app: Flask, as_club: dict[str, str]
) -> None:
    with ThreadPoolExecutor(8) as threads:
        answers = list(threads.map(lambda _: add(app.test_client(), as_club, "one"), range(24)))
    assert {answer.status_code for answer in answers} == {201}
    assert len({answer.json["id"] for answer in answers}) == 1
    assert sum("Idempotency-Replayed" not in answer.headers for answer in answers) == 1
    assert count(app.test_client(), as_club) == 1
