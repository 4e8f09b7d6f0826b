"""The pictures of the guide, drawn from what the invented club's brews really teach.

python -m wortwright.demo.pictures            write them into the docs
"""

import tempfile
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import svg

from wortwright.api.app import create_app
from wortwright.api.extensions import DATABASE
from wortwright.demo.caller import Caller
from wortwright.demo.walk import brew_past, documents
from wortwright.pages.amounts import ends
from wortwright.pages.efficiency_chart import Mark, efficiency_chart
from wortwright.pages.guide import PICTURES
from wortwright.pages.plot import INK, Axis, Scale, axes, line, words
from wortwright.records.brewer import Club
from wortwright.records.sentence import in_percent
from wortwright.settings import Settings
from wortwright.units import UnitSystem
from wortwright.usecases.clubs import create_club

Wire = Mapping[str, Any]

FOLDER = Path(__file__).parents[1] / "docs" / PICTURES
_WIDTH, _HEIGHT = 600.0, 430.0
_LEFT, _RIGHT, _TOP, _BOTTOM = 62.0, 580.0, 44.0, 360.0


@dataclass(frozen=True, slots=True)
class Told:
    """What the demo gives: reports before and after, and the strong beer's forecasts between."""

    before: Wire
    after: Wire
    chart: str
    forecasts: Sequence[Wire]
    average: float
    calibration: Wire


def brewed() -> Told:
    """Brew the demo's sessions one by one, and forecast its strong beer before each."""
    wanted = documents()
    with tempfile.TemporaryDirectory(prefix="wortwright-pictures-") as folder:
        settings = Settings(
            pepper="a pepper for pictures, good for nothing",
            database_url=f"sqlite:///{Path(folder) / 'demo.sqlite3'}",
            log_level="warning",
        )
        app = create_app(settings)
        database = app.extensions[DATABASE]
        database.migrate()
        _, key = create_club(database, Club(**wanted["club"]), settings.pepper)
        told = _brew(Caller(app, key), wanted)
        database.close()
    return told


def _brew(caller: Caller, wanted: Wire) -> Told:
    brewer_id = caller.post("/v1/brewers", wanted["brewer"])["id"]
    setup_id = caller.post("/v1/setups", {"brewer_id": brewer_id, **wanted["setup"]})["id"]
    recipe_id = caller.post("/v1/recipes", wanted["recipe"])["id"]
    asked = {"setup_id": setup_id, "recipe_id": recipe_id, "target": wanted["target"]}
    at = f"/v1/setups/{setup_id}/calibration"
    before = caller.get(f"{at}/report?units=metric")
    forecasts = [_forecast(caller, asked)]
    for _ in brew_past(caller.post, setup_id, wanted):
        forecasts.append(_forecast(caller, asked))
    scaling = caller.post("/v1/scalings?units=metric", asked)
    chart = caller.text(f"{at}/chart.svg?units=metric&scaling_id={scaling['id']}")
    after, calibration = caller.get(f"{at}/report?units=metric"), caller.get(at)
    average = calibration["average_efficiency"]["value"]
    return Told(before, after, chart, forecasts, average, calibration)


def _forecast(caller: Caller, asked: Wire) -> Wire:
    plan = caller.post("/v1/scalings?store=false&units=metric", asked)["plan"]
    forecast: Wire = plan["forecast"]
    return forecast


def drawn(told: Told) -> dict[str, str]:
    """Draw every picture, by the name of its file."""
    return {
        "before.svg": _before(told),
        "curve.svg": told.chart,
        "average.svg": _average(told),
        "learning.svg": _learning(told),
    }


def _before(told: Told) -> str:
    said = "The forecast before any session: a wide band that falls as the grain load grows."
    return efficiency_chart(told.before["curve"], None, (), UnitSystem.METRIC, said)


def _average(told: Told) -> str:
    """Draw the curve with the plain average beside it: the strong beer lies far below that."""
    forecast = told.forecasts[-1]
    load = forecast["grain_load_kg_per_l"]
    efficiency = forecast["mash_efficiency"]
    mean = efficiency["mean"]["value"]
    low, high = (efficiency["interval_80"][end]["value"] for end in ("low", "high"))
    seen = tuple(told.calibration["seen"]["grain_load_kg_per_l"])
    marks = [
        *(_dot(point) for point in told.after["sessions"] if point["reason"] is None),
        Mark("average", load, told.average, "by the average"),
        Mark("next", load, mean, "the strong beer", (low, high)),
    ]
    said = (
        f"The plain average of past efficiencies, {in_percent(told.average)}, is right among the "
        f"brews it was made of; the strong beer gives {in_percent(mean)}."
    )
    return efficiency_chart(told.after["curve"], (seen[0], seen[1]), marks, UnitSystem.METRIC, said)


def _dot(point: Wire) -> Mark:
    kind = "before_change" if point["before_change"] else "session"
    return Mark(kind, point["grain_load_kg_per_l"], point["observed"]["value"])


def _learning(told: Told) -> str:
    """Draw the forecast of the same strong beer, session after session."""
    rows = [forecast["mash_efficiency"] for forecast in told.forecasts]
    lows = [row["interval_80"]["low"]["value"] for row in rows]
    highs = [row["interval_80"]["high"]["value"] for row in rows]
    across = Axis(
        Scale(-0.5, len(rows) - 0.5, _LEFT, _RIGHT),
        "Sessions closed before",
        2.0,
        lambda value: f"{value:.0f}",
    )
    up = Axis(
        Scale(min(lows) - 0.02, max(highs) + 0.02, _BOTTOM, _TOP),
        "Mash efficiency forecast for one strong beer",
        0.05,
        lambda value: f"{100 * value:.0f} %",
    )
    said = (
        f"Before any session the strong beer is forecast between {ends(rows[0])}; "
        f"after {len(rows) - 1} sessions between {ends(rows[-1])}."
    )
    bars = [
        element
        for count, row in enumerate(rows)
        for element in _bar(across.scale(count), row, up.scale)
    ]
    drawing = svg.SVG(
        viewBox=svg.ViewBoxSpec(0, 0, _WIDTH, _HEIGHT),
        elements=[
            svg.Title(text="What each session teaches", id="learning-title"),
            svg.Desc(text=str(words((0, 0), said).text), id="learning-told"),
            *axes(across, up),
            *bars,
        ],
        extra={"role": "img", "aria-labelledby": "learning-title learning-told"},
    )
    return drawing.as_str()


def _bar(x: float, row: Wire, scale: Scale) -> list[svg.Element]:
    low, high = (scale(row["interval_80"][end]["value"]) for end in ("low", "high"))
    return [
        line((x, low), (x, high), 3.0),
        *(line((x - 5, y), (x + 5, y), 2.0) for y in (low, high)),
        svg.Circle(cx=x, cy=scale(row["mean"]["value"]), r=5, fill=INK),
    ]


def write() -> None:
    """Write the pictures into the docs."""
    FOLDER.mkdir(exist_ok=True)
    for name, picture in drawn(brewed()).items():
        (FOLDER / name).write_text(f"{picture}\n", encoding="utf-8")


if __name__ == "__main__":
    write()
