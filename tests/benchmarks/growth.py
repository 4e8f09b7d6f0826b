"""Whether a request takes longer among a million sessions than among a thousand.

    python tests/benchmarks/growth.py --postgres postgresql://postgres@127.0.0.1/postgres

Two PostgreSQL databases of the same kind of clubs, one with 50 setups, one with 50,000, each
setup with 20 sessions; the generator is population.py. The same requests go to both, turn and
turn about, so that whatever else the machine does hits both alike. Reads go anywhere; what adds
sessions goes to as many setups on the one side as on the other. Exit code 1 if the 99th of a
hundred requests takes more than 1.3 times as long among many.
"""

import argparse
import random
import secrets
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

if __name__ == "__main__":
    sys.path.insert(0, str(Path(__file__).parents[1]))

from flask.testing import FlaskClient

from benchmarks.population import SESSIONS_PER_SETUP, Place, Template, brew_the_template, fill
from postgres import own_postgres_database
from wortwright.api import examples
from wortwright.api.app import create_app
from wortwright.api.extensions import DATABASE
from wortwright.records.brewer import Club
from wortwright.settings import Settings
from wortwright.store.database import Database
from wortwright.usecases.clubs import create_club
from wortwright.warming import warm

BAR = 1.3
WRITTEN_TO = 50


@dataclass
class Side:
    """A service on one of the databases."""

    client: FlaskClient
    database: Database
    places: list[Place]
    chance: random.Random
    taken: dict[str, list[float]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self._few = self.chance.sample(self.places, min(WRITTEN_TO, len(self.places)))

    def ask(self, name: str) -> None:
        """Ask once, anywhere, and note how long it took. [ms]"""
        writes = name in WRITES
        place = self.chance.choice(self._few if writes else self.places)
        method, path, body = ACTS[name](place)
        headers = {"Authorization": f"Bearer {place.key}"}
        extra = {} if body is None else {"json": body}
        began = time.perf_counter()
        answer = self.client.open(path, method=method, headers=headers, **extra)
        self.taken.setdefault(name, []).append((time.perf_counter() - began) * 1000)
        assert answer.status_code in (200, 201), f"{name}: {answer.text[:300]}"


def _scaling(place: Place) -> dict[str, Any]:
    target = {"volume": "20 L", "volume_at": "fermenter"}
    return {"setup_id": place.setup_id, "recipe_id": place.recipe_id, "target": target}


def _session(place: Place) -> dict[str, Any]:
    return {**examples.SESSION, "setup_id": place.setup_id, "state": "closed"}


ACTS: dict[str, Callable[[Place], tuple[str, str, Any]]] = {
    "GET setup": lambda at: ("GET", f"/v1/setups/{at.setup_id}", None),
    "GET calibration": lambda at: ("GET", f"/v1/setups/{at.setup_id}/calibration", None),
    "GET session": lambda at: ("GET", f"/v1/sessions/{at.session_id}", None),
    "GET sessions of a club": lambda at: ("GET", "/v1/sessions?limit=20", None),
    "GET sessions of a setup": lambda at: (
        "GET",
        f"/v1/sessions?limit=20&setup_id={at.setup_id}",
        None,
    ),
    "GET setups of a club": lambda at: ("GET", "/v1/setups?limit=20", None),
    "POST scaling, store=false": lambda at: ("POST", "/v1/scalings?store=false", _scaling(at)),
    "POST scaling, stored": lambda at: ("POST", "/v1/scalings", _scaling(at)),
    "POST session, closed": lambda at: ("POST", "/v1/sessions", _session(at)),
}
WRITES = ("POST scaling, stored", "POST session, closed")


@contextmanager
def side(server: str, setups: int, seed: int) -> Iterator[Side]:
    """A service on a database of its own with so many setups."""
    with own_postgres_database(server) as url:
        settings = Settings(
            pepper=secrets.token_hex(32),
            database_url=url,
            rate_limit="1000000000 per minute",
            log_level="warning",
        )
        app = create_app(settings)
        warm()
        database: Database = app.extensions[DATABASE]
        database.migrate()
        club, key = create_club(database, Club("Millrace Lane"), settings.pepper)
        client, headers = app.test_client(), {"Authorization": f"Bearer {key}"}

        def post(path: str, body: Any) -> Any:
            answer = client.post(path, headers=headers, json=body)
            assert answer.status_code == 201, answer.text
            return answer.json

        brew_the_template(post)
        template = Template(database, club.id)
        places = fill(database, template, setups, settings.pepper, _tell(setups))
        yield Side(client, database, places, random.Random(seed))
        database.close()


def _tell(setups: int) -> Callable[[int], None]:
    def told(done: int) -> None:
        if done % 5_000 == 0 or done == setups:
            print(f"{done} setups", file=sys.stderr, flush=True)

    return told


def measure(few: Side, many: Side, count: int) -> None:
    """Send every kind of request so many times to both sides, in turn."""
    for number in range(-3, count):
        for name in ACTS:
            for one in (few, many) if number % 2 else (many, few):
                one.ask(name)
        if number < 0:
            few.taken, many.taken = {}, {}


def quantile(taken: list[float], share: float) -> float:
    """The time within which a share of the requests was answered. [ms]"""
    return sorted(taken)[min(len(taken) - 1, int(len(taken) * share))]


def ratio(few: Side, many: Side) -> float:
    """The p99 of all requests among many, to that among few."""
    every = [[ms for taken in one.taken.values() for ms in taken] for one in (many, few)]
    return quantile(every[0], 0.99) / quantile(every[1], 0.99)


def report(few: Side, many: Side) -> Iterator[str]:
    """The table, and the verdict."""
    sizes = [len(one.places) * SESSIONS_PER_SETUP for one in (few, many)]
    count = len(next(iter(few.taken.values())))
    yield f"{sizes[0]:,} and {sizes[1]:,} sessions, {count} requests of each kind; ms"
    heads = "".join(f"{f'{p} few':>9}{f'{p} many':>9}{'ratio':>7}" for p in ("p50", "p99"))
    yield f"{'':28}{heads}"
    for name in ACTS:
        cells = ""
        for share in (0.50, 0.99):
            a, b = (quantile(one.taken[name], share) for one in (few, many))
            cells += f"{a:9.2f}{b:9.2f}{b / a:7.2f}"
        yield f"{name:28}{cells}"
    found = ratio(few, many)
    yield f"p99 of all: {found:.2f}   bar {BAR:.1f} {'reached' if found <= BAR else 'NOT REACHED'}"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.split("\n", 1)[0])
    parser.add_argument("--postgres", required=True, help="a server that may create databases")
    parser.add_argument("--few", type=int, default=50, help="setups on the one side")
    parser.add_argument("--many", type=int, default=50_000, help="setups on the other")
    parser.add_argument("--count", type=int, default=500, help="requests of each kind")
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    with side(asked.postgres, asked.few, asked.seed) as few:
        with side(asked.postgres, asked.many, asked.seed) as many:
            measure(few, many, asked.count)
            for line in report(few, many):
                print(line, flush=True)
            sys.exit(ratio(few, many) > BAR)


if __name__ == "__main__":
    main()
