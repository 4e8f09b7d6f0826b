import gc
import re
from collections.abc import Callable
from dataclasses import replace
from ipaddress import ip_network

import pytest
from flask import Flask
from flask.testing import FlaskClient

from api.toy import toys
from wortwright.settings import Settings
from wortwright.store.database import Database, DatabaseUnavailableError
from wortwright.warming import warm


@pytest.fixture
def app(make_app: Callable[..., Flask], settings: Settings) -> Flask:
    warm()
    return make_app(settings, [toys])


def test_live_and_ready_with_a_migrated_database(client: FlaskClient) -> None:
    assert client.get("/livez").json == {"status": "alive"}
    assert client.get("/readyz").json["status"] == "ready"


def test_not_ready_before_the_migration_but_alive(
    make_app: Callable[..., Flask], settings: Settings, tmp_path: object
) -> None:
    empty = replace(settings, database_url=f"sqlite:///{tmp_path}/empty.sqlite3")
    client = make_app(empty, [toys]).test_client()
    assert client.get("/readyz").status_code == 503
    assert client.get("/livez").status_code == 200


def test_not_ready_without_the_database(
    client: FlaskClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(_: Database) -> None:
        raise DatabaseUnavailableError("The database cannot be used at the moment.")

    monkeypatch.setattr(Database, "ping", fail)
    answer = client.get("/readyz")
    assert answer.status_code == 503
    assert answer.headers["Retry-After"]


def test_metrics_are_there_for_the_addresses_allowed_only(
    make_app: Callable[..., Flask], settings: Settings
) -> None:
    inside = replace(settings, metrics_from=(ip_network("10.0.0.0/8"),))
    client = make_app(inside, [toys]).test_client()
    at = {"10.1.2.3": 200, "192.0.2.1": 404, "127.0.0.1": 404, "::1": 404}
    for address, status in at.items():
        answer = client.get("/metrics", environ_overrides={"REMOTE_ADDR": address})
        assert answer.status_code == status


def test_docs_page_and_all_it_loads_come_from_here(client: FlaskClient) -> None:
    page = client.get("/docs")
    policy = page.headers["Content-Security-Policy"]
    assert "default-src 'none'" in policy
    assert "script-src 'self';" in policy
    assert "unsafe" not in policy
    assert "<script>" not in page.text
    links = re.findall(r'(?:src|href)="([^"]+)"', page.text)
    assert len(links) >= 5
    for link in links:
        assert link.startswith("/")
        assert client.get(link, buffered=True, follow_redirects=True).status_code == 200


@pytest.mark.parametrize("name", ["index.html", "..%2f__init__.py", "oauth2-redirect.html"])
def test_docs_gives_no_other_file(client: FlaskClient, name: str) -> None:
    assert client.get(f"/docs/{name}").status_code == 404


def test_contract_is_served(client: FlaskClient) -> None:
    answer = client.get("/v1/openapi.yaml")
    assert answer.content_type == "application/yaml"
    assert answer.text.startswith("openapi: 3.1.0\n")


def test_what_is_there_when_warm_is_no_longer_looked_through_for_garbage() -> None:
    here: list[object] = [[]]
    assert any(one is here for one in gc.get_objects())
    warm()
    assert not any(one is here for one in gc.get_objects())
