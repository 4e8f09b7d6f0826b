"""The walk: an invented club put in through the API, calibrated, a strong beer planned."""

import json
import secrets
import tempfile
from collections.abc import Callable, Iterator, Mapping
from importlib import resources
from pathlib import Path
from typing import Any

from rich.console import Console
from rich.padding import Padding
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn
from rich.table import Table

from wortwright.api.app import create_app
from wortwright.api.extensions import DATABASE
from wortwright.demo.caller import Caller
from wortwright.pages.amounts import amount
from wortwright.pages.calibration_page import constants_told
from wortwright.pages.plan_text import WIDTH, print_plan
from wortwright.records.brewer import Club
from wortwright.server import listen
from wortwright.settings import Settings
from wortwright.units import UnitSystem
from wortwright.usecases.clubs import create_club
from wortwright.warming import warm

Wire = Mapping[str, Any]
Post = Callable[[str, Any], Wire]


def documents() -> dict[str, Any]:
    """Read the invented club: every document as the API takes it."""
    source = resources.files("wortwright.demo") / "millrace_lane.json"
    read: dict[str, Any] = json.loads(source.read_text(encoding="utf-8"))
    return read


def walk(*, serving: bool, port: int) -> None:
    """Show the whole job, then serve the club until Ctrl-C.

    Parameters
    ----------
    serving : bool
        Whether to serve after the plan.
    port : int
        Port on 127.0.0.1 to serve on.

    Raises
    ------
    CannotListenError
        If it cannot be served there, before anything else is done.
    """
    console = Console(width=WIDTH, highlight=False)
    with tempfile.TemporaryDirectory(prefix="wortwright-demo-") as folder:
        settings = Settings(
            pepper=secrets.token_hex(32),
            database_url=f"sqlite:///{Path(folder) / 'millrace_lane.sqlite3'}",
            log_level="warning",
        )
        app = create_app(settings)
        server = listen(app, "127.0.0.1", port) if serving else None
        app.extensions[DATABASE].migrate()
        wanted = documents()
        _, key = create_club(app.extensions[DATABASE], Club(**wanted["club"]), settings.pepper)
        caller = Caller(app, key)
        setup, recipe = _put_in(caller, wanted, console)
        _show_calibration(caller, setup["id"], console)
        ids = {"setup_id": setup["id"], "recipe_id": recipe["id"]}
        scaling = caller.post("/v1/scalings?units=metric", ids | {"target": wanted["target"]})
        console.print()
        print_plan(scaling["plan"], console)
        if server is not None:
            brewer_key = {"kind": "brewer", "name": "demo", "brewer_id": setup["brewer_id"]}
            keys = (key, caller.post("/v1/keys", brewer_key)["text"])
            _serve(server, keys, ids, _pages(caller, scaling, setup["id"]), console)


def _put_in(caller: Caller, wanted: Wire, console: Console) -> tuple[Wire, Wire]:
    """Put the club in and close its sessions one by one, each of which refits the curve."""
    console.print(f"[bold]{wanted['club']['name']}[/]. {wanted['about']}\n")
    brewer_id = caller.post("/v1/brewers", wanted["brewer"])["id"]
    setup = caller.post("/v1/setups", {"brewer_id": brewer_id, **wanted["setup"]})
    recipe = caller.post("/v1/recipes", wanted["recipe"])
    columns = (TextColumn("Calibrating from past brews"), BarColumn(), MofNCompleteColumn())
    with Progress(*columns, console=console) as progress:
        brews = brew_past(caller.post, setup["id"], wanted)
        list(progress.track(brews, total=len(wanted["sessions"])))
    return setup, recipe


def brew_past(post: Post, setup_id: str, wanted: Wire) -> Iterator[Wire]:
    """Put in what happened in its order: each brew, and before it what was changed meanwhile."""
    changes = list(wanted["changes"])
    for session in wanted["sessions"]:
        while changes and changes[0]["on"] <= session["brewed_at"]:
            post(f"/v1/setups/{setup_id}/changes", changes.pop(0))
        yield post("/v1/sessions", {"setup_id": setup_id, **session})


def _show_calibration(caller: Caller, setup_id: str, console: Console) -> None:
    """Print what the sessions say of the setup; a range holds four times in five."""
    calibration = caller.get(f"/v1/setups/{setup_id}/calibration?units=metric")
    console.print(f"\n[bold]What {calibration['session_count']} sessions say of this setup[/]")
    table = Table(box=None, padding=(0, 0, 0, 2), header_style="dim")
    for column in ("", "now", "its range", "before any session", "sessions"):
        table.add_column(column, justify="right" if column == "sessions" else "left")
    for row in constants_told(calibration, UnitSystem.METRIC):
        count = str(row["session_count"])
        table.add_row(row["what"], row["mean"], row["now"], row["before"], count)
    table.add_row("plain average of mash efficiency", amount(calibration["average_efficiency"]))
    console.print(table)
    for suspect in calibration["suspects"]:
        session = caller.get(f"/v1/sessions/{suspect['session_id']}")
        line = f"Doubted: the brew of {session['brewed_at'][:10]}. {suspect['reason']}"
        console.print(Padding(line, (0, 2)))


def _pages(caller: Caller, scaling: Wire, setup_id: str) -> dict[str, str]:
    """Begin the brew that was planned, and give the path of each page to open."""
    plan = scaling["plan"]
    session = {
        "setup_id": setup_id,
        "scaling_id": scaling["id"],
        "brewed_at": "2026-11-14T08:00:00Z",
        "boil_time": plan["temperatures"]["boil_time"],
        "planned_preboil_volume": plan["water"]["preboil"],
        "grist": [{"name": row["name"], "mass": row["to_weigh"]} for row in plan["grist"]],
    }
    session_id = caller.post("/v1/sessions", session)["id"]
    calibration = _link(caller, f"setups/{setup_id}")
    return {
        "Brew sheet of this plan": _link(caller, f"scalings/{scaling['id']}"),
        "Calibration of the setup": f"{calibration}&scaling_id={scaling['id']}",
        "Kettle log of the brew day": _link(caller, f"sessions/{session_id}"),
        "Guide": "/guide",
        "Contract, for programs": "/docs",
    }


def _link(caller: Caller, thing: str) -> str:
    path: str = caller.post(f"/v1/{thing}/links", {})["page"]
    return path


def _serve(
    server: Any, keys: tuple[str, str], ids: Wire, pages: Mapping[str, str], console: Console
) -> None:
    """Serve the club, with its key and its brewer's, until interrupted."""
    key, brewer_key = keys
    address = f"http://127.0.0.1:{server.effective_port}"
    asked = json.dumps({**ids, "target": {"volume": "2.6 US gal", "volume_at": "package"}})
    console.rule("Serving", align="left")
    lines = (
        f"Serving on {address} until Ctrl-C; then the demo and its database are gone.",
        "",
        "To look at, in a browser:",
        *(f"  {name}: {address}{path}" for name, path in pages.items()),
        "",
        "To ask, from a shell:",
        f"Club key (everything of the club): {key}",
        f"Brewer key (what is one brewer's): {brewer_key}",
        "",
        f"curl -H 'Authorization: Bearer {key}' {address}/v1/sessions",
        f"curl -H 'Authorization: Bearer {key}' {address}/v1/setups/{ids['setup_id']}/calibration",
        f"curl -H 'Authorization: Bearer {key}' -H 'Content-Type: application/json' "
        f"-d '{asked}' '{address}/v1/scalings?store=false&units=us'",
    )
    for line in lines:
        console.print(line, soft_wrap=True, markup=False)
    warm()
    try:
        server.run()
    finally:
        server.close()
    console.print("Stopped.")
