"""The club's own service as docker/compose.yaml starts it, without the containers.

The command, the environment and the proxy's configuration are those of the files; only addresses
are others.
"""

import os
import re
import shutil
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import httpx
import pytest
import yaml

from ports import free_port
from postgres import own_postgres_database
from reliability.serving import HAS_GRANIAN, Server
from wortwright.api import examples

DOCKER = Path(__file__).parents[2] / "docker"
COMPOSE: dict[str, Any] = yaml.safe_load((DOCKER / "compose.yaml").read_text())
NGINX = shutil.which("nginx", path=f"{os.environ.get('PATH', '')}:/usr/sbin")

pytestmark = [
    pytest.mark.skipif(not HAS_GRANIAN, reason="granian comes with the workers extra"),
    pytest.mark.skipif(NGINX is None, reason="the proxy of the compose file is not installed"),
]


class Composed(Server):
    """The service by the compose file's own command."""

    def __init__(self, database_url: str, counters: Path) -> None:
        super().__init__(database_url)
        told = COMPOSE["services"]["service"]["environment"]
        for name, value in told.items():
            self._environment.setdefault(name, re.sub(r"\$\{\w+:-(\w*)\}", r"\1", value))
        self._environment |= {
            "PROMETHEUS_MULTIPROC_DIR": str(counters),
            "PATH": f"{Path(sys.executable).parent}:{os.environ['PATH']}",
        }

    def _command(self) -> list[str]:
        shell, flag, line = COMPOSE["services"]["service"]["command"]
        there = line.replace("0.0.0.0", "127.0.0.1").replace("8080", str(self.port))
        return [shell, flag, there]

    def new_key(self) -> str:
        """Mint a club's key as the compose file says."""
        ran = subprocess.run(
            ["wortwright", "keys", "Millrace Lane"],
            env=self._environment,
            executable=str(Path(sys.executable).parent / "wortwright"),
            capture_output=True,
            text=True,
            check=True,
        )
        return ran.stdout.strip()


@contextmanager
def proxied(behind: int, folder: Path) -> Iterator[int]:
    """Run the proxy by the configuration of the compose file, in front of a port."""
    assert NGINX is not None
    port = free_port()
    own = (DOCKER / "nginx.conf").read_text()
    for there, here in (
        ("listen 80;", f"listen 127.0.0.1:{port};"),
        ("http://service:8080", f"http://127.0.0.1:{behind}"),
        ("/var/log/nginx/access.log", str(folder / "access.log")),
    ):
        assert there in own
        own = own.replace(there, here)
    (folder / "own.conf").write_text(own)
    kinds = ("client_body", "proxy", "fastcgi", "uwsgi", "scgi")
    temporary = "".join(f"{kind}_temp_path {folder}/{kind};\n" for kind in kinds)
    user = "user root;\n" if os.getuid() == 0 else ""
    (folder / "nginx.conf").write_text(
        f"{user}daemon off;\npid {folder}/pid;\nerror_log {folder}/error.log;\nevents {{}}\n"
        f"http {{\n{temporary}include {folder}/own.conf;\n}}\n"
    )
    running = subprocess.Popen(
        [NGINX, "-p", str(folder), "-c", str(folder / "nginx.conf"), "-e", str(folder / "error")]
    )
    try:
        _wait_for(port, running)
        yield port
    finally:
        running.terminate()
        running.wait(30)


def _wait_for(port: int, running: "subprocess.Popen[bytes]") -> None:
    while running.poll() is None:
        with socket.socket() as probe:
            if probe.connect_ex(("127.0.0.1", port)) == 0:
                return
        time.sleep(0.05)
    raise RuntimeError("the proxy did not start")


class Deployed:
    """Proxy and service, and how to ask through the proxy."""

    def __init__(self, server: Composed, port: int, log: Path) -> None:
        self.server, self.port, self.log = server, port, log
        self.key = server.new_key()
        self._headers = {"Authorization": f"Bearer {self.key}"}

    def ask(self, method: str, path: str, **more: Any) -> httpx.Response:
        return httpx.request(
            method,
            f"http://127.0.0.1:{self.port}{path}",
            headers=self._headers,
            timeout=60,
            trust_env=False,
            **more,
        )


@pytest.fixture(
    scope="module", params=["sqlite", pytest.param("postgres", marks=pytest.mark.postgres)]
)
def database_url(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[str]:
    if request.param == "sqlite":
        yield f"sqlite:///{tmp_path_factory.mktemp('data') / 'own.sqlite3'}"
        return
    with own_postgres_database(request.getfixturevalue("postgres_server")) as url:
        yield url


@pytest.fixture(scope="module")
def deployed(database_url: str, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Deployed]:
    folder = tmp_path_factory.mktemp("deployed")
    (folder / "counters").mkdir()
    server = Composed(database_url, folder / "counters")
    try:
        server.start()
        with proxied(server.port, folder) as port:
            yield Deployed(server, port, folder / "access.log")
    finally:
        server.stop()


def test_a_club_is_served_through_the_proxy(deployed: Deployed) -> None:
    assert deployed.ask("GET", "/readyz").json()["status"] == "ready"
    made = deployed.ask("POST", "/v1/brewers", json=examples.BREWER)
    assert made.status_code == 201
    listed = deployed.ask("GET", "/v1/brewers").json()["items"]
    assert made.json()["id"] in [one["id"] for one in listed]


def test_sixteen_callers_with_half_a_request_hold_up_nobody_else(deployed: Deployed) -> None:
    head = (
        "POST /v1/brewers HTTP/1.1\r\nHost: club.example\r\nContent-Type: application/json\r\n"
        f"Authorization: Bearer {deployed.key}\r\nContent-Length: 3000\r\n\r\n"
    ).encode()
    silent = []
    for number in range(16):
        caller = socket.create_connection(("127.0.0.1", deployed.port), timeout=10)
        caller.sendall(head[:40] if number % 2 else head + b'{"name": "half')
        silent.append(caller)
    before = len(deployed.ask("GET", "/v1/brewers").json()["items"])
    for _ in range(8):
        assert deployed.ask("POST", "/v1/brewers", json=examples.BREWER).status_code == 201
    for caller in silent:
        caller.setblocking(False)
        with pytest.raises(BlockingIOError):
            caller.recv(1)  # still there, and still waiting
        caller.close()
    assert len(deployed.ask("GET", "/v1/brewers").json()["items"]) == before + 8


def test_the_counters_of_all_workers_are_told_as_one_sum_to_the_machine_itself(
    deployed: Deployed,
) -> None:
    assert deployed.ask("GET", "/metrics").status_code == 404
    assert len(deployed.server.worker_pids()) == 2
    for _ in range(20):
        assert deployed.ask("GET", "/v1/recipes?limit=1").status_code == 200
    counted = 'wortwright_http_requests_total{method="GET",route="/v1/recipes",status="200"} 20.0'
    for _ in range(6):
        told = httpx.get(f"{deployed.server.address}/metrics", trust_env=False).text
        assert counted in told.splitlines()


def test_the_key_of_a_link_is_in_no_log_of_the_proxy_or_the_service(deployed: Deployed) -> None:
    key = f"ww_link_{'0' * 32}_{'0' * 64}"
    assert deployed.ask("GET", f"/v1/recipes?key={key}").status_code in (200, 401, 422)
    assert "/v1/recipes" in deployed.log.read_text()
    assert "ww_link" not in deployed.log.read_text() + deployed.server.said()


def test_a_body_too_large_is_stopped_at_the_proxy(deployed: Deployed) -> None:
    answer = deployed.ask("POST", "/v1/brewers", content=b" " * (300 * 1024))
    assert answer.status_code == 413


def test_told_to_stop_it_stops(deployed: Deployed) -> None:
    deployed.server.ask_to_stop()
    assert deployed.server.wait(60.0) == 0
    assert deployed.ask("GET", "/readyz").status_code == 502
