"""Told to stop under load, a server finishes what it began and loses nothing it acknowledged."""

import socket
import time
from collections.abc import Iterator
from pathlib import Path
from threading import Event
from typing import Any

import httpx
import pytest

from reliability.reckoning import reckon
from reliability.serving import PEPPER, SERVERS, Server, serving
from reliability.writers import Ledger, Writer, found_club
from wortwright.api import examples
from wortwright.store.database import Database


@pytest.fixture(params=SERVERS)
def kind(request: pytest.FixtureRequest) -> str:
    return str(request.param)


@pytest.fixture
def fresh(tmp_path: Path) -> Iterator[Database]:
    opened = Database(f"sqlite:///{tmp_path / 'served.sqlite3'}")
    opened.migrate()
    yield opened
    opened.close()


def test_told_to_stop_under_load_it_stops_and_everything_acknowledged_is_there(
    fresh: Database, kind: str
) -> None:
    ledger, done = Ledger(found_club(fresh, PEPPER)), Event()
    server = Server(str(fresh.engine.url), kind)
    crew = [Writer(server.address, ledger, number, done) for number in range(6)]
    try:
        server.start()
        ledger.prepare(server.address)
        for writer in crew:
            writer.start()
        for _ in range(2):
            before = len(ledger.sessions)
            deadline = time.monotonic() + 60
            while len(ledger.sessions) < before + 6 and time.monotonic() < deadline:
                time.sleep(0.05)
            server.ask_to_stop()
            assert server.wait(30.0) == 0
            server.start()
    finally:
        done.set()
        for writer in crew:
            if writer.is_alive():
                writer.join(timeout=60)
        server.stop()
    for writer in crew:
        writer.raise_if_failed()
    assert reckon(fresh, ledger)["sessions in the database"] >= 12


def test_an_answer_begun_before_the_stop_is_sent_whole(fresh: Database, kind: str) -> None:
    key = found_club(fresh, PEPPER)
    with serving(str(fresh.engine.url), kind) as server:
        head, body = _scaling_request(server, key)
        with socket.create_connection(("127.0.0.1", server.port), timeout=30) as asking:
            asking.sendall(head + body)
            time.sleep(0.05)  # read, and being computed or just answered
            server.ask_to_stop()
            answer = b"".join(iter(lambda: asking.recv(65536), b""))
        server.wait(30.0)
    if answer:
        told, _, sent = answer.partition(b"\r\n\r\n")
        assert told.startswith(b"HTTP/1.1 200 ")
        length = next(
            int(line.partition(b":")[2])
            for line in told.split(b"\r\n")
            if line.lower().startswith(b"content-length:")
        )
        assert len(sent) == length


def _scaling_request(server: Server, key: str) -> tuple[bytes, bytes]:
    request = httpx.Request(
        "POST",
        f"{server.address}/v1/scalings?store=false",
        json=examples.SCALING,
        headers={"Authorization": f"Bearer {key}"},
    )
    lines = [f"{name}: {value}" for name, value in request.headers.items()]
    head = "\r\n".join(["POST /v1/scalings?store=false HTTP/1.1", *lines, "", ""])
    return head.encode(), request.content


def test_sixteen_callers_with_half_a_request_hold_up_nobody_else(fresh: Database) -> None:
    """The server for one machine; worker servers stand behind a proxy that does this for them."""
    key = found_club(fresh, PEPPER)
    with serving(str(fresh.engine.url), "waitress") as server:
        head, body = _scaling_request(server, key)
        halves = [head[: len(head) // 2], head + body[: len(body) // 2]]
        silent = []
        for number in range(16):
            caller = socket.create_connection(("127.0.0.1", server.port), timeout=10)
            caller.sendall(halves[number % 2])
            silent.append(caller)
        headers = {"Authorization": f"Bearer {key}"}
        for _ in range(3):
            answer = httpx.post(
                f"{server.address}/v1/brewers", json=examples.BREWER, headers=headers, timeout=30
            )
            assert answer.status_code == 201
        for caller in silent:
            caller.close()
        listed: Any = httpx.get(f"{server.address}/v1/brewers", headers=headers, timeout=30).json()
        assert len(listed["items"]) == 3
        assert "fault" not in server.said()
