"""Priming sugars and kinds of bottle."""

from dataclasses import dataclass
from enum import StrEnum
from functools import cache

from wortwright.brewing.tables.rows import rows


class PrimingSugar(StrEnum):
    """Sugars to prime with."""

    SUCROSE = "sucrose"
    GLUCOSE = "glucose"
    GLUCOSE_MONOHYDRATE = "glucose_monohydrate"
    DRY_MALT_EXTRACT = "dry_malt_extract"


class BottleKind(StrEnum):
    """Kinds of bottle, sound and undamaged."""

    STANDARD = "standard"
    HEAVY = "heavy"
    CHAMPAGNE = "champagne"
    PET = "pet"
    TWIST_OFF = "twist_off"
    WINE_BOTTLE = "wine_bottle"
    JAR_OR_JUG = "jar_or_jug"
    GLASS_CARBOY = "glass_carboy"


@dataclass(frozen=True, slots=True)
class BottleLimit:
    """Most carbonation for a bottle [L/L]; 0 where it may hold none, for the reason given."""

    bottle: BottleKind
    most_volumes: float
    refused_because: str


@cache
def co2_g_per_g(sugar: PrimingSugar) -> float:
    """Carbon dioxide from a gram of sugar wholly fermented.

    Parameters
    ----------
    sugar : PrimingSugar
        The sugar.

    Returns
    -------
    float
        Carbon dioxide [g/g].
    """
    row = next(row for row in rows("priming_sugars.csv") if row["sugar"] == sugar)
    return float(row["co2_g_per_g"])


@cache
def bottle_limit(bottle: BottleKind) -> BottleLimit:
    """Limit of one kind of bottle.

    Parameters
    ----------
    bottle : BottleKind
        The kind.

    Returns
    -------
    BottleLimit
        Its row of the table.
    """
    row = next(row for row in rows("bottles.csv") if row["bottle"] == bottle)
    return BottleLimit(bottle, float(row["most_volumes"]), row["refused_because"])
