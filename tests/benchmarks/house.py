"""The invented club on a service of its own within this process, ready to be asked."""

import secrets
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from flask.testing import FlaskClient

from postgres import own_postgres_database
from wortwright.api import examples
from wortwright.api.app import create_app
from wortwright.api.extensions import DATABASE
from wortwright.demo.walk import brew_past, documents
from wortwright.records.brewer import Club
from wortwright.settings import Settings
from wortwright.usecases.clubs import create_club
from wortwright.warming import warm

# A best bitter that fits the kettle, so that no way out has to be looked for.
BITTER = {
    "name": "Lock Keeper's Bitter",
    "owner": "club",
    "volume": "20 L",
    "volume_at": "fermenter",
    "original_gravity": 1.044,
    "bitterness": "32 IBU",
    "mash": [{"temperature": "66 degC", "time": "60 min"}],
    "grist": [
        {"name": "Pale ale malt", "mass": "3.9 kg"},
        {"name": "Crystal 60 L", "mass": "250 g"},
        {"name": "Wheat malt, pale", "mass": "150 g"},
    ],
    "hop_bill": [
        {"name": "Challenger", "mass": "28 g", "moment": "boil", "time": "60 min"},
        {"name": "East Kent Golding", "mass": "20 g", "moment": "boil", "time": "10 min"},
    ],
}


class House:
    """A club with a calibrated setup, and how to ask."""

    def __init__(self, client: FlaskClient, key: str) -> None:
        self._client = client
        self._headers = {"Authorization": f"Bearer {key}"}
        club = documents()
        brewer_id = self.post("/v1/brewers", club["brewer"])["id"]
        self.setup_id = self.post("/v1/setups", {"brewer_id": brewer_id, **club["setup"]})["id"]
        for _ in brew_past(self.post, self.setup_id, club):
            pass
        self.recipe_id = self.post("/v1/recipes", BITTER)["id"]
        self.scaling = {
            "setup_id": self.setup_id,
            "recipe_id": self.recipe_id,
            "target": {"volume": "20 L", "volume_at": "fermenter"},
        }
        self.scaling_id = self.post("/v1/scalings", self.scaling)["id"]
        self.session_id = self.post(
            "/v1/sessions", {**examples.SESSION, "setup_id": self.setup_id}
        )["id"]

    def post(self, path: str, body: Any) -> Any:
        return self.send(path, body).json

    def send(self, path: str, body: Any) -> Any:
        answer = self._client.post(path, headers=self._headers, json=body)
        assert answer.status_code in (200, 201), answer.text
        return answer

    def get(self, path: str) -> Any:
        answer = self._client.get(path, headers=self._headers)
        assert answer.status_code == 200, answer.text
        return answer

    def acts(self) -> dict[str, Callable[[], Any]]:
        """What is asked often."""
        reads = (
            "/v1/brewers",
            f"/v1/setups/{self.setup_id}",
            f"/v1/setups/{self.setup_id}/calibration",
            f"/v1/recipes/{self.recipe_id}",
            "/v1/sessions?limit=20",
            f"/v1/sessions/{self.session_id}",
            f"/v1/scalings/{self.scaling_id}",
        )
        named = {f"GET {self._template(path)}": self._reading(path) for path in reads}
        return named | {
            "POST /v1/scalings?store=false": lambda: self.send(
                "/v1/scalings?store=false", self.scaling
            ),
            "POST /v1/scalings": lambda: self.send("/v1/scalings", self.scaling),
            "POST /v1/sessions (closed: refits)": lambda: self.send(
                "/v1/sessions", {**examples.SESSION, "setup_id": self._spare(), "state": "closed"}
            ),
        }

    def _reading(self, path: str) -> Callable[[], Any]:
        return lambda: self.get(path)

    def _template(self, path: str) -> str:
        for name in ("setup_id", "recipe_id", "session_id", "scaling_id"):
            path = path.replace(getattr(self, name), f"{{{name}}}")
        return path

    def _spare(self) -> str:
        """A setup with few sessions, renewed before they become many."""
        if getattr(self, "_left", 0) == 0:
            brewer_id = self.get(f"/v1/setups/{self.setup_id}").json["brewer_id"]
            body = {**examples.SETUP, "brewer_id": brewer_id}
            self._spare_id: str = self.post("/v1/setups", body)["id"]
            self._left = 12
        self._left -= 1
        return self._spare_id


@contextmanager
def served_house(database: str) -> Iterator[House]:
    """A club on a database of its own: a SQLite file, or one on the server named."""
    with own_database(database) as url:
        settings = Settings(
            pepper=secrets.token_hex(32),
            database_url=url,
            rate_limit="1000000000 per minute",
            log_level="warning",
        )
        app = create_app(settings)
        warm()
        opened = app.extensions[DATABASE]
        opened.migrate()
        _, key = create_club(opened, Club("Millrace Lane"), settings.pepper)
        yield House(app.test_client(), key)
        opened.close()


@contextmanager
def own_database(database: str) -> Iterator[str]:
    """The address of a database for the time being."""
    if database == "sqlite":
        with tempfile.TemporaryDirectory(prefix="wortwright-bench-") as folder:
            yield f"sqlite:///{Path(folder) / 'bench.sqlite3'}"
    else:
        with own_postgres_database(database) as url:
            yield url
