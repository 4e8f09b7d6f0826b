"""The salts a brewer may add to water or mash, and those that are refused."""

from dataclasses import dataclass
from enum import StrEnum
from functools import cache

from wortwright.brewing.tables.rows import rows


class GoesIn(StrEnum):
    """Where a salt may go. Chalk and lime are no salts for water: they act in the mash."""

    WATER = "water"
    MASH = "mash"


@dataclass(frozen=True, slots=True)
class Salt:
    """One salt of one exact formula.

    ``ions`` counts each ion and the water of crystallisation per formula unit [mol/mol];
    ``most_g_per_l`` is the most that is ever advised [g/L].
    """

    key: str
    formula: str
    also_called: tuple[str, ...]
    ions: tuple[tuple[str, int], ...]
    goes_in: GoesIn
    most_g_per_l: float
    why_no_more: str


_IONS = (
    "calcium magnesium sodium potassium chloride sulfate bicarbonate carbonate hydroxide water"
).split()


@cache
def salts() -> tuple[Salt, ...]:
    """Every salt known, in the order of the table.

    Returns
    -------
    tuple of Salt
        Formula, ions per formula unit, caps.
    """
    return tuple(_salt(row) for row in rows("salts.csv"))


@cache
def refused_salts() -> tuple[tuple[str, str], ...]:
    """Names and formulas that are refused, each with the reason.

    Returns
    -------
    tuple of (str, str)
        What was written, and why it is not taken.
    """
    return tuple((row["name"], row["reason"]) for row in rows("salts_refused.csv"))


def _salt(row: dict[str, str]) -> Salt:
    return Salt(
        key=row["salt"],
        formula=row["formula"],
        also_called=tuple(name for name in row["also_called"].split(";") if name),
        ions=tuple((ion, int(row[ion])) for ion in _IONS if row[ion] != "0"),
        goes_in=GoesIn(row["goes_in"]),
        most_g_per_l=float(row["most_g_per_l"]),
        why_no_more=row["why_no_more"],
    )
