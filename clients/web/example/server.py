"""An invented club's recipe site: pages, page keys for who looks at them, addresses of sheets.

Copy it and put your own log-in into `member`. CLUB_SERVICE is the service's address, CLUB_KEY the
club's key, which stays on this server, and CLUB_SITE this server's own address.
"""

import json
from pathlib import Path
from typing import Any
from urllib.request import Request, urlopen

from flask import Flask, Response, abort, redirect, render_template, request, send_file
from waitress import serve

app = Flask(__name__, template_folder="pages")
app.config.from_prefixed_env("CLUB")


def ask(path: str, body: Any = None) -> Any:
    """Ask the service as the club."""
    headers = {"Authorization": f"Bearer {app.config['KEY']}", "Content-Type": "application/json"}
    data = None if body is None else json.dumps(body).encode()
    with urlopen(Request(app.config["SERVICE"] + path, data, headers), timeout=20) as answer:
        return json.load(answer)


def member() -> str:
    """Tell which brewer looks at the page. Yours knows from its log-in; this one has none."""
    return str(ask("/v1/brewers")["items"][0]["id"])


@app.before_request
def only_from_own_pages() -> None:
    """Let no other site's page ask in the name of whoever is logged in here."""
    if request.method == "POST" and request.headers.get("Origin") != app.config["SITE"]:
        abort(403)


@app.post("/page-key")
def page_key() -> Any:
    """Mint a key for the browser: for one brewer, from this site only, for hours."""
    wanted = {"kind": "page", "name": "recipe page", "brewer_id": member()}
    minted = ask("/v1/keys", wanted | {"origins": [app.config["SITE"]]})
    return {"text": minted["text"]}, {"Cache-Control": "no-store"}


@app.post("/sheet")
def sheet() -> Any:
    """Make the address of the sheet of a plan that is this brewer's own."""
    path = f"/v1/scalings/{request.get_json()['scaling_id']}"
    if ask(path)["brewer_id"] != member():
        abort(403)
    opens = ask(f"{path}/links", {"name": "brew sheet"})["address"].replace("?", "/sheet?")
    return {"address": app.config["SERVICE"] + opens}, {"Cache-Control": "no-store"}


@app.get("/")
def first_page() -> Any:
    """Begin at some recipe."""
    return redirect("/recipes/lock-keepers-bitter")


@app.get("/recipes/<name>")
def recipe(name: str) -> str:
    """Show a recipe's page."""
    stored = {one["name"]: one["id"] for one in ask("/v1/recipes")["items"]}
    return render_template(f"{name}.html", service=app.config["SERVICE"], stored=stored)


@app.get("/wortwright-recipe.js")
def element() -> Response:
    """Give the element."""
    return send_file(Path(__file__).parents[1] / "wortwright-recipe.js")


@app.after_request
def two_hosts_only(response: Response) -> Response:
    """Let a page load from here and ask the service, and nobody else."""
    asks = f"default-src 'self'; connect-src 'self' {app.config['SERVICE']}"
    response.headers["Content-Security-Policy"] = f"{asks}; img-src 'self' data:"
    return response


if __name__ == "__main__":
    print(f"The club's site is at {app.config['SITE']} until Ctrl-C.")
    serve(app, listen=app.config["SITE"].partition("://")[2])
