"""Ten minutes of load, and what memory the worker processes hold meanwhile.

    python tests/benchmarks/soak.py                       # SQLite, ten minutes
    python tests/benchmarks/soak.py --database postgresql://postgres@127.0.0.1/postgres

The service runs as in production, two worker processes. Callers ask for everything that is asked
often; the mix has refits, stored scalings and reads. Exit code 1 if the workers hold more than
1.05 times as much at the end as after a fifth of the time.
"""

import argparse
import statistics
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from threading import Event, Thread
from typing import Any

import httpx

if __name__ == "__main__":
    sys.path.insert(0, str(Path(__file__).parents[1]))

from benchmarks.house import House, own_database
from reliability.serving import PEPPER, Server, serving
from reliability.writers import found_club
from wortwright.store.database import Database

BAR = 1.05
SETTLED = 0.2
SAMPLES = 50


class Answer:
    """An answer over HTTP, as the house reads answers."""

    def __init__(self, got: httpx.Response) -> None:
        self.status_code, self.text, self._got = got.status_code, got.text, got

    @property
    def json(self) -> Any:
        return self._got.json()


class Client:
    """Asks a server over HTTP."""

    def __init__(self, address: str) -> None:
        self._client = httpx.Client(base_url=address, timeout=60, trust_env=False)

    def post(self, path: str, headers: dict[str, str], json: Any) -> Answer:
        return Answer(self._client.post(path, headers=headers, json=json))

    def get(self, path: str, headers: dict[str, str]) -> Answer:
        return Answer(self._client.get(path, headers=headers))

    def close(self) -> None:
        self._client.close()


class CallerThread(Thread):
    """Asks for everything in turn until told to stop."""

    def __init__(self, address: str, key: str, done: Event) -> None:
        super().__init__(daemon=True)
        self._client, self._done = Client(address), done
        self._house = House(self._client, key)
        self.count, self.failure = 0, ""

    def run(self) -> None:
        acts = list(self._house.acts().values())
        try:
            while not self._done.is_set():
                acts[self.count % len(acts)]()
                self.count += 1
        except Exception as failure:
            self.failure = repr(failure)
        finally:
            self._client.close()


@dataclass
class Soaked:
    """What the workers held over time. [MiB]"""

    minutes: float
    requests: int = 0
    held: list[float] = field(default_factory=list)

    def at(self, share: float) -> float:
        """The median of the samples up to a share of the time, over a twentieth of it."""
        last = max(1, round(len(self.held) * share))
        return statistics.median(self.held[max(0, last - SAMPLES // 20) : last])

    @property
    def ratio(self) -> float:
        return self.at(1.0) / self.at(SETTLED)

    def report(self) -> str:
        verdict = "reached" if self.ratio <= BAR else "NOT REACHED"
        course = ", ".join(f"{self.at((n + 1) / 10):.1f}" for n in range(10))
        return (
            f"{self.requests} requests in {self.minutes:g} minutes\n"
            f"MiB held by the workers, at each tenth of the time: {course}\n"
            f"end / a fifth of the time: {self.ratio:.3f}   bar {BAR:.2f} {verdict}"
        )


def held_mib(server: Server) -> float:
    """Resident memory of all workers. [MiB]"""
    kib = 0
    for pid in server.worker_pids():
        status = Path(f"/proc/{pid}/status").read_text()
        kib += next(int(line.split()[1]) for line in status.splitlines() if "VmRSS" in line)
    return kib / 1024


@contextmanager
def _load(server: Server, key: str, callers: int) -> Iterator[list[CallerThread]]:
    done = Event()
    crew = [CallerThread(server.address, key, done) for _ in range(callers)]
    for caller in crew:
        caller.start()
    try:
        yield crew
    finally:
        done.set()
        for caller in crew:
            caller.join(60)


def soak(database: str, minutes: float, callers: int = 3) -> Soaked:
    """Put load on a server for so long and see what its workers hold."""
    soaked = Soaked(minutes)
    with own_database(database) as url:
        opened = Database(url)
        opened.migrate()
        key = found_club(opened, PEPPER)
        opened.close()
        with serving(url) as server, _load(server, key, callers) as crew:
            for _ in range(SAMPLES):
                time.sleep(minutes * 60 / SAMPLES)
                soaked.held.append(held_mib(server))
                failures = [caller.failure for caller in crew if caller.failure]
                assert not failures, failures
        soaked.requests = sum(caller.count for caller in crew)
    return soaked


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.split("\n", 1)[0])
    parser.add_argument("--database", default="sqlite", help="sqlite, or a PostgreSQL server")
    parser.add_argument("--minutes", type=float, default=10.0)
    asked = parser.parse_args()
    soaked = soak(asked.database, asked.minutes)
    print(soaked.report())
    sys.exit(soaked.ratio > BAR)


if __name__ == "__main__":
    main()
