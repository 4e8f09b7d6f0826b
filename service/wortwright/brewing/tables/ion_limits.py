"""Ranges that brewing water is held against, and drinking-water figures."""

from dataclasses import dataclass
from enum import StrEnum
from functools import cache

from wortwright.brewing.tables.rows import rows


class Bound(StrEnum):
    """Which side of the value is meant."""

    LOW = "low"
    HIGH = "high"


class LimitKind(StrEnum):
    """Whether beer or health and taste of drinking water is at stake."""

    BREWING = "brewing"
    DRINKING = "drinking"


@dataclass(frozen=True, slots=True)
class IonLimit:
    """One bound on one content of a water [mg/L]."""

    content: str
    code: str
    bound: Bound
    value_mg_l: float
    kind: LimitKind
    meaning: str
    source: str


@cache
def ion_limits() -> tuple[IonLimit, ...]:
    """Every bound, in the order of the table.

    Returns
    -------
    tuple of IonLimit
        Bounds with their source.
    """
    return tuple(
        IonLimit(
            content=row["content"],
            code=row["code"],
            bound=Bound(row["bound"]),
            value_mg_l=float(row["value"]),
            kind=LimitKind(row["kind"]),
            meaning=row["meaning"],
            source=row["source"],
        )
        for row in rows("ion_limits.csv")
    )
