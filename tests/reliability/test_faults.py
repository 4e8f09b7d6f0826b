"""What the world does to a database: the service answers 503 or finishes, and never half stores."""

from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any
from uuid import UUID

import pytest
import uuid6
from flask import Flask
from sqlalchemy import event, text
from werkzeug.test import TestResponse

from reliability.conftest import PEPPER
from reliability.crowd import Club, assert_posterior_is_a_refit_from_scratch
from reliability.faults import FAULTS, as_operator, read_only_sqlite, serving_database
from wortwright.api.app import create_app
from wortwright.api.extensions import DATABASE
from wortwright.settings import Settings
from wortwright.store import clock
from wortwright.store import database as store_database
from wortwright.store.database import Database
from wortwright.warming import warm


@pytest.fixture
def impatient(monkeypatch: pytest.MonkeyPatch) -> None:
    """Locks are waited for no longer than a test should take."""
    monkeypatch.setattr(store_database, "_BUSY_TIMEOUT_MS", 100)
    monkeypatch.setattr(store_database, "_STATEMENT_TIMEOUT_MS", 500)


@pytest.fixture
def database(request: pytest.FixtureRequest, impatient: None, tmp_path: Path) -> Iterator[Database]:
    """A database of the test's own, which a fault may be done to."""
    if request.param == "sqlite":
        (tmp_path / "disk").mkdir()
        opened = Database(f"sqlite:///{tmp_path / 'disk' / 'own.sqlite3'}")
        opened.migrate()
        yield opened
        opened.close()
        return
    from postgres import own_postgres_database

    with own_postgres_database(request.getfixturevalue("postgres_server")) as url:
        opened = Database(url)
        opened.migrate()
        yield opened
        opened.close()


both = pytest.mark.parametrize(
    "database",
    ["sqlite", pytest.param("postgres", marks=pytest.mark.postgres)],
    indirect=True,
)


def assert_unavailable(answer: TestResponse) -> None:
    assert answer.status_code == 503, answer.text
    assert answer.json["type"] == "/problems/unavailable"
    assert int(answer.headers["Retry-After"]) >= 1


@both
@pytest.mark.parametrize("name", FAULTS)
def test_under_a_fault_a_write_is_answered_503_and_afterwards_it_is_stored_once(
    club: Club, name: str
) -> None:
    on_sqlite, on_postgres, reads_go_on = FAULTS[name]
    fault = on_sqlite if serving_database(club).is_sqlite else on_postgres
    if fault is None:
        pytest.skip(f"{name}: not a fault of this kind of database")
    body = club.session_body(state="closed")
    with fault(club):
        for _ in range(2):
            assert_unavailable(club.ask("POST", "/v1/sessions", body, Idempotency_Key="one"))
        read = club.ask("GET", "/v1/sessions")
        if reads_go_on:
            assert (read.status_code, read.json["items"]) == (200, [])
        else:
            assert_unavailable(read)
            assert_unavailable(club.ask("GET", "/readyz"))
        assert club.ask("GET", "/livez").status_code == 200
    stored = club.ask("POST", "/v1/sessions", body, Idempotency_Key="one")
    assert (stored.status_code, "Idempotency-Replayed" in stored.headers) == (201, False)
    assert [one["id"] for one in club.get("/v1/sessions")["items"]] == [stored.json["id"]]
    taught = assert_posterior_is_a_refit_from_scratch(
        serving_database(club), club.club_id, UUID(club.setup_id)
    )
    assert taught == 1


@pytest.mark.parametrize("database", ["sqlite"], indirect=True)
def test_a_key_used_for_the_first_time_today_still_reads_where_nothing_can_be_written(
    club: Club,
) -> None:
    body = {"kind": "brewer", "name": "script", "brewer_id": club.brewer_id}
    key = club.made("/v1/keys", body)["text"]
    with read_only_sqlite(club):
        read = club.app.test_client().get(
            f"/v1/setups/{club.setup_id}", headers={"Authorization": f"Bearer {key}"}
        )
        assert read.status_code == 200


@pytest.mark.postgres
@pytest.mark.parametrize("database", ["postgres"], indirect=True)
@pytest.mark.parametrize("before", ["INSERT INTO sessions", "INSERT INTO idempotency"])
def test_thrown_out_in_the_middle_of_a_transaction_it_stores_nothing(
    club: Club, before: str
) -> None:
    engine = serving_database(club).engine

    def throw_out(_: Any, cursor: Any, statement: str, *__: Any) -> None:
        if statement.startswith(before):
            pid = cursor.connection.info.backend_pid
            with as_operator(club) as operator:
                operator.execute(text("SELECT pg_terminate_backend(:pid, 5000)"), {"pid": pid})

    event.listen(engine, "before_cursor_execute", throw_out)
    body = club.session_body(state="closed")
    assert_unavailable(club.ask("POST", "/v1/sessions", body, Idempotency_Key="one"))
    event.remove(engine, "before_cursor_execute", throw_out)
    assert club.get("/v1/sessions")["items"] == []
    assert club.ask("POST", "/v1/sessions", body, Idempotency_Key="one").status_code == 201
    assert len(club.get("/v1/sessions")["items"]) == 1


@both
def test_connections_that_broke_while_idle_are_replaced_unnoticed(club: Club) -> None:
    if serving_database(club).is_sqlite:
        pytest.skip("SQLite has no connections that break")
    club.get("/v1/sessions")
    with as_operator(club) as operator:
        operator.execute(
            text(
                "SELECT pg_terminate_backend(pid, 5000) FROM pg_stat_activity "
                "WHERE datname = current_database() AND pid <> pg_backend_pid()"
            )
        )
    assert club.ask("POST", "/v1/sessions", club.session_body()).status_code == 201


@both
def test_when_all_connections_are_taken_it_says_so(app: Flask, club: Club) -> None:
    engine = serving_database(club).engine
    pool: Any = engine.pool
    pool._timeout = 0.1
    held = [engine.connect() for _ in range(pool.size() + pool._max_overflow)]
    try:
        assert_unavailable(club.ask("GET", "/v1/sessions"))
    finally:
        for connection in held:
            connection.close()
    assert club.ask("GET", "/v1/sessions").status_code == 200


@both
def test_a_clock_that_goes_back_loses_nothing_and_repeats_nothing(
    club: Club, monkeypatch: pytest.MonkeyPatch
) -> None:
    body = club.session_body(day=1, state="closed")
    first = club.ask("POST", "/v1/sessions", body, Idempotency_Key="one")
    page_key = club.made(
        "/v1/keys",
        {
            "kind": "page",
            "name": "page",
            "brewer_id": club.brewer_id,
            "origins": ["https://club.example"],
        },
    )["text"]
    ids = [first.json["id"]]
    for days in (2, 40):
        _set_clock_back(monkeypatch, timedelta(days=days))
        again = club.ask("POST", "/v1/sessions", body, Idempotency_Key="one")
        assert again.json["id"] == ids[0]
        assert again.headers["Idempotency-Replayed"] == "true"
        made = club.ask("POST", "/v1/sessions", club.session_body(day=2, state="closed"))
        assert made.status_code == 201
        ids.append(made.json["id"])
        headers = {"Authorization": f"Bearer {page_key}", "Origin": "https://club.example"}
        assert club.app.test_client().get("/v1/sessions", headers=headers).status_code == 200
    assert sorted(_all_pages(club)) == sorted(ids)
    assert club.get(f"/v1/setups/{club.setup_id}/calibration")["number"] == 3
    taught = assert_posterior_is_a_refit_from_scratch(
        serving_database(club), club.club_id, UUID(club.setup_id)
    )
    assert taught == 3


def _set_clock_back(monkeypatch: pytest.MonkeyPatch, by: timedelta) -> None:
    """Set back the clock of the store and that of the ids, which has been restarted as well."""

    class Earlier(datetime):
        @classmethod
        def now(cls, tz: Any = None) -> Any:
            return datetime.now(tz) - by

    monkeypatch.setattr(clock, "datetime", Earlier)
    real = uuid6.time.time_ns
    ns = int(by.total_seconds() * 1e9)

    class Time:
        time_ns = staticmethod(lambda: real() - ns)

    monkeypatch.setattr(uuid6, "time", Time)
    monkeypatch.setattr(uuid6, "_last_v7_timestamp", None)


def _all_pages(club: Club) -> list[str]:
    """Follow the list one by one."""
    found: list[str] = []
    path = "/v1/sessions?limit=1"
    while path:
        page = club.get(path)
        found += [one["id"] for one in page["items"]]
        path = page["next"]
    return found


def test_the_service_starts_without_its_database_and_serves_when_it_is_back(
    tmp_path: Path, migrated_file: Path
) -> None:
    url = f"sqlite:///{tmp_path / 'later' / 'own.sqlite3'}"
    app = create_app(Settings(pepper=PEPPER, database_url=url, log_level="critical"))
    warm()
    assert app.test_client().get("/livez").status_code == 200
    assert_unavailable(app.test_client().get("/readyz"))
    (tmp_path / "later").mkdir()
    (tmp_path / "later" / "own.sqlite3").write_bytes(migrated_file.read_bytes())
    assert app.test_client().get("/readyz").status_code == 200
    app.extensions[DATABASE].close()
