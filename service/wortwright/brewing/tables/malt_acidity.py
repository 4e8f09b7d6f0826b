"""Acidity and buffering of malts by class, where the lot's own figures are not known."""

from dataclasses import dataclass
from enum import StrEnum
from functools import cache

from wortwright.brewing.tables.rows import rows


class MaltClass(StrEnum):
    """Classes that differ in acidity. Colour alone predicts acidity poorly."""

    PILSNER = "pilsner"
    PALE = "pale"
    VIENNA = "vienna"
    MUNICH = "munich"
    WHEAT = "wheat"
    CRYSTAL_LIGHT = "crystal_light"
    CRYSTAL_DARK = "crystal_dark"
    CHOCOLATE = "chocolate"
    BLACK = "black"
    ACIDULATED = "acidulated"
    UNMALTED = "unmalted"


@dataclass(frozen=True, slots=True)
class MaltAcidity:
    """A class's mash pH in distilled water at room temperature [-], its buffering
    [mEq/(kg pH)] and the lactic acid it carries [kg/kg].
    """  # noqa: D205

    malt_class: MaltClass
    kind: str
    from_colour_ebc: float
    distilled_water_ph: float
    buffering_meq_per_kg_ph: float
    lactic_share: float


@cache
def malt_acidities() -> tuple[MaltAcidity, ...]:
    """Every class, in the order of the table.

    Returns
    -------
    tuple of MaltAcidity
        Defaults; the lot's own figures are better.
    """
    return tuple(
        MaltAcidity(
            malt_class=MaltClass(row["malt_class"]),
            kind=row["kind"],
            from_colour_ebc=float(row["from_colour_ebc"]),
            distilled_water_ph=float(row["distilled_water_ph"]),
            buffering_meq_per_kg_ph=float(row["buffering_meq_per_kg_ph"]),
            lactic_share=float(row["lactic_share"]),
        )
        for row in rows("malt_acidity.csv")
    )


def malt_acidity(malt_class: MaltClass) -> MaltAcidity:
    """Acidity of one class.

    Parameters
    ----------
    malt_class : MaltClass
        The class.

    Returns
    -------
    MaltAcidity
        Its row of the table.
    """
    return next(row for row in malt_acidities() if row.malt_class is malt_class)


def malt_class_of(kind: str, colour_ebc: float) -> MaltClass | None:
    """Class of a fermentable from what a recipe says of it.

    Parameters
    ----------
    kind : str
        Kind of fermentable, e.g. ``"crystal_malt"``.
    colour_ebc : float
        Colour [EBC], 0 or more.

    Returns
    -------
    MaltClass or None
        The darkest class of that kind that begins at or below the colour; None for what has
        no acidity worth counting (husks, sugar). Wheat is never guessed.
    """
    fitting = [
        row for row in malt_acidities() if row.kind == kind and row.from_colour_ebc <= colour_ebc
    ]
    return fitting[-1].malt_class if fitting else None
