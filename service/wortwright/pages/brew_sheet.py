"""The brew sheet: the day in order on one or two printed pages, with room to write.

Made from the answer that any client gets, so that the sheet says what the API says.
"""

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from jinja2 import Environment, PackageLoader, select_autoescape
from markupsafe import Markup

from wortwright.pages.amounts import amount, ends, percent
from wortwright.pages.wording import MOMENTS_IN_ORDER, WHERE, hop_moment
from wortwright.units import Dimension, to_base

Wire = Mapping[str, Any]

_PAGES = Environment(
    loader=PackageLoader("wortwright.pages"),
    autoescape=select_autoescape(default=True),
    trim_blocks=True,
    lstrip_blocks=True,
)


@dataclass(frozen=True, slots=True)
class PreboilRow:
    """What a gravity before the boil leads to, and what brings it back, in words."""

    reads: str
    ends_at: str
    advice: str


def brew_sheet(
    plan: Wire,
    *,
    kettle_diameter_mm: float | None,
    corrections: Iterable[PreboilRow] = (),
    nonce: str,
) -> str:
    """Write the sheet as one HTML page that needs no script.

    Parameters
    ----------
    plan : mapping
        The plan as the API answers it, in the units wanted.
    kettle_diameter_mm : float or None
        Inner diameter; hot volumes are then also given as a depth. [mm]
    corrections : iterable of PreboilRow
        The small table for a gravity before the boil that is off.
    nonce : str
        Of the page's content security policy, for its one style.

    Returns
    -------
    str
        HTML.
    """
    return _PAGES.get_template("brew_sheet.html").render(
        plan=plan,
        where=WHERE,
        amount=amount,
        percent=percent,
        hop_moment=hop_moment,
        care=_care(plan["cautions"]),
        depths=_depths(plan["water"], kettle_diameter_mm),
        corrections=tuple(corrections),
        hops_in_order=sorted(plan["hop_bill"], key=_when),
        expectation=_expectation(plan["forecast"]),
        nonce=nonce,
    )


def _when(hop: Wire) -> tuple[int, float]:
    return MOMENTS_IN_ORDER.index(hop["moment"]), -hop["time"]["value"]


def _care(cautions: list[Wire]) -> Any:
    """Give a writer of those cautions of the plan that belong where it is called."""
    by_code = {row["code"]: row for row in cautions}

    def write(codes: list[str]) -> Markup:
        rows = [by_code[code] for code in codes if code in by_code]
        note = '<p class="care" role="note"><strong>{}</strong> {}</p>'
        return Markup("").join(Markup(note).format(row["hazard"], row["advice"]) for row in rows)

    return write


def _depths(water: Wire, diameter_mm: float | None) -> dict[str, str] | None:
    """Depth of the hot wort in a cylindrical kettle."""
    if diameter_mm is None:
        return None
    mm_per_l = 1e6 / (math.pi / 4.0 * diameter_mm**2)

    def depth(volume: Wire) -> str:
        volume_l = to_base(volume["value"], volume["unit"], Dimension.VOLUME)
        return f"{volume_l * mm_per_l:.0f} mm"

    return {name: depth(water[f"{name}_hot"]) for name in ("preboil", "postboil")}


def _expectation(forecast: Wire) -> str:
    """Put the forecast into words."""
    return (
        f"Four brews like this in five start between {ends(forecast['original_gravity'])} and "
        f"end between {ends(forecast['final_gravity'])}, with between "
        f"{ends(forecast['alcohol_by_volume'])} of alcohol by volume. The mash is expected to "
        f"give {amount(forecast['mash_efficiency']['mean'])} of what the grain holds."
    )
