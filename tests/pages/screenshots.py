"""Take pictures of every page: ``python tests/pages/screenshots.py FOLDER``.

The sheet as a phone shows it and as A4 and Letter print it, in metric and US units; the
calibration; the kettle log by stages of a brew; refusals; the guide. Look at them.
"""

import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[1]))

import pypdfium2

from clients.served import served
from pages.browser import browser, visit
from pages.house import PageHouse
from wortwright.api.app import create_app
from wortwright.api.extensions import DATABASE
from wortwright.pages import guide
from wortwright.settings import Settings

WIDTHS = (320, 390, 1000)
PAPERS = ("A4", "Letter")
DOTS_PER_INCH = 100
TOO_MUCH = {"target": {"volume": "19 L"}}
READINGS = {
    "low": {"stage": "pre_boil", "volume": "17.9 L", "gravity": 1.069},
    "on-target": {"stage": "pre_boil", "volume": "17.6 L", "gravity": 1.080},
    "after-boil": {"stage": "post_boil", "volume": "12.4 L", "gravity": 1.101},
}


@contextmanager
def house() -> Iterator[tuple[PageHouse, str]]:
    """Serve the invented club, with one of everything; give it and its address."""
    with tempfile.TemporaryDirectory() as folder:
        settings = Settings(
            pepper="a pepper that is only good for pictures",
            database_url=f"sqlite:///{Path(folder) / 'pictures.sqlite3'}",
            log_level="warning",
            rate_limit="100000 per minute",
        )
        app = create_app(settings)
        app.extensions[DATABASE].migrate()
        with served(app) as address:
            yield PageHouse(app, settings), address
        app.extensions[DATABASE].close()


def pages(made: PageHouse) -> dict[str, str]:
    """Give the path of every page by the name of its picture."""
    full = made.link("scalings", made.full["id"])["page"]
    beyond = made.link("scalings", made.scaling(**TOO_MUCH)["id"])["page"]
    setup = made.link("setups", made.setup["id"])["page"]
    logs = {"log-before": made.log_of(made.session())}
    for name, reading in READINGS.items():
        session = made.session()
        made.made(f"/v1/sessions/{session['id']}/readings", reading)
        logs[f"log-{name}"] = made.log_of(session)
    return {
        "sheet": full,
        "sheet-us": f"{full}&units=us",
        "sheet-bare": made.link("scalings", made.bare["id"])["page"],
        "sheet-beyond": beyond,
        "sheet-beyond-us": f"{beyond}&units=us",
        "calibration": f"{setup}&scaling_id={made.full['id']}",
        "calibration-us": f"{setup}&scaling_id={made.full['id']}&units=us",
        "log-us": f"{logs['log-low']}&units=us",
        **logs,
        "log-unplanned": made.log_of(made.session(planned=False)),
        "refusal": f"/v1/scalings/{made.full['id']}/sheet",
        "contract": "/docs",
        "problems": "/problems",
        **{
            f"guide-{name.removesuffix('.html')}": f"/guide/{name}"
            for name in guide.names()
            if name.endswith(".html")
        },
    }


def take(folder: Path) -> None:
    """Take every page at every width, and the sheets as they print."""
    with house() as (made, address), browser() as started, visit(started) as seen:
        for name, path in pages(made).items():
            seen.page.goto(f"{address}{path}")
            seen.page.wait_for_load_state("networkidle")
            for width in WIDTHS:
                seen.page.set_viewport_size({"width": width, "height": 800})
                seen.page.screenshot(path=folder / f"{name}-{width}.png", full_page=True)
            if name.startswith(("sheet", "calibration")):
                _print(seen.page, folder, name)


def _print(page: Any, folder: Path, name: str) -> None:
    for paper in PAPERS:
        with pypdfium2.PdfDocument(page.pdf(format=paper)) as printed:
            for number, sheet in enumerate(printed, start=1):
                # Grey, as most printers print.
                picture = sheet.render(scale=DOTS_PER_INCH / 72, grayscale=True).to_pil()
                picture.save(folder / f"{name}-{paper}-{number}.png")


if __name__ == "__main__":
    wanted = Path(sys.argv[1])
    wanted.mkdir(parents=True, exist_ok=True)
    take(wanted)
