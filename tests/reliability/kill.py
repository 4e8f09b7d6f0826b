"""Kill the server again and again while many write to it, then count what is left.

    python tests/reliability/kill.py --kills 200 --database sqlite
    python tests/reliability/kill.py --kills 200 --database postgresql://postgres@127.0.0.1/postgres

Writers make sessions, add readings, close them and store scalings over HTTP, each with an
``Idempotency-Key``, and send again whatever was not answered. Meanwhile a worker, the master or
all of them are killed (SIGKILL). At the end every acknowledged write has to be there exactly
once, none that was not acknowledged more than once, and what each setup has learnt has to be what
a fit from scratch gives.

This says nothing of power loss: the operating system lives on.
"""

import argparse
import os
import random
import signal
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from threading import Event

if __name__ == "__main__":
    sys.path.insert(0, str(Path(__file__).parents[1]))

from postgres import own_postgres_database
from reliability.reckoning import reckon
from reliability.serving import HAS_GRANIAN, PEPPER, SERVERS, Server
from reliability.writers import Ledger, Writer, found_club
from wortwright.store.database import Database

# Of twenty kills one is of everything and one of the master alone.
WAYS = {4: "all", 12: "master"}
UPTIME_S = (0.6, 1.8)
WORKERS = 4


@contextmanager
def own_database(database: str) -> Iterator[str]:
    """A database of this run's own: a SQLite file, or one on the PostgreSQL server named."""
    if database == "sqlite":
        with tempfile.TemporaryDirectory(prefix="wortwright-kill-") as folder:
            yield f"sqlite:///{Path(folder) / 'kill.sqlite3'}"
    else:
        with own_postgres_database(database) as url:
            yield url


def kill_under_load(
    database: str, kills: int, *, kind: str = SERVERS[0], writers: int = 4, seed: int = 1
) -> str:
    """Run it, and give the report; raises AssertionError if anything was lost or done twice."""
    chance = random.Random(seed)
    with own_database(database) as url:
        opened = Database(url)
        opened.migrate()
        server, done = Server(url, kind, WORKERS), Event()
        ledger = Ledger(found_club(opened, PEPPER))
        crew = [Writer(server.address, ledger, number, done) for number in range(writers)]
        try:
            server.start()
            ledger.prepare(server.address)
            for writer in crew:
                writer.start()
            ways = _kill(server, kills, chance, crew)
        finally:
            done.set()
            for writer in crew:
                if writer.is_alive():
                    writer.join(timeout=60)
            server.stop()
        counted = reckon(opened, ledger)
        opened.close()
    return _report(database, kind, seed, ways, ledger, counted)


def _kill(server: Server, kills: int, chance: random.Random, crew: list[Writer]) -> Counter[str]:
    ways: Counter[str] = Counter()
    for number in range(kills):
        time.sleep(chance.uniform(*UPTIME_S))
        for writer in crew:
            writer.raise_if_failed()
        _supervise(server)
        way = WAYS.get(number % 20, "worker") if server.kind == "granian" else "all"
        if way == "worker":
            # The oldest: granian takes the early death of a young one for a crash loop.
            os.kill(min(server.worker_pids()), signal.SIGKILL)
        elif way == "master":
            server.kill_master()
            time.sleep(chance.uniform(0.0, 0.3))
        else:
            server.kill_all()
        ways[way] += 1
        if number % 20 == 19:
            print(f"{number + 1} kills", file=sys.stderr, flush=True)
    _supervise(server)
    time.sleep(1.0)
    return ways


def _supervise(server: Server) -> None:
    """Start a server whose master is gone, as whatever looks after it would."""
    while server.exit_code() is not None or not server.is_ready() or not server.worker_pids():
        if server.exit_code() is not None:
            server.sweep()
            server.start()
        time.sleep(0.1)


def _report(
    database: str,
    kind: str,
    seed: int,
    ways: Counter[str],
    ledger: Ledger,
    counted: dict[str, int],
) -> str:
    lines = [
        f"{database.partition(':')[0]} behind {kind}, seed {seed}: {sum(ways.values())} kills "
        f"({', '.join(f'{n} of {way}' for way, n in ways.items())})",
        *(f"  {name}: {count}" for name, count in (ledger.counts | Counter(counted)).items()),
        "  lost: 0, done twice: 0, posteriors unlike a fit from scratch: 0",
    ]
    return "\n".join(lines)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.split("\n", 1)[0])
    parser.add_argument("--kills", type=int, default=200)
    parser.add_argument("--database", default="sqlite", help="sqlite, or a PostgreSQL server")
    parser.add_argument("--server", choices=SERVERS, default=SERVERS[0])
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    if not HAS_GRANIAN:
        print("granian is not installed: one process, killed whole")
    print(kill_under_load(asked.database, asked.kills, kind=asked.server, seed=asked.seed))


if __name__ == "__main__":
    main()
