"""The example site with a service of its own, holding the invented club: one command, no set-up."""

import secrets
import tempfile
from pathlib import Path
from threading import Thread

from flask import Flask
from server import app as site
from waitress import serve

from wortwright.api.app import create_app
from wortwright.api.extensions import DATABASE
from wortwright.demo.caller import Caller
from wortwright.demo.walk import documents
from wortwright.records.brewer import Club
from wortwright.settings import Settings
from wortwright.usecases.clubs import create_club

SERVICE, SITE = "http://127.0.0.1:8081", "http://127.0.0.1:8090"


def make_service(folder: Path, origin: str) -> tuple[Flask, str]:
    """Make a service that a site may call from its pages, holding the invented club; its key."""
    settings = Settings(
        pepper=secrets.token_hex(32),
        database_url=f"sqlite:///{folder / 'millrace_lane.sqlite3'}",
        allowed_origins=(origin,),
        log_level="warning",
    )
    app = create_app(settings)
    app.extensions[DATABASE].migrate()
    club = documents()
    _, key = create_club(app.extensions[DATABASE], Club(**club["club"]), settings.pepper)
    caller = Caller(app, key)
    brewer_id = caller.post("/v1/brewers", club["brewer"])["id"]
    setup_id = caller.post("/v1/setups", {"brewer_id": brewer_id, **club["setup"]})["id"]
    caller.post("/v1/recipes", club["recipe"])
    for session in club["sessions"]:
        caller.post("/v1/sessions", {"setup_id": setup_id, **session})
    return app, key


if __name__ == "__main__":
    with tempfile.TemporaryDirectory(prefix="wortwright-site-") as made_in:
        print("Calibrating the invented club's setup from its past brews.")
        service, club_key = make_service(Path(made_in), SITE)
        serving = {"app": service, "listen": SERVICE.partition("://")[2]}
        Thread(target=serve, kwargs=serving, daemon=True).start()
        print(f"The club's site is at {SITE} until Ctrl-C; then all of it is gone.")
        site.config.update(SERVICE=SERVICE, KEY=club_key, SITE=SITE)
        serve(site, listen=SITE.partition("://")[2])
