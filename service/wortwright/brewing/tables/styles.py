"""Style ranges in numbers: 2021 Beer Style Guidelines of the Beer Judge Certification Program.

Facts only, by the id of the guideline; read from the Portuguese translation of the 2021 text,
five of them checked against memory of the English one. The ranges of a style are independent of
one another: their corners are not reached together. A style of several entries stands here by
its main one (25B: of standard strength, pale).
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from wortwright.brewing.colour import ebc_from_srm
from wortwright.brewing.tables.rows import rows


@dataclass(frozen=True, slots=True)
class Range:
    """A range of numbers; an end that is None is open.

    The guidelines' colours stop at 40 SRM, where the eye no longer tells: a range up to 40 is
    open above.
    """

    low: float | None
    high: float | None

    def outside_by(self, value: float) -> float:
        """How far a value lies outside: below 0 where too low, above where too high, else 0."""
        if self.low is not None and value < self.low:
            return value - self.low
        if self.high is not None and value > self.high:
            return value - self.high
        return 0.0


@dataclass(frozen=True, slots=True)
class Style:
    """One style: gravities in SG, alcohol by volume [fraction], IBU, EBC."""

    id: str
    name: str
    original_gravity: Range
    final_gravity: Range
    alcohol_by_volume: Range
    bitterness_ibu: Range
    colour_ebc: Range


def style_by_id(style_id: str) -> Style | None:
    """Find a style by its id, or by its name, in any case.

    Parameters
    ----------
    style_id : str
        Such as ``"17D"``; text after the id does not matter.

    Returns
    -------
    Style or None
        None if the table does not hold it.
    """
    wanted = " ".join(style_id.casefold().split())
    first = wanted.split(" ")[0].rstrip(".:,") if wanted else ""
    return _by_key().get(wanted) or _by_key().get(first)


@cache
def styles() -> tuple[Style, ...]:
    """Every style, in the order of the guidelines.

    Returns
    -------
    tuple of Style
        Forty-two of them.
    """
    return tuple(map(_style, rows("styles.csv")))


@cache
def _by_key() -> dict[str, Style]:
    by_name = {style.name.casefold(): style for style in styles()}
    return by_name | {style.id.casefold(): style for style in styles()}


def _style(row: Mapping[str, str]) -> Style:
    srm = _range(row, "colour_srm")
    return Style(
        id=row["id"],
        name=row["name"],
        original_gravity=_range(row, "original_gravity"),
        final_gravity=_range(row, "final_gravity"),
        alcohol_by_volume=_range(row, "alcohol"),
        bitterness_ibu=_range(row, "bitterness"),
        colour_ebc=Range(
            *(None if end is None else ebc_from_srm(end) for end in (srm.low, srm.high))
        ),
    )


def _range(row: Mapping[str, str], name: str) -> Range:
    low, high = row[f"{name}_low"], row[f"{name}_high"]
    return Range(float(low) if low else None, float(high) if high else None)
