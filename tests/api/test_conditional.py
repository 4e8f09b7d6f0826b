from collections.abc import Callable
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from api.toy import toys
from wortwright.settings import Settings


@pytest.fixture
def app(make_app: Callable[..., Flask], settings: Settings) -> Flask:
    return make_app(settings, [toys])


@pytest.fixture
def cooper(client: FlaskClient, as_club: dict[str, str]) -> str:
    """The path of a stored cooper."""
    answer = client.post("/v1/coopers", json={"name": "Ada"}, headers=as_club)
    assert answer.status_code == 201
    assert answer.headers["ETag"] == '"v1"'
    return str(answer.headers["Location"])


def rename(client: FlaskClient, path: str, headers: dict[str, str], match: str | None) -> Any:
    sent = headers if match is None else {**headers, "If-Match": match}
    return client.put(path, json={"name": "Bo"}, headers=sent)


def test_change_with_the_present_tag_gives_the_next(
    client: FlaskClient, cooper: str, as_club: dict[str, str]
) -> None:
    answer = rename(client, cooper, as_club, '"v1"')
    assert answer.status_code == 200
    assert answer.headers["ETag"] == '"v2"'
    assert client.get(cooper, headers=as_club).json["name"] == "Bo"


@pytest.mark.parametrize("match", [None, "", "*"])
def test_change_without_a_version_is_answered_428(
    client: FlaskClient, cooper: str, as_club: dict[str, str], match: str | None
) -> None:
    answer = rename(client, cooper, as_club, match)
    assert answer.status_code == 428
    assert answer.json["type"] == "/problems/version-required"
    assert client.get(cooper, headers=as_club).json["name"] == "Ada"


@pytest.mark.parametrize("match", ['"v0"', '"v2"', 'W/"v1"', "v1", '"1"', '"v1", "v2"', '"v9e9"'])
def test_change_with_another_tag_is_answered_412(
    client: FlaskClient, cooper: str, as_club: dict[str, str], match: str
) -> None:
    answer = rename(client, cooper, as_club, match)
    assert answer.status_code == 412
    assert answer.json["type"] == "/problems/stale-version"
    assert client.get(cooper, headers=as_club).json["name"] == "Ada"


def test_second_of_two_changes_of_one_version_is_refused(
    client: FlaskClient, cooper: str, as_club: dict[str, str]
) -> None:
    assert rename(client, cooper, as_club, '"v1"').status_code == 200
    assert rename(client, cooper, as_club, '"v1"').status_code == 412


def test_known_version_is_spared(client: FlaskClient, cooper: str, as_club: dict[str, str]) -> None:
    tag = client.get(cooper, headers=as_club).headers["ETag"]
    answer = client.get(cooper, headers={**as_club, "If-None-Match": tag})
    assert answer.status_code == 304
    assert answer.data == b""
    assert answer.headers["ETag"] == tag
    assert answer.headers["X-Request-ID"]
    rename(client, cooper, as_club, tag)
    assert client.get(cooper, headers={**as_club, "If-None-Match": tag}).status_code == 200


def test_tag_differs_with_the_units_but_either_permits_the_change(
    client: FlaskClient, cooper: str, as_club: dict[str, str]
) -> None:
    tag = client.get(f"{cooper}?units=us", headers=as_club).headers["ETag"]
    assert tag == '"v1-us"'
    answer = client.get(cooper, headers={**as_club, "If-None-Match": tag})
    assert answer.status_code == 200
    assert rename(client, cooper, as_club, tag).status_code == 200
