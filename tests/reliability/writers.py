"""Writers that send again what was not answered, and the ledger of what was acknowledged."""

import random
import time
from collections import Counter
from dataclasses import dataclass, field
from itertools import count
from threading import Event, Lock, Thread
from typing import Any
from uuid import uuid4

import httpx

from wortwright.api import examples
from wortwright.records.brewer import Club
from wortwright.store.database import Database
from wortwright.usecases.clubs import create_club

SESSIONS_PER_SETUP = 24


def found_club(database: Database, pepper: str) -> str:
    """Make a club and give its key."""
    return create_club(database, Club("Millrace Lane"), pepper)[1]


@dataclass
class Ledger:
    """What the server acknowledged, by the mark that makes each write unlike any other."""

    key: str
    sessions: dict[int, str] = field(default_factory=dict)
    readings: dict[int, str] = field(default_factory=dict)
    closed: set[str] = field(default_factory=set)
    scalings: dict[int, str] = field(default_factory=dict)
    counts: Counter[str] = field(default_factory=Counter)
    setup_ids: list[str] = field(default_factory=list)
    brewer_id: str = ""
    recipe_id: str = ""

    def __post_init__(self) -> None:
        self._marks = count(1)
        self._lock = Lock()

    def mark(self) -> int:
        """A number never given before."""
        with self._lock:
            return next(self._marks)

    def note(self, what: str) -> None:
        with self._lock:
            self.counts[what] += 1

    def prepare(self, address: str) -> None:
        """Make the brewer, the recipe and the first setup."""
        first = Sender(address, self)
        try:
            self._prepare(first)
        finally:
            first.close()

    def _prepare(self, first: "Sender") -> None:
        self.brewer_id = first.store("/v1/brewers", examples.BREWER)["id"]
        self.recipe_id = first.store("/v1/recipes", {**examples.RECIPE, "owner": "club"})["id"]
        self.add_setup(first)

    def add_setup(self, sender: "Sender") -> None:
        """Go on with a fresh setup, so that fits stay short."""
        body = {**examples.SETUP, "brewer_id": self.brewer_id}
        self.setup_ids.append(sender.store("/v1/setups", body)["id"])


class Sender:
    """Sends until it is answered; only 503 and 409 for a busy key may be met on the way."""

    def __init__(self, address: str, ledger: Ledger) -> None:
        self._address = address
        self._ledger = ledger
        self._client = httpx.Client(timeout=30.0, verify=False, trust_env=False)
        self._headers = {"Authorization": f"Bearer {ledger.key}"}

    def close(self) -> None:
        self._client.close()

    def store(self, path: str, body: Any = None) -> Any:
        """Store something once, however often it has to be sent."""
        key = {"Idempotency-Key": str(uuid4())}
        deadline = time.monotonic() + 600
        while time.monotonic() < deadline:
            answer = self._send(path, body, key)
            if answer is None:
                continue
            if answer.status_code in (200, 201):
                if "Idempotency-Replayed" in answer.headers:
                    self._ledger.note("answered by replay")
                self._ledger.note("acknowledged")
                return answer.json()
            if not _try_again(answer):
                raise AssertionError(f"POST {path}: {answer.status_code} {answer.text[:300]}")
            self._ledger.note(f"answered {answer.status_code}, sent again")
            time.sleep(0.2)
        raise AssertionError(f"POST {path}: no answer in ten minutes")

    def _send(self, path: str, body: Any, key: dict[str, str]) -> httpx.Response | None:
        extra = {} if body is None else {"json": body}
        try:
            return self._client.post(self._address + path, headers=self._headers | key, **extra)
        except httpx.HTTPError:
            self._ledger.note("connections cut or refused, sent again")
            time.sleep(0.2)
            return None


def _try_again(answer: httpx.Response) -> bool:
    if answer.status_code == 503:
        return "Retry-After" in answer.headers
    busy = "/problems/idempotency-key-busy"
    return answer.status_code == 409 and answer.json()["type"] == busy


class Writer(Thread):
    """One brewer's script: sessions made, read, closed, and plans stored, until told to stop."""

    def __init__(self, address: str, ledger: Ledger, number: int, done: Event) -> None:
        super().__init__(name=f"writer {number}", daemon=True)
        self._sender = Sender(address, ledger)
        self._ledger = ledger
        self._chance = random.Random(number)
        self._done = done
        self._failure: BaseException | None = None

    def run(self) -> None:
        try:
            while not self._done.is_set():
                self._brew()
        except BaseException as failure:
            self._failure = failure
        finally:
            self._sender.close()

    def raise_if_failed(self) -> None:
        if self._failure is not None:
            raise self._failure

    def _brew(self) -> None:
        ledger, sender = self._ledger, self._sender
        mark = ledger.mark()
        if mark % SESSIONS_PER_SETUP == 0:
            ledger.add_setup(sender)
        setup_id = ledger.setup_ids[-1]
        session_id = sender.store("/v1/sessions", _session(setup_id, mark, self._chance))["id"]
        ledger.sessions[mark] = session_id
        sender.store(f"/v1/sessions/{session_id}/readings", _reading(mark))
        ledger.readings[mark] = session_id
        sender.store(f"/v1/sessions/{session_id}/closing")
        ledger.closed.add(session_id)
        ids = {"setup_id": setup_id, "recipe_id": ledger.recipe_id}
        target = {"volume": {"value": 10.0 + mark / 1e6, "unit": "L"}, "volume_at": "fermenter"}
        ledger.scalings[mark] = sender.store("/v1/scalings", {**ids, "target": target})["id"]


def _session(setup_id: str, mark: int, chance: random.Random) -> Any:
    """The mark is in the microseconds of the brew's time."""
    gravity = round(chance.gauss(1.046, 0.002), 5)
    return {
        **examples.SESSION,
        "setup_id": setup_id,
        "brewed_at": f"2026-03-07T10:00:00.{mark:06d}Z",
        "readings": [{"stage": "fermenter", "volume": "21 L", "gravity": gravity}],
    }


def _reading(mark: int) -> Any:
    return {"stage": "pre_boil", "volume": {"value": 20.0 + mark / 1e6, "unit": "L"}}
