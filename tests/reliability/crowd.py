"""A club that many ask at once."""

import math
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from threading import Barrier
from typing import Any
from uuid import UUID

from flask import Flask
from werkzeug.test import TestResponse

from wortwright.api import examples
from wortwright.api.extensions import DATABASE
from wortwright.calibration.fit import fit_calibration
from wortwright.records.brewer import Club as ClubRecord
from wortwright.store import calibrations, sessions, setups
from wortwright.store.database import Database
from wortwright.store.documents import to_document
from wortwright.store.stored import Scope
from wortwright.usecases.clubs import create_club


@dataclass
class Club:
    """A club with one setup, and how to ask for its things from any thread."""

    app: Flask
    key: str
    club_id: UUID
    brewer_id: str = ""
    setup_id: str = ""
    recipe_id: str = ""

    @classmethod
    def found(cls, app: Flask, pepper: str) -> "Club":
        stored, key = create_club(app.extensions[DATABASE], ClubRecord("Millrace Lane"), pepper)
        club = cls(app, key, stored.id)
        club.brewer_id = club.made("/v1/brewers", examples.BREWER)["id"]
        club.setup_id = club.made("/v1/setups", {**examples.SETUP, "brewer_id": club.brewer_id})[
            "id"
        ]
        club.recipe_id = club.made("/v1/recipes", {**examples.RECIPE, "owner": "club"})["id"]
        return club

    def ask(self, method: str, path: str, body: Any = None, **headers: str) -> TestResponse:
        sent = {"Authorization": f"Bearer {self.key}"}
        sent |= {name.replace("_", "-"): value for name, value in headers.items()}
        extra = {} if body is None else {"json": body}
        return self.app.test_client().open(path, method=method, headers=sent, **extra)

    def made(self, path: str, body: Any) -> Any:
        answer = self.ask("POST", path, body)
        assert answer.status_code in (200, 201), answer.text
        return answer.json

    def get(self, path: str) -> Any:
        answer = self.ask("GET", path)
        assert answer.status_code == 200, answer.text
        return answer.json

    def session_body(self, day: int = 1, state: str = "open", gravity: float = 1.046) -> Any:
        readings = [{"stage": "fermenter", "volume": "21 L", "gravity": gravity}]
        brewed_at = f"2026-03-{day:02d}T10:00:00Z"
        return {
            **examples.SESSION,
            "setup_id": self.setup_id,
            "brewed_at": brewed_at,
            "state": state,
            "readings": readings,
        }


def at_once(count: int, act: Callable[[int], TestResponse]) -> list[TestResponse]:
    """Let this many threads act at the same moment."""
    ready = Barrier(count)

    def start(number: int) -> TestResponse:
        ready.wait(timeout=30)
        return act(number)

    with ThreadPoolExecutor(count) as threads:
        return list(threads.map(start, range(count)))


def assert_posterior_is_a_refit_from_scratch(
    database: Database, club_id: UUID, setup_id: UUID
) -> int:
    """Compare the latest calibration with one fitted anew; give the sessions behind it."""
    with database.read() as tx:
        setup = setups.get(tx, Scope(club_id), setup_id)
        known = calibrations.latest(tx, Scope(club_id), setup_id)
        closed = sessions.closed_on(tx, setup_id)
    fresh = fit_calibration(setup.value, [(str(one), session) for one, session in closed])
    assert set(known.session_ids) == {one for one, _ in closed}
    unlike = list(_unlike(to_document(known.value), to_document(fresh), ""))
    assert unlike == [], unlike[:5]
    return len(closed)


def _unlike(known: Any, fresh: Any, where: str) -> Iterator[str]:
    """Places where two documents differ; numbers may by what threads of BLAS round differently."""
    if isinstance(known, float) and isinstance(fresh, float):
        if not math.isclose(known, fresh, rel_tol=1e-9, abs_tol=1e-12):
            yield f"{where}: {known!r}, not {fresh!r}"
    elif isinstance(known, dict) and isinstance(fresh, dict) and known.keys() == fresh.keys():
        for name in known:
            yield from _unlike(known[name], fresh[name], f"{where}/{name}")
    elif isinstance(known, list) and isinstance(fresh, list) and len(known) == len(fresh):
        for index, (one, other) in enumerate(zip(known, fresh, strict=True)):
            yield from _unlike(one, other, f"{where}/{index}")
    elif known != fresh:
        yield f"{where}: {known!r}, not {fresh!r}"
