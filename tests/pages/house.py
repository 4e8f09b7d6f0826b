"""A club with all that pages show: sessions, a scaling with everything, one brew under way."""

import re
from typing import Any

from flask import Flask
from werkzeug.test import TestResponse

from wortwright.api import calculation_examples as examples
from wortwright.api.extensions import DATABASE
from wortwright.demo.walk import brew_past, documents
from wortwright.records.brewer import Club
from wortwright.settings import Settings
from wortwright.usecases.clubs import create_club

BROWSER = "text/html,application/xhtml+xml,*/*;q=0.8"
ALSO = {
    "water": {**examples.WATER_AT_HAND, "ph": {"target_ph": 5.4}},
    "yeast": examples.YEAST,
    "packaging": examples.BOTTLES,
    "hops_in_store": [examples.STORED_HOPS],
}


class PageHouse:
    """The Millrace Lane club of the demo, and how a browser or a program asks for its things."""

    def __init__(self, app: Flask, settings: Settings) -> None:
        self.app, self.settings = app, settings
        self.client = app.test_client()
        self.key = create_club(app.extensions[DATABASE], Club("Millrace Lane"), settings.pepper)[1]
        wanted = documents()
        self.target = wanted["target"]
        self.brewer_id = self.made("/v1/brewers", wanted["brewer"])["id"]
        self.setup = self.made("/v1/setups", {"brewer_id": self.brewer_id, **wanted["setup"]})
        self.recipe = self.made("/v1/recipes", wanted["recipe"])
        self.sessions = list(brew_past(self.made, self.setup["id"], wanted))
        self.full = self.scaling(**ALSO)
        self.bare = self.scaling()

    def ask(self, method: str, path: str, body: Any = None, **headers: str) -> TestResponse:
        """Ask as a program does, with the club's key."""
        sent = {"Authorization": f"Bearer {self.key}", **headers}
        return self.client.open(path, method=method, json=body, headers=sent)

    def got(self, path: str) -> Any:
        """Read something that is there."""
        answer = self.ask("GET", path)
        assert answer.status_code == 200, answer.text
        return answer.json

    def made(self, path: str, body: Any) -> Any:
        """Make something that is accepted."""
        answer = self.ask("POST", path, body)
        assert answer.status_code in (200, 201), answer.text
        return answer.json

    def open(self, address: str) -> TestResponse:
        """Open an address as a browser does: without a key in a header."""
        return self.client.get(address, headers={"Accept": BROWSER})

    def page(self, address: str) -> str:
        """Open a page that is there."""
        answer = self.open(address)
        assert answer.status_code == 200, answer.text
        return answer.text

    def link(self, thing: str, thing_id: str, **body: Any) -> Any:
        """Mint a link."""
        return self.made(f"/v1/{thing}/{thing_id}/links", body)

    def scaling(self, **also: Any) -> Any:
        """Scale the strong recipe to the setup."""
        ids = {"setup_id": self.setup["id"], "recipe_id": self.recipe["id"]}
        return self.made("/v1/scalings?units=metric", {**ids, "target": self.target, **also})

    def session(self, *, planned: bool = True, **more: Any) -> Any:
        """Begin a brew, by the plan or without one."""
        plan = self.bare["plan"]
        mashed = [line for line in plan["grist"] if line["added_to"] == "mash"]
        body = {
            "setup_id": self.setup["id"],
            "scaling_id": self.bare["id"] if planned else None,
            "brewed_at": "2026-11-14T08:00:00Z",
            "boil_time": plan["temperatures"]["boil_time"],
            "planned_preboil_volume": plan["water"]["preboil"],
            "grist": [{"name": line["name"], "mass": line["to_weigh"]} for line in mashed],
            **more,
        }
        return self.made("/v1/sessions", body)

    def log_of(self, session: Any) -> str:
        """Give the address of the log of a session, by a link."""
        address: str = self.link("sessions", session["id"])["page"]
        return address


def plain(html: str) -> str:
    """Give the words of a page, without markup."""
    words = re.sub(r"<style.*?</style>|<[^>]+>", " ", html, flags=re.DOTALL)
    for entity, sign in (("&nbsp;", " "), ("&#39;", "'"), ("&lt;", "<"), ("&gt;", ">")):
        words = words.replace(entity, sign)
    return " ".join(words.replace("&amp;", "&").split())
