"""The dissolved ions of brewing water: masses, charges, mixing and charge balance.

Alkalinity is carried as milliequivalents of base, not as bicarbonate: mixing and adding salts
is then linear whatever the pH, and the charges of any mixture of salts balance exactly.
"""

from collections.abc import Iterable
from dataclasses import dataclass, fields
from math import fsum

MOLAR_MASS_G_PER_MOL = {
    "calcium": 40.078,
    "magnesium": 24.305,
    "sodium": 22.990,
    "potassium": 39.098,
    "chloride": 35.45,
    "sulfate": 96.056,
    "nitrate": 62.004,
    "bicarbonate": 61.016,
    "carbonate": 60.008,
    "hydroxide": 17.007,
    "water": 18.015,
    "calcium_carbonate": 100.086,
}
"""IUPAC abridged standard atomic weights, 2021 (from memory)."""

CHARGE = {
    "calcium": 2,
    "magnesium": 2,
    "sodium": 1,
    "potassium": 1,
    "chloride": -1,
    "sulfate": -2,
    "nitrate": -1,
    "bicarbonate": -1,
    "carbonate": -2,
    "hydroxide": -1,
}

CATIONS = ("calcium", "magnesium", "sodium", "potassium")
STRONG_ANIONS = ("chloride", "sulfate", "nitrate")


@dataclass(frozen=True, slots=True)
class Water:
    """What is dissolved in one litre of water; ions not named are zero.

    Every field is a mass concentration [mg/L] but ``alkalinity_meq_l`` [meq/L].
    """

    calcium_mg_l: float = 0.0
    magnesium_mg_l: float = 0.0
    sodium_mg_l: float = 0.0
    potassium_mg_l: float = 0.0
    chloride_mg_l: float = 0.0
    sulfate_mg_l: float = 0.0
    nitrate_mg_l: float = 0.0
    alkalinity_meq_l: float = 0.0


CONTENTS = tuple(field.name for field in fields(Water))
"""Names of what a water holds, in the order of its fields."""

PURE_WATER = Water()
"""Reverse-osmosis or distilled water, taken as holding nothing."""


def equivalent_mass_mg_per_meq(ion: str) -> float:
    """Mass of one milliequivalent of an ion.

    Parameters
    ----------
    ion : str
        One of the keys of `CHARGE`.

    Returns
    -------
    float
        Molar mass over charge [mg/meq].
    """
    return MOLAR_MASS_G_PER_MOL[ion] / abs(CHARGE[ion])


def combine(parts: Iterable[tuple[Water, float]]) -> Water:
    """Sum of waters, each times its weight.

    Parameters
    ----------
    parts : iterable of (Water, float)
        Contents and their weights: shares of a volume, or grams per litre of a salt [-].

    Returns
    -------
    Water
        The weighted sum, ion by ion.
    """
    weighted = tuple(parts)
    return Water(
        *(fsum(weight * getattr(water, name) for water, weight in weighted) for name in CONTENTS)
    )


def cations_meq_l(water: Water) -> float:
    """Positive charge in a water.

    Parameters
    ----------
    water : Water
        Its contents.

    Returns
    -------
    float
        Sum of calcium, magnesium, sodium and potassium [meq/L].
    """
    return _meq_l(water, CATIONS)


def anions_meq_l(water: Water) -> float:
    """Negative charge in a water.

    Parameters
    ----------
    water : Water
        Its contents.

    Returns
    -------
    float
        Sum of chloride, sulfate, nitrate and alkalinity [meq/L].
    """
    return _meq_l(water, STRONG_ANIONS) + water.alkalinity_meq_l


def charge_imbalance_percent(water: Water) -> float:
    """How far the charges of a water fail to cancel.

    A report that is off by more than 5 % holds a misread number or left an ion out; a target
    that is off cannot be made exactly from any salts (common practice for the 5 %).

    Parameters
    ----------
    water : Water
        Its contents.

    Returns
    -------
    float
        100 (cations - anions) / (cations + anions) [%]; 0 for pure water.
    """
    cations, anions = cations_meq_l(water), anions_meq_l(water)
    total = cations + anions
    return 100.0 * (cations - anions) / total if total > 0.0 else 0.0


def _meq_l(water: Water, ions: tuple[str, ...]) -> float:
    return fsum(getattr(water, f"{ion}_mg_l") / equivalent_mass_mg_per_meq(ion) for ion in ions)
