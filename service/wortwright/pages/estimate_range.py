"""One constant of a setup as two lines: where it was thought to lie before, where it lies now."""

import svg

from wortwright.pages.plot import GREY, INK, Scale, line

WIDTH, HEIGHT = 150.0, 24.0
_MARGIN = 6.0
_BEFORE_Y, _NOW_Y = 7.0, 17.0

Range = tuple[float, float]


def estimate_range(now: Range, before: Range) -> str:
    """Draw both ranges on one scale; the page tells the same in numbers.

    Parameters
    ----------
    now, before : tuple of float
        Low and high end, in one unit.

    Returns
    -------
    str
        SVG that screen readers pass over.
    """
    low, high = min(now[0], before[0]), max(now[1], before[1])
    if not high > low:
        return ""
    scale = Scale(low, high, _MARGIN, WIDTH - _MARGIN)
    middle = scale((now[0] + now[1]) / 2)
    drawing = svg.SVG(
        viewBox=svg.ViewBoxSpec(0, 0, WIDTH, HEIGHT),
        width=WIDTH,
        height=HEIGHT,
        elements=[
            line((scale(before[0]), _BEFORE_Y), (scale(before[1]), _BEFORE_Y), 1.0, GREY),
            *(
                line((scale(x), _BEFORE_Y - 3), (scale(x), _BEFORE_Y + 3), 1.0, GREY)
                for x in before
            ),
            line((scale(now[0]), _NOW_Y), (scale(now[1]), _NOW_Y), 3.0),
            svg.Circle(cx=middle, cy=_NOW_Y, r=4, fill=INK),
        ],
        extra={"aria-hidden": "true"},
    )
    return drawing.as_str()


def _tick(x: float) -> svg.Line:
    return line((x, _BEFORE_Y - 3), (x, _BEFORE_Y + 3), 1.0, GREY)
