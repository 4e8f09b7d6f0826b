"""Ready or not is answered in time, whatever the database does."""

import socket
import subprocess
import sys
from collections.abc import Callable, Iterator
from dataclasses import replace
from threading import Event
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from api.toy import toys
from wortwright import warming
from wortwright.api import readiness
from wortwright.settings import Settings
from wortwright.store import database as store_database
from wortwright.store.database import Database


@pytest.fixture
def app(make_app: Callable[..., Flask], settings: Settings) -> Flask:
    warming.warm()
    return make_app(settings, [toys])


class Hanging:
    """A database that does not answer until it is told to."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.asked, self.answers = 0, Event()
        real = Database.ping

        def ping(database: Database) -> None:
            self.asked += 1
            assert self.answers.wait(60), "the probe waited for the database"
            real(database)

        monkeypatch.setattr(Database, "ping", ping)


@pytest.fixture
def hanging(monkeypatch: pytest.MonkeyPatch) -> Iterator[Hanging]:
    made = Hanging(monkeypatch)
    yield made
    made.answers.set()


def assert_not_ready(answer: Any) -> None:
    assert answer.status_code == 503
    assert answer.json["type"] == "/problems/unavailable"
    assert int(answer.headers["Retry-After"]) >= 1


def test_a_probe_is_answered_while_the_database_hangs(
    client: FlaskClient, hanging: Hanging
) -> None:
    assert readiness._PATIENCE_S < 1.0
    for _ in range(3):
        assert_not_ready(client.get("/readyz"))
        assert client.get("/livez").status_code == 200
    assert not hanging.answers.is_set()
    assert hanging.asked == 1, "a probe that hangs is not joined by more"


def test_once_the_database_answers_again_the_service_is_ready(
    app: Flask, client: FlaskClient, hanging: Hanging
) -> None:
    assert_not_ready(client.get("/readyz"))
    look = readiness.of(app)._look
    assert look is not None
    hanging.answers.set()
    assert look.result(60) is True
    assert client.get("/readyz").status_code == 200
    assert hanging.asked == 2, "each probe looks for itself"


@pytest.fixture
def silent_port() -> Iterator[int]:
    """A server that takes connections and never says a word."""
    with socket.create_server(("127.0.0.1", 0)) as listening:
        yield listening.getsockname()[1]


def test_a_server_that_says_nothing_is_not_waited_for(
    make_app: Callable[..., Flask],
    settings: Settings,
    monkeypatch: pytest.MonkeyPatch,
    silent_port: int,
) -> None:
    monkeypatch.setattr(store_database, "_CONNECT_TIMEOUT_S", 2)
    url = f"postgresql://brewer@127.0.0.1:{silent_port}/wortwright"
    app = make_app(replace(settings, database_url=url), [toys])
    client = app.test_client()
    assert_not_ready(client.get("/readyz"))
    look = readiness.of(app)._look
    assert look is not None
    assert not look.done(), "the probe waited until the connection was given up"
    headers = {"Authorization": f"Bearer ww_club_{'0' * 32}_{'0' * 64}"}
    assert_not_ready(client.get("/v1/coopers", headers=headers))


def test_not_ready_until_what_fits_is_loaded(
    client: FlaskClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert client.get("/readyz").status_code == 200
    monkeypatch.setattr(warming, "_loaded", Event())
    assert_not_ready(client.get("/readyz"))
    assert client.get("/livez").status_code == 200
    warming.warm()
    assert client.get("/readyz").status_code == 200


def test_loaded_means_that_a_fit_imports_nothing_more() -> None:
    code = (
        "import sys; from wortwright import warming; assert 'sklearn' not in sys.modules; "
        "warming.warm(); assert warming.is_warm(); before = set(sys.modules); "
        "import wortwright.calibration.fit as fit; from factories import SETUP, session; "
        "fit.fit_calibration(SETUP, [('a', session(1))]); "
        "late = [name for name in set(sys.modules) - before if name.startswith('sklearn')]; "
        "sys.exit(str(late) if late else 0)"
    )
    ran = subprocess.run(
        [sys.executable, "-c", code], env={"PYTHONPATH": ":".join(sys.path)}, check=False
    )
    assert ran.returncode == 0
