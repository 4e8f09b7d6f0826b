import re
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from api.toy import toys
from wortwright.settings import Settings


@pytest.fixture
def app(make_app: Callable[..., Flask], settings: Settings) -> Flask:
    return make_app(replace(settings, rate_limit="3 per minute"), [toys])


def ask(client: FlaskClient, headers: dict[str, str] | None = None, address: str = "") -> Any:
    environ = {"REMOTE_ADDR": address or "127.0.0.1"}
    return client.get("/v1/coopers", headers=headers, environ_overrides=environ)


def test_answers_tell_the_limit_and_what_is_left(
    client: FlaskClient, as_club: dict[str, str]
) -> None:
    left = []
    for _ in range(3):
        answer = ask(client, as_club)
        assert answer.headers["RateLimit-Policy"] == '"default";q=3;w=60'
        found = re.fullmatch(r'"default";r=([0-9]+);t=([0-9]+)', answer.headers["RateLimit"])
        assert found is not None
        assert 1 <= int(found[2]) <= 60
        left.append(int(found[1]))
    assert left == [2, 1, 0]


def test_request_over_the_limit_is_answered_429(
    client: FlaskClient, as_club: dict[str, str]
) -> None:
    statuses = [ask(client, as_club).status_code for _ in range(3)]
    answer = ask(client, as_club)
    assert statuses == [200, 200, 200]
    assert answer.status_code == 429
    assert answer.json["type"] == "/problems/too-many-requests"
    assert 1 <= int(answer.headers["Retry-After"]) <= 60


def test_each_key_has_its_own_limit(client: FlaskClient, as_club: dict[str, str]) -> None:
    for _ in range(4):
        ask(client)
    assert ask(client).status_code == 429
    assert ask(client, as_club).status_code == 200


def test_without_a_key_each_address_has_its_own_limit(client: FlaskClient) -> None:
    for _ in range(4):
        ask(client, address="192.0.2.1")
    assert ask(client, address="192.0.2.1").status_code == 429
    assert ask(client, address="192.0.2.2").status_code == 401


def test_text_that_only_looks_like_a_key_is_limited_by_address(client: FlaskClient) -> None:
    answers = [
        ask(client, {"Authorization": f"Bearer ww_club_{i}_x"}).status_code for i in range(4)
    ]
    assert answers[-1] == 429


def test_probes_are_not_limited(client: FlaskClient) -> None:
    assert {client.get("/livez").status_code for _ in range(10)} == {200}
