"""The ground a chart is drawn on: two scales, their axes, and room for labels."""

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any, Literal

import svg
from markupsafe import escape

FONT = "Georgia, 'Times New Roman', serif"
SIZE_PX = 17.0
INK, GREY = "#000", "#767676"

Anchor = Literal["start", "middle", "end"]
Pixel = tuple[float, float]
Box = tuple[float, float, float, float]

# Mean width of a letter over its height, for keeping labels apart; measured by eye.
_LETTER = 0.5


@dataclass(frozen=True, slots=True)
class Scale:
    """A straight scale from numbers to pixels."""

    low: float
    high: float
    low_px: float
    high_px: float

    def __call__(self, value: float) -> float:
        """Give the pixel of a number."""
        share = (value - self.low) / (self.high - self.low)
        return round(self.low_px + share * (self.high_px - self.low_px), 1)

    def ticks(self, step: float) -> list[float]:
        """Give the multiples of a step on the scale."""
        first, last = math.ceil(self.low / step - 1e-9), math.floor(self.high / step + 1e-9)
        return [round(step * count, 6) for count in range(first, last + 1)]


@dataclass(frozen=True, slots=True)
class Axis:
    """A scale with what it measures and how its ticks are written."""

    scale: Scale
    title: str
    step: float
    write: Callable[[float], str]


def words(
    at: Pixel, said: str, anchor: Anchor = "start", size_px: float = SIZE_PX, **more: Any
) -> svg.Text:
    """Write words; the library does not escape what it is given."""
    x, y = at
    return svg.Text(
        x=round(x, 1),
        y=round(y, 1),
        text=str(escape(said)),
        text_anchor=anchor,
        font_family=FONT,
        font_size=size_px,
        fill=INK,
        **more,
    )


def line(start: Pixel, end: Pixel, width: float = 1.0, stroke: str = INK) -> svg.Line:
    """Draw a line."""
    (x1, y1), (x2, y2) = start, end
    return svg.Line(x1=x1, y1=y1, x2=x2, y2=y2, stroke=stroke, stroke_width=width)


def axes(across: Axis, up: Axis) -> Iterator[svg.Element]:
    """Draw both axes with ticks, numbers and titles; faint lines at the heights."""
    left, right = across.scale.low_px, across.scale.high_px
    bottom, top = up.scale.low_px, up.scale.high_px
    for value in up.scale.ticks(up.step):
        y = up.scale(value)
        yield line((left, y), (right, y), 0.5, GREY)
        yield words((left - 8, y + 6), up.write(value), "end")
    for value in across.scale.ticks(across.step):
        x = across.scale(value)
        yield line((x, bottom), (x, bottom + 6))
        yield words((x, bottom + 26), across.write(value), "middle")
    yield line((left, bottom), (right, bottom), 1.5)
    yield words(((left + right) / 2, bottom + 52), across.title, "middle")
    yield words((4.0, top - 16), up.title)


@dataclass(slots=True)
class Labels:
    """Places labels beside points so that none covers another label or point."""

    within: Box
    taken: list[Box] = field(default_factory=list)

    def keep_clear(self, at: Pixel, radius: float = 8.0) -> None:
        """Let no label cover a point."""
        x, y = at
        self.taken.append((x - radius, y - radius, x + radius, y + radius))

    def put(self, at: Pixel, said: str) -> svg.Text:
        """Write a label at the first free place beside a point, else to its right."""
        places = [self._box(at, said, dx, dy) for dx, dy in _beside(len(said) * _LETTER * SIZE_PX)]
        box = next((box for box in places if self._is_free(box)), places[0])
        self.taken.append(box)
        return words((box[0], box[3] - 4), said)

    def _box(self, at: Pixel, said: str, dx: float, dy: float) -> Box:
        width, (x, y) = len(said) * _LETTER * SIZE_PX, at
        return (x + dx, y + dy - SIZE_PX, x + dx + width, y + dy + 4)

    def _is_free(self, box: Box) -> bool:
        left, top, right, bottom = self.within
        inside = left <= box[0] and top <= box[1] and box[2] <= right and box[3] <= bottom
        return inside and not any(_overlap(box, other) for other in self.taken)


def _beside(width: float) -> Sequence[Pixel]:
    """Offsets of the left end of a label's base line from its point."""
    sides = (12.0, -12.0 - width)
    return [(dx, dy) for dy in (5.0, -12.0, 24.0, -32.0, 44.0) for dx in (*sides, -width / 2)]


def _overlap(one: Box, other: Box) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]
