from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from api.conftest import PEPPER
from api.house import House
from api.toy import toys
from wortwright.api.extensions import DATABASE
from wortwright.records.brewer import Club
from wortwright.settings import Settings
from wortwright.usecases.clubs import create_club

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


def founded(app: Flask, club: str) -> House:
    return House(app.test_client(), create_club(app.extensions[DATABASE], Club(club), PEPPER)[1])


def page_key(house: House, site: str) -> str:
    return house.brewer_key("page", origins=[site])


def test_each_club_is_open_to_the_pages_of_its_own_site_and_to_no_others(
    make_app: Callable[..., Flask], settings: Settings
) -> None:
    """Two clubs on one installation, which lets in both sites; each club named its own."""
    app = make_app(replace(settings, allowed_origins=(SITE, OTHER)))
    client, sites = app.test_client(), {SITE: "Millrace Lane", OTHER: "Weir Street"}
    keys = {site: page_key(founded(app, club), site) for site, club in sites.items()}
    for own, key in keys.items():
        for origin in sites:
            headers = {"Authorization": f"Bearer {key}", "Origin": origin}
            answer = client.get("/v1/setups", headers=headers)
            assert answer.status_code == (200 if origin == own else 403)
            # A refusal may be read, so that the page can tell; it holds nothing of the club's.
            assert answer.headers["Access-Control-Allow-Origin"] == origin
            assert answer.status_code == 200 or "items" not in answer.json


def test_a_site_that_the_installation_does_not_let_in_cannot_be_let_in_by_a_club(
    make_app: Callable[..., Flask], settings: Settings
) -> None:
    app = make_app(replace(settings, allowed_origins=(SITE,)))
    client = app.test_client()
    house = founded(app, "Weir Street")
    assert "Access-Control-Allow-Origin" not in preflight(client, OTHER, "GET").headers
    headers = {"Authorization": f"Bearer {page_key(house, OTHER)}", "Origin": OTHER}
    answer = client.get("/v1/setups", headers=headers)
    assert "Access-Control-Allow-Origin" not in answer.headers
