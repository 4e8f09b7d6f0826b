"""The small table of the brew sheet: a gravity before the boil that is off, and what to do."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from wortwright.pages.amounts import amount
from wortwright.pages.correction_text import what_to_do
from wortwright.pages.kettle_scale import KettleScale
from wortwright.pages.wording import listed

Wire = Mapping[str, Any]

MOST_OFFERED = 2
# One thing to do each; those of two things are left to the kettle log.
_PLAIN = ("boil_longer", "boil_shorter", "top_up", "dry_extract")


@dataclass(frozen=True, slots=True)
class PreboilRow:
    """What a gravity before the boil leads to, and what brings it back, in words."""

    reads: str
    ends_at: str
    advice: str


def preboil_rows(what_ifs: Iterable[Wire], kettle: KettleScale) -> list[PreboilRow]:
    """Write the rows.

    Parameters
    ----------
    what_ifs : iterable of mapping
        Kettle logs as the API writes them, each of another gravity before the boil.
    kettle : KettleScale
        For volumes to boil down to.

    Returns
    -------
    list of PreboilRow
        In the same order.
    """
    return [
        PreboilRow(
            reads=amount(log["gravity"]),
            ends_at=amount(log["outlook"]["original_gravity"]["mean"]),
            advice=_advice(log, kettle),
        )
        for log in what_ifs
    ]


def _advice(log: Wire, kettle: KettleScale) -> str:
    offered = [one for one in log["corrections"] if one["kind"] in _PLAIN][:MOST_OFFERED]
    if not offered:
        # Of two things at once if nothing plain helps, else why nothing does.
        offered = [one for one in log["corrections"] if one["kind"] != "hops"][:1]
    if not offered:
        return " ".join(finding["detail"] for finding in log["cannot_be_mended"])
    deeds = [
        what_to_do(one, kettle, boil_is="in all", when="after the boil")
        + f" ({amount(one['end']['fermenter']['mean'])} to ferment)"
        for one in offered
    ]
    return listed(deeds, "or")
