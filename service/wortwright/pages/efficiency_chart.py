"""Mash efficiency over grain load: forecast with its band, sessions, the next brew."""

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any

import svg

from wortwright.pages.plot import INK, SIZE_PX, Axis, Labels, Pixel, Scale, axes, line, words
from wortwright.units import Dimension, UnitSystem, from_base, preferred

Wire = Mapping[str, Any]

WIDTH, HEIGHT = 600.0, 520.0
LEFT, RIGHT, TOP, BOTTOM = 62.0, 580.0, 44.0, 360.0
BAND, SEEN = "#d9d9d9", "seen-so-far"
SIDE = 7.0


@dataclass(frozen=True, slots=True)
class Mark:
    """One brew on the chart: a session, or the one that comes next.

    ``kind`` is one of `KINDS`; ``interval`` is the forecast's.
    """

    kind: str
    grain_load_kg_per_l: float
    efficiency: float
    label: str = ""
    interval: tuple[float, float] | None = None


KINDS = {
    "session": "a session",
    "before_change": "before the last change",
    "doubted": "doubted",
    "set_aside": "set aside",
    "average": "by the plain average",
    "next": "the next brew, with its range",
}


@dataclass(frozen=True, slots=True)
class _Ground:
    """Both axes; grain load in the units wanted."""

    per_kg_per_l: float
    across: Axis
    up: Axis

    def at(self, grain_load_kg_per_l: float, efficiency: float) -> Pixel:
        x = self.across.scale(grain_load_kg_per_l * self.per_kg_per_l)
        return x, self.up.scale(efficiency)


def efficiency_chart(
    curve: Sequence[Wire],
    seen: tuple[float, float] | None,
    marks: Sequence[Mark],
    system: UnitSystem,
    told: str,
) -> str:
    """Draw the chart.

    Parameters
    ----------
    curve : sequence of mapping
        The points of the curve as the API writes them.
    seen : tuple or None
        Least and most grain load tried so far. [kg/L]
    marks : sequence of Mark
        The brews.
    system : UnitSystem
        For the grain load.
    told : str
        What the chart shows, for who cannot see it.

    Returns
    -------
    str
        SVG without style or script, so that it may stand in a page under a strict policy.
    """
    ground = _ground(curve, marks, system)
    drawing = svg.SVG(
        viewBox=svg.ViewBoxSpec(0, 0, WIDTH, HEIGHT),
        elements=[
            svg.Title(text="Mash efficiency over grain load", id="chart-title"),
            svg.Desc(text=str(words((0, 0), told).text), id="chart-told"),
            svg.Defs(elements=[_hatching()]),
            _band(ground, curve),
            *_seen(ground, seen),
            *axes(ground.across, ground.up),
            _mean(ground, curve),
            *_marks(ground, curve, marks),
            *_legend(marks, seen),
        ],
        extra={"role": "img", "aria-labelledby": "chart-title chart-told"},
    )
    return drawing.as_str()


def load_unit(system: UnitSystem) -> tuple[float, str]:
    """Give the unit of a grain load, and how many of it are 1 kg/L."""
    mass, volume = preferred(Dimension.MASS, system), preferred(Dimension.VOLUME, system)
    factor = from_base(1.0, mass, Dimension.MASS) / from_base(1.0, volume, Dimension.VOLUME)
    return factor, f"{mass} per {volume}"


def written_load(grain_load_kg_per_l: float, system: UnitSystem) -> str:
    """Write a grain load: ``0.24 kg per L``."""
    factor, unit = load_unit(system)
    return f"{grain_load_kg_per_l * factor:.{2 if factor == 1.0 else 1}f} {unit}"


def _ground(curve: Sequence[Wire], marks: Sequence[Mark], system: UnitSystem) -> _Ground:
    loads = [row["grain_load_kg_per_l"] for row in curve] + [m.grain_load_kg_per_l for m in marks]
    heights = [row["interval_80"][end]["value"] for row in curve for end in ("low", "high")]
    heights += [height for mark in marks for height in (mark.efficiency, *(mark.interval or ()))]
    low, high = math.floor(min(heights) * 10) / 10, min(1.0, math.ceil(max(heights) * 10) / 10)
    factor, unit = load_unit(system)
    step = 0.05 if factor == 1.0 else 0.5
    least = math.floor(min(loads) * factor / step + 1e-9) * step
    most = math.ceil(max(loads) * factor / step - 1e-9) * step
    across = Axis(
        Scale(least, most, LEFT, RIGHT),
        f"Grain load, {unit} before the boil",
        step,
        lambda value: f"{value:.{2 if factor == 1.0 else 1}f}",
    )
    up = Axis(
        Scale(low, high, BOTTOM, TOP), "Mash efficiency", 0.1, lambda value: f"{100 * value:.0f} %"
    )
    return _Ground(factor, across, up)


def _hatching() -> svg.Pattern:
    stroke = svg.Line(x1=0, y1=0, x2=0, y2=8, stroke=INK, stroke_width=0.8)
    return svg.Pattern(
        id=SEEN,
        width=8,
        height=8,
        patternUnits="userSpaceOnUse",
        patternTransform=[svg.Rotate(45)],
        elements=[stroke],
    )


def _seen(ground: _Ground, seen: tuple[float, float] | None) -> Iterator[svg.Element]:
    if seen is None:
        return
    top = ground.up.scale.high
    (left, y), (right, _) = ground.at(seen[0], top), ground.at(seen[1], top)
    width = max(right - left, 2.0)
    yield svg.Rect(
        x=left, y=y, width=round(width, 1), height=BOTTOM - y, fill=f"url(#{SEEN})", opacity=0.5
    )


def _band(ground: _Ground, curve: Sequence[Wire]) -> svg.Polygon:
    ends = [
        [ground.at(row["grain_load_kg_per_l"], row["interval_80"][end]["value"]) for row in curve]
        for end in ("low", "high")
    ]
    outline = [*ends[0], *reversed(ends[1])]
    return svg.Polygon(points=_points(outline), fill=BAND, opacity=0.8)


def _mean(ground: _Ground, curve: Sequence[Wire]) -> svg.Polyline:
    points = [ground.at(row["grain_load_kg_per_l"], row["mean"]["value"]) for row in curve]
    return svg.Polyline(points=_points(points), fill="none", stroke=INK, stroke_width=2.5)


def _points(pixels: Sequence[Pixel]) -> list[svg.Point]:
    return [svg.Point(round(x, 1), round(y, 1)) for x, y in pixels]


def _marks(ground: _Ground, curve: Sequence[Wire], marks: Sequence[Mark]) -> Iterator[svg.Element]:
    labels = Labels((LEFT, TOP - 10, RIGHT, BOTTOM))
    for row in curve:
        labels.keep_clear(ground.at(row["grain_load_kg_per_l"], row["mean"]["value"]), 6.0)
    places = [ground.at(mark.grain_load_kg_per_l, mark.efficiency) for mark in marks]
    for place in places:
        labels.keep_clear(place)
    for mark, place in zip(marks, places, strict=True):
        if mark.interval is not None:
            ends = [ground.at(mark.grain_load_kg_per_l, end) for end in mark.interval]
            yield line(ends[0], ends[1], 2.0)
        yield symbol(mark.kind, place)
        if mark.label:
            yield labels.put(place, mark.label)


def symbol(kind: str, at: Pixel) -> svg.Element:
    """Draw the sign of a kind of mark; each has a shape of its own."""
    x, y = at
    if kind == "session":
        return svg.Circle(cx=x, cy=y, r=5, fill=INK, class_=[kind])
    if kind == "before_change":
        return svg.Circle(cx=x, cy=y, r=5, fill="#fff", stroke=INK, stroke_width=2, class_=[kind])
    if kind == "average":
        return svg.Rect(
            x=x - 6, y=y - 6, width=12, height=12, fill="#767676", stroke=INK, class_=[kind]
        )
    if kind == "set_aside":
        strokes = f"M{x - 6:.1f} {y - 6:.1f}l12 12m0 -12l-12 12"
        return svg.Path(extra={"d": strokes}, stroke=INK, stroke_width=2.5, class_=[kind])
    up = [(x, y - SIDE - 1), (x + SIDE, y + SIDE - 1), (x - SIDE, y + SIDE - 1)]
    around = [(x, y - SIDE - 1), (x + SIDE + 1, y), (x, y + SIDE + 1), (x - SIDE - 1, y)]
    corners = up if kind == "doubted" else around
    return svg.Polygon(
        points=_points(corners),
        fill="#fff",
        stroke=INK,
        stroke_width=2.5,
        class_=[kind],
    )


def _legend(marks: Sequence[Mark], seen: tuple[float, float] | None) -> Iterator[svg.Element]:
    """Explain the line, the band, and those signs that are on the chart, line after line."""
    x, y = 4.0, BOTTOM + 88.0
    for said, sign in _signs(marks, seen):
        width = 40.0 + 0.5 * SIZE_PX * len(said)
        if x + width > WIDTH:
            x, y = 4.0, y + 28.0
        yield sign((x + 13.0, y - 6.0))
        yield words((x + 32.0, y), said)
        x += width


def _signs(
    marks: Sequence[Mark], seen: tuple[float, float] | None
) -> Iterator[tuple[str, Callable[[Pixel], svg.Element]]]:
    yield "forecast", lambda at: line((at[0] - 13, at[1]), (at[0] + 13, at[1]), 2.5)
    yield "four brews in five", lambda at: _patch(at, BAND, 0.8)
    if seen is not None:
        yield "grain loads seen so far", lambda at: _patch(at, f"url(#{SEEN})", 0.5)
    for kind, said in KINDS.items():
        if any(mark.kind == kind for mark in marks):
            yield said, partial(symbol, kind)


def _patch(at: Pixel, fill: str, opacity: float) -> svg.Rect:
    x, y = at
    return svg.Rect(x=x - 13, y=y - 8, width=26, height=16, fill=fill, opacity=opacity)
