"""Brews with extreme numbers in documents that are right in form, and every answer about them.

    python tests/fuzz/extremes.py --houses 700 --seed 1

The commas of the club's own documents are moved, gravities become those of water or syrup, members
are left out or said twice. What is accepted is then asked for in every way that the contract has:
no answer may be a fault, and none may break the contract. Exit code 1 if any did.
"""

import argparse
import random
import re
import sys
import tempfile
from collections import Counter
from collections.abc import Callable, Iterator
from copy import deepcopy
from pathlib import Path
from typing import Any

if __name__ == "__main__":
    sys.path.insert(0, str(Path(__file__).parents[1]))

from api.everything import Everything, operations_of
from api.house import House
from api.promises import contract_of
from wortwright.api import examples
from wortwright.api.app import create_app
from wortwright.api.extensions import DATABASE
from wortwright.demo.walk import documents
from wortwright.records.brewer import Club
from wortwright.settings import Settings
from wortwright.usecases.clubs import create_club

AMOUNT = re.compile(r"(-?\d+(?:\.\d+)?)( .+)?")
FACTORS = (0.0, 1e-6, 1e-3, 0.05, 0.2, 0.5, 0.7, 0.9, 0.999, 1.001, 1.1, 1.3, 2, 3, 5, 10, 30)
GRAVITIES = (0.98, 0.995, 1.0, 1.0000001, 1.0005, 1.002, 1.01, 1.05, 1.1, 1.15, 1.19)

Place = tuple[str | int, ...]


def amounts(document: Any, path: Place = ()) -> Iterator[tuple[Place, Any]]:
    """Every number of a document, with or without its unit, and where it stands."""
    if isinstance(document, dict):
        for name, value in document.items():
            yield from amounts(value, (*path, name))
    elif isinstance(document, list):
        for place, value in enumerate(document):
            yield from amounts(value, (*path, place))
    elif isinstance(document, str):
        if AMOUNT.fullmatch(document):
            yield path, document
    elif isinstance(document, (int, float)) and not isinstance(document, bool):
        yield path, document


def extreme(document: Any, rng: random.Random) -> Any:
    """The document with a few of its numbers moved, and perhaps a member less or one twice."""
    changed = deepcopy(document)
    found = list(amounts(changed))
    for path, value in rng.sample(found, min(len(found), rng.choice((1, 1, 2, 3, 5)))):
        _put(changed, path, _moved(value, rng))
    if rng.random() < 0.25:
        _less_or_more(changed, rng)
    return changed


def _moved(value: Any, rng: random.Random) -> Any:
    if isinstance(value, str):
        number, unit = AMOUNT.fullmatch(value).groups("")  # type: ignore[union-attr]
        return f"{_moved(float(number), rng):.10g}{unit}"
    if 0.97 < value < 1.2 and value != 1:
        return rng.choice(GRAVITIES)
    moved = value * rng.choice(FACTORS)
    return int(moved) if isinstance(value, int) else moved


def _put(document: Any, path: Place, value: Any) -> None:
    for step in path[:-1]:
        document = document[step]
    document[path[-1]] = value


def _less_or_more(document: Any, rng: random.Random) -> None:
    whole = rng.choice([part for part in _parts(document) if part])
    if isinstance(whole, dict):
        del whole[rng.choice(list(whole))]
    elif rng.random() < 0.5:
        whole.append(deepcopy(rng.choice(whole)))
    else:
        whole.pop()


def _parts(document: Any) -> Iterator[Any]:
    if isinstance(document, (dict, list)):
        yield document
        for part in document.values() if isinstance(document, dict) else document:
            yield from _parts(part)


class Extremes:
    """A club whose brewers write such documents, and asks for all that comes of them."""

    def __init__(self, things: Everything, contract: dict[str, Any], seed: int) -> None:
        self.things, self.rng = things, random.Random(seed)
        self.demo = documents()
        self.asked = [one for one in operations_of(contract) if one.method == "GET"]
        self.answers: Counter[tuple[str, int]] = Counter()
        self.faults: list[str] = []

    def brew(self) -> None:
        """One setup, a recipe and a scaling onto it, a few sessions, and every question."""
        kept = {"brewer_id": self.things.ids["brewer_id"]}
        setup = self._one_of(self.demo["setup"], examples.SETUP)
        ids = self._made("setup", {**self._perhaps(setup), **kept})
        if not ids:
            return
        recipe = extreme(self._one_of(self.demo["recipe"], examples.RECIPE), self.rng)
        ids |= self._made("recipe", {**recipe, "owner": "club"})
        scaling = extreme({"target": examples.TARGET}, self.rng)
        if "recipe_id" in ids:
            ids |= self._made("scaling", {**scaling, **ids})
        for _ in range(self.rng.choice((1, 2, 3))):
            ids |= self._made("session", self._session(ids))
        for operation in self.asked:
            if operation.parameters and ids.keys() >= {*operation.parameters}:
                self._ask("GET", self._address(operation.path, ids), None, operation.path)

    def _address(self, path: str, ids: dict[str, str]) -> str:
        query = f"?other_id={ids['session_id']}" if path.endswith("comparison") else ""
        return path.format(**ids) + query

    def _session(self, ids: dict[str, str]) -> Any:
        session = extreme(self._one_of(*self.demo["sessions"], examples.SESSION), self.rng)
        state = "closed" if self.rng.random() < 0.8 else "open"
        scaling = {name: ids[name] for name in ("scaling_id",) if name in ids}
        return {**session, **scaling, "setup_id": ids["setup_id"], "state": state}

    def _one_of(self, *documents: Any) -> Any:
        return self.rng.choice(documents)

    def _perhaps(self, document: Any) -> Any:
        return extreme(document, self.rng) if self.rng.random() < 0.6 else document

    def _made(self, thing: str, body: Any) -> dict[str, str]:
        answer = self._ask("POST", f"/v1/{thing}s", body, thing)
        return {f"{thing}_id": answer["id"]} if answer else {}

    def _ask(self, method: str, path: str, body: Any, label: str) -> Any:
        try:
            answer = self.things.house.ask(method, path, body)
        except AssertionError as broken:
            self.faults.append(f"{label}: {broken}: {body}")
            return None
        self.answers[label, answer.status_code] += 1
        if answer.status_code >= 500:
            self.faults.append(f"{label}: {answer.status_code} {answer.text[:500]}: {body}")
        return answer.json if answer.status_code == 201 else None


def with_everything(act: Callable[[Everything, dict[str, Any]], None]) -> None:
    """Let something be done with a club of its own."""
    with tempfile.TemporaryDirectory(prefix="wortwright-extremes-") as folder:
        settings = Settings(
            pepper="a pepper that is only good for tests",
            database_url=f"sqlite:///{Path(folder) / 'extremes.sqlite3'}",
            rate_limit="1000000000 per minute",
            log_level="critical",
        )
        app = create_app(settings)
        app.extensions[DATABASE].migrate()
        _, key = create_club(app.extensions[DATABASE], Club("Millrace Lane"), settings.pepper)
        contract = contract_of(app)
        act(Everything(House(app.test_client(), key), operations_of(contract), "Ours"), contract)
        app.extensions[DATABASE].close()


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.split("\n", 1)[0])
    parser.add_argument("--houses", type=int, default=700)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()

    def act(things: Everything, contract: dict[str, Any]) -> None:
        extremes = Extremes(things, contract, asked.seed)
        for _ in range(asked.houses):
            extremes.brew()
        for (label, status), count in sorted(extremes.answers.items()):
            print(f"{count:6} x {status}  {label}")
        print(f"{sum(extremes.answers.values())} answers, {len(extremes.faults)} faults")
        print(*extremes.faults, sep="\n")
        sys.exit(bool(extremes.faults))

    with_everything(act)


if __name__ == "__main__":
    main()
