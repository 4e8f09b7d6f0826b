"""The service in processes of its own, as a club runs it, to be killed and started again."""

import importlib.util
import os
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from http.client import HTTPConnection, HTTPException
from pathlib import Path

from ports import free_port

PEPPER = "a pepper that is only good for tests"
HAS_GRANIAN = importlib.util.find_spec("granian") is not None
SERVERS = ("granian", "waitress") if HAS_GRANIAN else ("waitress",)


class Server:
    """One server and all its processes, in a process group of their own."""

    def __init__(
        self, database_url: str, kind: str = SERVERS[0], workers: int = 2, **settings: str
    ) -> None:
        self.kind = kind
        self.workers = workers
        self.port = free_port()
        self.address = f"http://127.0.0.1:{self.port}"
        self.log = tempfile.TemporaryFile()
        self._environment = os.environ | {
            "WORTWRIGHT_PEPPER": PEPPER,
            "WORTWRIGHT_DATABASE_URL": database_url,
            "WORTWRIGHT_RATE_LIMIT": "10000000 per minute",
            "WORTWRIGHT_LOG_LEVEL": "warning",
            "OPENBLAS_NUM_THREADS": "1",
            **{f"WORTWRIGHT_{name.upper()}": value for name, value in settings.items()},
        }
        self._process: subprocess.Popen[bytes] | None = None

    @property
    def pid(self) -> int:
        assert self._process is not None
        return self._process.pid

    def start(self, timeout_s: float = 300.0) -> None:
        """Start and wait until the service says that it is ready, on a busy machine too."""
        self._process = subprocess.Popen(
            self._command(),
            env=self._environment,
            stdout=self.log,
            stderr=self.log,
            start_new_session=True,
        )
        self.wait_until_ready(timeout_s)

    def _command(self) -> list[str]:
        place = ["--host", "127.0.0.1", "--port", str(self.port)]
        if self.kind == "waitress":
            return [sys.executable, "-m", "wortwright", "serve", *place]
        return [
            *(sys.executable, "-m", "granian", "--interface", "wsgi", "--factory", *place),
            *("--workers", str(self.workers), "--blocking-threads", "2", "--no-ws"),
            *("--respawn-failed-workers", "--respawn-interval", "0.1"),
            *("--workers-kill-timeout", "10", "--log-level", "warning"),
            "wortwright.wsgi:make_app",
        ]

    def wait_until_ready(self, timeout_s: float) -> None:
        deadline = time.monotonic() + timeout_s
        while not self.is_ready():
            if time.monotonic() > deadline or self.exit_code() is not None:
                raise RuntimeError(f"the server did not start: {self.said()[-2000:]}")
            time.sleep(0.1)

    def is_ready(self) -> bool:
        asking = HTTPConnection("127.0.0.1", self.port, timeout=2.0)
        try:
            asking.request("GET", "/readyz")
            return asking.getresponse().status == 200
        except (OSError, HTTPException):
            return False
        finally:
            asking.close()

    def worker_pids(self) -> list[int]:
        """The children of the master that answer requests."""
        try:
            listed = Path(f"/proc/{self.pid}/task/{self.pid}/children").read_text().split()
        except OSError:
            return []
        pids = [int(pid) for pid in listed if b"resource_tracker" not in _command_of(int(pid))]
        return pids or ([self.pid] if self.kind == "waitress" else [])

    def kill_all(self) -> None:
        """Kill master and workers at one stroke."""
        os.killpg(self.pid, signal.SIGKILL)
        assert self._process is not None
        self._process.wait()

    def kill_master(self) -> None:
        """Kill the master alone; its workers are on their own from then on."""
        os.kill(self.pid, signal.SIGKILL)
        assert self._process is not None
        self._process.wait()

    def sweep(self) -> None:
        """Kill what is left of the group after its master is gone."""
        try:
            os.killpg(self.pid, signal.SIGKILL)
        except ProcessLookupError:
            return

    def ask_to_stop(self) -> None:
        assert self._process is not None
        self._process.terminate()

    def wait(self, timeout_s: float = 30.0) -> int:
        assert self._process is not None
        return self._process.wait(timeout_s)

    def exit_code(self) -> int | None:
        return None if self._process is None else self._process.poll()

    def stop(self) -> None:
        """Stop for good, gently at first."""
        if self._process is not None:
            if self.exit_code() is None:
                self.ask_to_stop()
                try:
                    self.wait(15.0)
                except subprocess.TimeoutExpired:
                    self.kill_all()
            self.sweep()
        self.log.close()

    def said(self) -> str:
        """What the server wrote to its log so far."""
        self.log.seek(0)
        return self.log.read().decode(errors="replace")


def _command_of(pid: int) -> bytes:
    try:
        return Path(f"/proc/{pid}/cmdline").read_bytes()
    except OSError:
        return b"resource_tracker"


@contextmanager
def serving(database_url: str, kind: str = SERVERS[0], **settings: str) -> Iterator[Server]:
    """Serve for a while."""
    server = Server(database_url, kind, **settings)
    try:
        server.start()
        yield server
    finally:
        server.stop()
