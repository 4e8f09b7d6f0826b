"""A club with a brewer, a setup and a recipe, seen through the service."""

from typing import Any

from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from api.promises import assert_promised
from wortwright.api import examples


class House:
    """One club and its first brewer, and how to ask for their things."""

    def __init__(self, client: FlaskClient, club_key: str) -> None:
        self.client = client
        self.club_key = club_key
        self.brewer_id: str = self.made("/v1/brewers", examples.BREWER)["id"]

    def ask(
        self, method: str, path: str, body: Any = None, *, key: str | None = None, **headers: str
    ) -> TestResponse:
        """Send a request, with the club's key if no other is given."""
        sent = {"Authorization": f"Bearer {key or self.club_key}"}
        sent |= {name.replace("_", "-"): value for name, value in headers.items()}
        extra = {} if body is None else {"json": body}
        answer = self.client.open(path, method=method, headers=sent, **extra)
        assert_promised(self.client.application, method, path, answer)
        return answer

    def get(self, path: str, key: str | None = None) -> Any:
        """Read something that is there."""
        answer = self.ask("GET", path, key=key)
        assert answer.status_code == 200, answer.text
        return answer.json

    def made(self, path: str, body: Any, key: str | None = None) -> Any:
        """Make something that is accepted."""
        answer = self.ask("POST", path, body, key=key)
        assert answer.status_code in (200, 201), answer.text
        return answer.json

    def setup(self, **changes: Any) -> Any:
        body = {**examples.SETUP, "brewer_id": self.brewer_id, **changes}
        return self.made("/v1/setups", body)

    def recipe(self, owner: str = "club", **changes: Any) -> Any:
        return self.made("/v1/recipes", {**examples.RECIPE, "owner": owner, **changes})

    def session(self, setup_id: str, **changes: Any) -> Any:
        return self.made("/v1/sessions", {**examples.SESSION, "setup_id": setup_id, **changes})

    def brewer_key(self, kind: str = "brewer", brewer_id: str | None = None, **more: Any) -> str:
        """Mint a key of the brewer's."""
        body = {"kind": kind, "name": "test", "brewer_id": brewer_id or self.brewer_id, **more}
        text: str = self.made("/v1/keys", body)["text"]
        return text


def pointers(answer: TestResponse) -> list[str]:
    """Give the places in the body that a problem names."""
    return [entry["pointer"] for entry in answer.json["errors"]]


def changed(body: Any, path: str, value: Any) -> Any:
    """Copy a body with one place in it changed; the path is a JSON Pointer."""
    head, _, rest = path.lstrip("/").partition("/")
    key: Any = int(head) if isinstance(body, list) else head
    copied = list(body) if isinstance(body, list) else dict(body)
    if not rest:
        copied[key] = value
    else:
        copied[key] = changed(copied[key], rest, value)
    return copied
