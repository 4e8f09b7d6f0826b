"""What a brewer may want of a water: ions, or a balance of taste and residual alkalinity.

Every wish is a row that is linear in the contents of the water, so that doses follow from
linear least squares.
"""

from dataclasses import dataclass
from enum import StrEnum
from math import hypot

from wortwright.brewing.alkalinity import CALCIUM_DIVISOR, MAGNESIUM_DIVISOR
from wortwright.brewing.errors import require_between
from wortwright.brewing.ions import CONTENTS, Water, equivalent_mass_mg_per_meq

LEAST_SCALE_MG_L = 10.0
"""A miss is counted relative to the ion wanted, or to this where less is wanted."""

BALANCE_SCALE_MG_L = 50.0
RESIDUAL_ALKALINITY_SCALE_MEQ_L = 1.0

LEAST_CALCIUM_MG_L = 50.0
"""What a balance asks beside itself. Eumann & Schaeberle 2016 (quoted)."""

MOST_MG_L = {
    "calcium_mg_l": 150.0,
    "magnesium_mg_l": 30.0,
    "sodium_mg_l": 100.0,
    "chloride_mg_l": 150.0,
    "sulfate_mg_l": 350.0,
}
"""Ceilings of a balance, lest one salt does all the work. J. Palmer, *How to Brew*, web edition,
ch. 15.1 (quoted); chloride and sodium from common practice."""


class Side(StrEnum):
    """On which side of the goal a miss lies."""

    BOTH = "both"
    BELOW = "below"
    ABOVE = "above"


@dataclass(frozen=True, slots=True)
class Wish:
    """One row: the sum of coefficient times content should be the goal.

    ``scale`` is the miss that counts as one; ``side`` says where a miss lies.
    """

    name: str
    coefficients: tuple[float, ...]
    goal: float
    scale: float
    side: Side = Side.BOTH


@dataclass(frozen=True, slots=True)
class IonTarget:
    """Ions wanted in the mash water; None where it does not matter.

    Masses [mg/L], alkalinity [meq/L].
    """

    calcium_mg_l: float | None = None
    magnesium_mg_l: float | None = None
    sodium_mg_l: float | None = None
    potassium_mg_l: float | None = None
    chloride_mg_l: float | None = None
    sulfate_mg_l: float | None = None
    nitrate_mg_l: float | None = None
    alkalinity_meq_l: float | None = None


def ion_wishes(target: IonTarget) -> tuple[Wish, ...]:
    """Wishes for the ions that a target names.

    Parameters
    ----------
    target : IonTarget
        The ions wanted, each 0 or more.

    Returns
    -------
    tuple of Wish
        One row an ion, weighed relative to what is wanted.

    Raises
    ------
    OutOfRangeError
        For a negative concentration, one above 5000 mg/L, or alkalinity above 80 meq/L.
    """
    return tuple(
        _ion_wish(name, goal) for name in CONTENTS if (goal := getattr(target, name)) is not None
    )


def balance_wishes(
    sulfate_to_chloride: float, residual_alkalinity_meq_l: float
) -> tuple[Wish, ...]:
    """Wishes for a ratio of sulfate to chloride and a residual alkalinity.

    Parameters
    ----------
    sulfate_to_chloride : float
        Ratio of the masses [-], 0.1 to 10. A hint of taste, and none where both are low.
    residual_alkalinity_meq_l : float
        Residual alkalinity wanted in the mash [meq/L], -5 to 10.

    Returns
    -------
    tuple of Wish
        The ratio, the residual alkalinity, calcium of at least 50 mg/L, and each ion within
        its brewing range.

    Raises
    ------
    OutOfRangeError
        For a ratio or residual alkalinity outside the range.
    """
    require_between("sulfate to chloride", sulfate_to_chloride, 0.1, 10.0)
    require_between("residual alkalinity", residual_alkalinity_meq_l, -5.0, 10.0, "meq/L")
    length = hypot(1.0, sulfate_to_chloride)
    ratio = _row(sulfate_mg_l=1.0 / length, chloride_mg_l=-sulfate_to_chloride / length)
    residual = _row(
        alkalinity_meq_l=1.0,
        calcium_mg_l=-1.0 / CALCIUM_DIVISOR / equivalent_mass_mg_per_meq("calcium"),
        magnesium_mg_l=-1.0 / MAGNESIUM_DIVISOR / equivalent_mass_mg_per_meq("magnesium"),
    )
    return (
        Wish("sulfate_to_chloride", ratio, 0.0, BALANCE_SCALE_MG_L),
        Wish(
            "residual_alkalinity",
            residual,
            residual_alkalinity_meq_l,
            RESIDUAL_ALKALINITY_SCALE_MEQ_L,
        ),
        Wish(
            "least_calcium",
            _row(calcium_mg_l=1.0),
            LEAST_CALCIUM_MG_L,
            LEAST_CALCIUM_MG_L,
            Side.BELOW,
        ),
        *(
            Wish(f"most_{name}", _row(**{name: 1.0}), most, most, Side.ABOVE)
            for name, most in MOST_MG_L.items()
        ),
    )


def misses(water: Water, wishes: tuple[Wish, ...]) -> tuple[float, ...]:
    """How far a water is from each wish.

    Parameters
    ----------
    water : Water
        Its contents.
    wishes : tuple of Wish
        What is wanted.

    Returns
    -------
    tuple of float
        Reached minus goal in units of each wish's scale [-]; 0 on the side that is no miss.
    """
    return tuple(_miss(water, wish) for wish in wishes)


def _miss(water: Water, wish: Wish) -> float:
    reached = sum(
        coefficient * getattr(water, name)
        for name, coefficient in zip(CONTENTS, wish.coefficients, strict=True)
    )
    miss: float = (reached - wish.goal) / wish.scale
    if wish.side is Side.BELOW:
        return min(miss, 0.0)
    return max(miss, 0.0) if wish.side is Side.ABOVE else miss


def _ion_wish(name: str, goal: float) -> Wish:
    if name == "alkalinity_meq_l":
        per_meq = equivalent_mass_mg_per_meq("bicarbonate")
        require_between("alkalinity", goal, 0.0, 80.0, "meq/L")
        return Wish(name, _row(**{name: 1.0}), goal, max(goal, LEAST_SCALE_MG_L / per_meq))
    require_between(name.removesuffix("_mg_l"), goal, 0.0, 5000.0, "mg/L")
    return Wish(name, _row(**{name: 1.0}), goal, max(goal, LEAST_SCALE_MG_L))


def _row(**coefficients: float) -> tuple[float, ...]:
    return tuple(coefficients.get(name, 0.0) for name in CONTENTS)
