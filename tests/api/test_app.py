from collections.abc import Callable
from dataclasses import replace

import pytest
from flask import Flask
from flask.testing import FlaskClient

from api.toy import toys
from wortwright.settings import Settings


@pytest.fixture
def app(make_app: Callable[..., Flask], settings: Settings) -> Flask:
    return make_app(settings, [toys])


@pytest.mark.parametrize(
    ("method", "path"),
    [
        ("GET", "/livez"),
        ("GET", "/nowhere"),
        ("GET", "/v1/barrels"),
        ("GET", "/v1/faults"),
        ("GET", "/v1/coopers"),
        ("POST", "/v1/barrels"),
        ("OPTIONS", "/v1/barrels"),
        ("HEAD", "/v1/openapi.yaml"),
        ("GET", "/docs"),
        ("GET", "/docs/swagger-ui.css"),
        ("GET", "/problems"),
    ],
)
def test_every_answer_has_the_headers_that_keep_it_safe(
    client: FlaskClient, method: str, path: str
) -> None:
    headers = client.open(path, method=method, buffered=True).headers
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Referrer-Policy"] == "no-referrer"
    assert headers["Cache-Control"]
    assert headers["X-Request-ID"]
    assert "default-src 'none'" in headers["Content-Security-Policy"]
    assert "frame-ancestors 'none'" in headers["Content-Security-Policy"]


def test_problems_are_not_cached(client: FlaskClient) -> None:
    assert client.get("/nowhere").headers["Cache-Control"] == "no-store"


def test_debugging_is_off(app: Flask) -> None:
    assert not app.debug
    assert not app.testing


def test_address_named_by_a_header_is_believed_of_trusted_proxies_only(
    make_app: Callable[..., Flask], settings: Settings
) -> None:
    headers = {"X-Forwarded-For": "192.0.2.1"}
    trusting = make_app(replace(settings, trusted_proxies=1), [toys]).test_client()
    assert trusting.get("/metrics", headers=headers).status_code == 404
    plain = make_app(settings, [toys]).test_client()
    assert plain.get("/metrics", headers=headers).status_code == 200


def test_two_applications_share_nothing(make_app: Callable[..., Flask], settings: Settings) -> None:
    first, second = (make_app(settings, [toys]).test_client() for _ in range(2))
    first.get("/problems")
    assert 'route="/problems"' not in second.get("/metrics").text
