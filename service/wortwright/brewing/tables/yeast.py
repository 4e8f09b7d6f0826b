"""Pitching rates and classes of apparent attenuation."""

from dataclasses import dataclass
from enum import StrEnum
from functools import cache

from wortwright.brewing.tables.rows import rows


class YeastKind(StrEnum):
    """Kinds that differ in the cells they want. Hybrid: cool ale, warm-pitched lager."""

    ALE = "ale"
    HYBRID = "hybrid"
    LAGER = "lager"


class YeastClass(StrEnum):
    """Classes of apparent attenuation."""

    LOW = "low"
    MEDIUM = "medium"
    HIGH = "high"
    VERY_HIGH = "very_high"
    DIASTATIC = "diastatic"


@dataclass(frozen=True, slots=True)
class PitchRate:
    """Viable cells wanted above a gravity [million/(mL degP)]."""

    kind: YeastKind
    above_gravity: float
    million_per_ml_plato: float


@dataclass(frozen=True, slots=True)
class AttenuationClass:
    """Apparent attenuation of a class, alcohol it bears by volume [fraction], and how long
    its gravity must stay before it has finished [d].
    """  # noqa: D205

    yeast_class: YeastClass
    least_attenuation: float
    most_attenuation: float
    alcohol_tolerance: float
    days_to_stay: float


@cache
def pitch_rates() -> tuple[PitchRate, ...]:
    """Every rate, rising in gravity within a kind.

    Returns
    -------
    tuple of PitchRate
        In the order of the table.
    """
    return tuple(
        PitchRate(
            kind=YeastKind(row["yeast_kind"]),
            above_gravity=float(row["above_gravity"]),
            million_per_ml_plato=float(row["million_per_ml_plato"]),
        )
        for row in rows("pitch_rates.csv")
    )


@cache
def attenuation_classes() -> tuple[AttenuationClass, ...]:
    """Every class, rising in attenuation.

    Returns
    -------
    tuple of AttenuationClass
        In the order of the table.
    """
    return tuple(
        AttenuationClass(
            yeast_class=YeastClass(row["yeast_class"]),
            least_attenuation=float(row["least_attenuation"]),
            most_attenuation=float(row["most_attenuation"]),
            alcohol_tolerance=float(row["alcohol_tolerance"]),
            days_to_stay=float(row["days_to_stay"]),
        )
        for row in rows("yeast_classes.csv")
    )


def attenuation_class(yeast_class: YeastClass) -> AttenuationClass:
    """Row of one class.

    Parameters
    ----------
    yeast_class : YeastClass
        The class.

    Returns
    -------
    AttenuationClass
        Its row of the table.
    """
    return next(row for row in attenuation_classes() if row.yeast_class is yeast_class)
