from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from api.toy import toys
from wortwright.settings import Settings

SITE = "https://millrace.example"
OTHER = "https://elsewhere.example"


@pytest.fixture
def app(make_app: Callable[..., Flask], settings: Settings) -> Flask:
    return make_app(replace(settings, allowed_origins=(SITE,)), [toys])


def preflight(client: FlaskClient, origin: str, method: str = "PUT") -> Any:
    headers = {
        "Origin": origin,
        "Access-Control-Request-Method": method,
        "Access-Control-Request-Headers": "authorization, content-type, if-match",
    }
    return client.options("/v1/coopers", headers=headers)


def test_preflight_of_an_allowed_origin_is_granted(client: FlaskClient) -> None:
    headers = preflight(client, SITE).headers
    assert headers["Access-Control-Allow-Origin"] == SITE
    assert "PUT" in headers["Access-Control-Allow-Methods"]
    allowed = headers["Access-Control-Allow-Headers"].lower()
    assert allowed == "authorization, content-type, if-match"
    assert "Origin" in headers["Vary"]


@pytest.mark.parametrize(
    "origin",
    [OTHER, "null", "http://millrace.example", f"{SITE}.elsewhere.example", f"{SITE}:8443"],
)
def test_other_origins_are_granted_nothing(client: FlaskClient, origin: str) -> None:
    assert "Access-Control-Allow-Origin" not in preflight(client, origin).headers
    answer = client.post("/v1/barrels", json={}, headers={"Origin": origin})
    assert "Access-Control-Allow-Origin" not in answer.headers


def test_credentials_are_never_granted(client: FlaskClient) -> None:
    assert "Access-Control-Allow-Credentials" not in preflight(client, SITE).headers


@pytest.mark.parametrize(("path", "status"), [("/v1/coopers", 401), ("/v1/faults", 500)])
def test_a_page_may_read_refusals_too(client: FlaskClient, path: str, status: int) -> None:
    answer = client.get(path, headers={"Origin": SITE})
    assert answer.status_code == status
    assert answer.headers["Access-Control-Allow-Origin"] == SITE
    readable = answer.headers["Access-Control-Expose-Headers"]
    assert {"ETag", "Location", "Retry-After", "X-Request-ID"} <= set(readable.split(", "))


def test_by_default_no_origin_is_allowed(
    make_app: Callable[..., Flask], settings: Settings
) -> None:
    client = make_app(settings, [toys]).test_client()
    assert "Access-Control-Allow-Origin" not in preflight(client, SITE).headers
