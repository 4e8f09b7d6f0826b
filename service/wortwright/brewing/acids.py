"""Brewing acids: protons given at mash pH, and strength by volume."""

from enum import StrEnum
from functools import cache
from math import pow

import numpy as np

from wortwright.brewing.errors import require_between
from wortwright.brewing.tables.rows import rows


class Acid(StrEnum):
    """Acids that brewers add to mash and water."""

    LACTIC = "lactic"
    PHOSPHORIC = "phosphoric"


ACID_G_PER_MOL = {Acid.LACTIC: 90.078, Acid.PHOSPHORIC: 97.994}
ACID_PK = {Acid.LACTIC: (3.86,), Acid.PHOSPHORIC: (2.148, 7.198, 12.35)}
"""Dissociation constants at 25 degC (from memory)."""

STRONGEST_PERCENT = {Acid.LACTIC: 88.0, Acid.PHOSPHORIC: 85.0}


def protons_per_mole(acid: Acid, ph: float) -> float:
    """Protons that one mole of an acid has given up at a pH.

    Parameters
    ----------
    acid : Acid
        The acid.
    ph : float
        pH of the mash [-], 2 to 12.5.

    Returns
    -------
    float
        Protons [mol/mol]: 0.97 for lactic, 1.02 for phosphoric acid at pH 5.4. Phosphoric
        acid gives one proton in a mash, not three.

    Raises
    ------
    OutOfRangeError
        For a pH outside the range.

    Notes
    -----
    Mean charge of the dissociated species, sum(k b_k) / sum(b_k) with
    b_k = 10^(k pH - pK1 - ... - pKk), b_0 = 1.
    """
    require_between("pH", ph, 2.0, 12.5)
    constants = ACID_PK[acid]
    weights = [
        pow(10.0, count * ph - sum(constants[:count])) for count in range(len(constants) + 1)
    ]
    return sum(count * weight for count, weight in enumerate(weights)) / sum(weights)


def acid_mmol_per_ml(acid: Acid, strength_percent: float) -> float:
    """Amount of acid in a millilitre of a solution.

    Parameters
    ----------
    acid : Acid
        The acid.
    strength_percent : float
        Percent by mass [%], 1 to 88 for lactic, 1 to 85 for phosphoric acid.

    Returns
    -------
    float
        Acid [mmol/mL].

    Raises
    ------
    OutOfRangeError
        For a strength outside the range.

    Notes
    -----
    10 w rho / M; density interpolated between handbook strengths (from memory).
    """
    require_between(f"{acid} acid", strength_percent, 1.0, STRONGEST_PERCENT[acid], "% by mass")
    strengths, densities = _densities(acid)
    density = float(np.interp(strength_percent, strengths, densities))
    return 10.0 * strength_percent * density / ACID_G_PER_MOL[acid]


def acid_meq_per_ml(acid: Acid, strength_percent: float, ph: float) -> float:
    """Acidity of a millilitre of a solution at a pH.

    Parameters
    ----------
    acid : Acid
        The acid.
    strength_percent : float
        Percent by mass [%], 1 to 88 for lactic, 1 to 85 for phosphoric acid.
    ph : float
        pH reached [-], 2 to 12.5.

    Returns
    -------
    float
        Acidity [mEq/mL]: 11.45 for lactic acid of 88 % at pH 5.4.

    Raises
    ------
    OutOfRangeError
        For a strength or pH outside the range.
    """
    return acid_mmol_per_ml(acid, strength_percent) * protons_per_mole(acid, ph)


@cache
def _densities(acid: Acid) -> tuple[tuple[float, ...], tuple[float, ...]]:
    known = [row for row in rows("acids.csv") if row["acid"] == acid]
    return (
        tuple(float(row["strength_percent"]) for row in known),
        tuple(float(row["density_kg_per_l"]) for row in known),
    )
