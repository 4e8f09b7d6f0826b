"""The chart shows where things are: every point is read back from the drawing."""

import re
from collections.abc import Sequence
from itertools import combinations, product
from typing import Any
from xml.etree.ElementTree import Element, fromstring

import pytest

from wortwright.pages.efficiency_chart import KINDS, Mark, efficiency_chart, written_load
from wortwright.units import UnitSystem

SVG = "{http://www.w3.org/2000/svg}"
LOADS = [0.1, 0.2, 0.3, 0.4]
SEEN = (0.15, 0.25)
MARKS = [
    Mark("session", 0.16, 0.8),
    Mark("session", 0.24, 0.7),
    Mark("before_change", 0.22, 0.68),
    Mark("doubted", 0.2, 0.55, "doubted, 3 March"),
    Mark("set_aside", 0.18, 0.6, "set aside, 5 May"),
    Mark("average", 0.35, 0.75, "plain average"),
    Mark("next", 0.35, 0.65, "next brew", (0.6, 0.7)),
]


def row(load: float) -> dict[str, Any]:
    mean = 0.9 - 0.6 * load
    ends = {"low": {"value": mean - 0.05}, "high": {"value": mean + 0.05}}
    return {"grain_load_kg_per_l": load, "mean": {"value": mean}, "interval_80": ends}


def drawn(
    marks: Sequence[Mark] = MARKS,
    seen: tuple[float, float] | None = SEEN,
    system: UnitSystem = UnitSystem.METRIC,
) -> Element:
    curve = [row(load) for load in LOADS]
    return fromstring(efficiency_chart(curve, seen, marks, system, "It falls."))


def texts(drawing: Element) -> list[Element]:
    return list(drawing.iter(f"{SVG}text"))


class Reader:
    """Reads numbers off the drawing by its printed axes, as a person with a ruler does."""

    def __init__(self, drawing: Element) -> None:
        across, up = {}, {}
        for one in texts(drawing):
            said, x, y = one.text or "", float(one.get("x", "")), float(one.get("y", ""))
            if re.fullmatch(r"\d\.\d+", said):
                across[float(said)] = x
            elif re.fullmatch(r"\d+ %", said):
                # A number stands on its base line, a third of its height below its grid line.
                up[float(said[:-2]) / 100.0] = y - 5.0
        self.across, self.up = sorted(across.items()), sorted(up.items())

    def load(self, x: float) -> float:
        return self._between(self.across, x)

    def efficiency(self, y: float) -> float:
        return self._between(self.up, y)

    @staticmethod
    def _between(ticks: list[tuple[float, float]], pixel: float) -> float:
        (low, low_px), (high, high_px) = ticks[0], ticks[-1]
        return low + (pixel - low_px) / (high_px - low_px) * (high - low)


def corners(shape: Element) -> list[tuple[float, float]]:
    pairs = (pair.split(",") for pair in shape.get("points", "").split())
    return [(float(x), float(y)) for x, y in pairs]


def of_class(drawing: Element, kind: str) -> list[Element]:
    return [one for one in drawing.iter() if one.get("class") == kind]


def test_the_curve_runs_through_its_means() -> None:
    drawing = drawn()
    read = Reader(drawing)
    (curve,) = drawing.iter(f"{SVG}polyline")
    for (x, y), load in zip(corners(curve), LOADS, strict=True):
        assert read.load(x) == pytest.approx(load, abs=0.002)
        assert read.efficiency(y) == pytest.approx(0.9 - 0.6 * load, abs=0.002)


def test_the_band_runs_along_its_ends() -> None:
    drawing = drawn()
    read = Reader(drawing)
    band = next(one for one in drawing.iter(f"{SVG}polygon") if one.get("class") is None)
    half = len(LOADS)
    found = [read.efficiency(y) for _, y in corners(band)]
    assert found[:half] == pytest.approx([0.85 - 0.6 * load for load in LOADS], abs=0.002)
    assert found[half:][::-1] == pytest.approx([0.95 - 0.6 * load for load in LOADS], abs=0.002)


def test_sessions_are_points_at_their_place() -> None:
    drawing = drawn()
    read = Reader(drawing)
    places = [
        (read.load(float(one.get("cx", ""))), read.efficiency(float(one.get("cy", ""))))
        for one in of_class(drawing, "session")
    ]
    # The last is that of the legend.
    for place, mark in zip(places[:-1], MARKS, strict=False):
        expected = (mark.grain_load_kg_per_l, mark.efficiency)
        assert place == pytest.approx(expected, abs=0.002)


def test_each_kind_of_brew_has_a_shape_of_its_own() -> None:
    drawing = drawn()
    shapes = {kind: of_class(drawing, kind)[0] for kind in KINDS}
    signs = {(one.tag, len(corners(one)), one.get("fill")) for one in shapes.values()}
    assert len(signs) == len(KINDS)


def test_what_stands_out_is_labelled_and_explained() -> None:
    said = [one.text for one in texts(drawn())]
    for mark in MARKS:
        if mark.label:
            assert mark.label in said
    for words in KINDS.values():
        assert words in said


def test_the_legend_explains_only_what_is_there() -> None:
    said = [one.text for one in texts(drawn(MARKS[:2], None))]
    assert "a session" in said
    for absent in ("set aside", "grain loads seen so far", KINDS["next"]):
        assert absent not in said


def test_the_shading_covers_what_was_seen() -> None:
    drawing = drawn()
    read = Reader(drawing)
    hatched = [one for one in drawing.iter(f"{SVG}rect") if one.get("fill", "").startswith("url")]
    left = float(hatched[0].get("x", ""))
    right = left + float(hatched[0].get("width", ""))
    assert (read.load(left), read.load(right)) == pytest.approx(SEEN, abs=0.002)
    assert not [
        one
        for one in drawn(MARKS, None).iter(f"{SVG}rect")
        if one.get("fill", "").startswith("url")
    ]


def test_the_next_brew_has_its_range() -> None:
    drawing = drawn()
    read = Reader(drawing)
    upright = [
        one
        for one in drawing.iter(f"{SVG}line")
        if one.get("x1") == one.get("x2") and one.get("stroke-width") == "2.0"
    ]
    (line,) = upright
    ends = sorted(read.efficiency(float(line.get(end, ""))) for end in ("y1", "y2"))
    assert ends == pytest.approx([0.6, 0.7], abs=0.002)
    assert read.load(float(line.get("x1", ""))) == pytest.approx(0.35, abs=0.002)


def test_in_us_units_the_same_brew_lies_at_its_pounds_per_gallon() -> None:
    """A pound is 0.45359237 kg and a US gallon 3.785411784 L, both exactly."""
    drawing = drawn(system=UnitSystem.US)
    read = Reader(drawing)
    pounds_per_gallon = 0.16 * 3.785411784 / 0.45359237
    first = of_class(drawing, "session")[0]
    assert read.load(float(first.get("cx", ""))) == pytest.approx(pounds_per_gallon, abs=0.02)
    assert written_load(0.16, UnitSystem.US) == "1.3 lb per US gal"


def test_labels_cover_neither_points_nor_each_other() -> None:
    crowded = [Mark("doubted", 0.2 + 0.002 * n, 0.7, f"doubted, {n} May") for n in range(5)]
    drawing = drawn(crowded)
    # A letter is taken to be at least 5 wide and 9 high, less than it is in any font.
    boxes = [
        (float(one.get("x", "")), float(one.get("y", "")), 5.0 * len(one.text or ""))
        for one in texts(drawing)
        if (one.text or "").startswith("doubted,")
    ]
    assert len(boxes) == 5
    for (x, y, width), (other_x, other_y, other_width) in combinations(boxes, 2):
        beside = x + width <= other_x or other_x + other_width <= x
        assert beside or abs(y - other_y) >= 9.0
    points = [corners(one)[0] for one in of_class(drawing, "doubted")]
    for (x, y, width), (point_x, point_y) in product(boxes, points):
        assert not (x <= point_x <= x + width and y - 9.0 <= point_y <= y)


def test_it_is_told_to_who_cannot_see_it() -> None:
    drawing = drawn()
    assert drawing.get("role") == "img"
    named = (drawing.get("aria-labelledby") or "").split()
    told = {one.get("id"): one.text for one in drawing.iter() if one.get("id") in named}
    assert told == {"chart-title": "Mash efficiency over grain load", "chart-told": "It falls."}


def test_it_may_stand_in_a_page_under_a_strict_policy() -> None:
    for one in drawn().iter():
        assert one.tag not in (f"{SVG}style", f"{SVG}script")
        assert one.get("style") is None
        assert not [name for name in one.keys() if name.startswith("on")]


def test_labels_are_no_markup() -> None:
    mark = Mark("doubted", 0.2, 0.6, "<b>&")
    assert "<b>&" in [one.text for one in texts(drawn([mark]))]
