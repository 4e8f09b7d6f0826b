"""Starters: growing yeast in steps before it is pitched."""

from dataclasses import dataclass
from enum import StrEnum
from math import ceil, log, pow

import numpy as np
from scipy.optimize import brentq

from wortwright.brewing.errors import require_between, require_positive

EXTRACT_G_PER_L = 100.0
"""Dry malt extract for wort of 1.036 to 1.038 (common practice)."""

_STILL_RATES = (25.0, 50.0, 100.0, 200.0)
_STILL_GROWTH = (2.76, 2.05, 1.52, 1.12)


class StarterMethod(StrEnum):
    """How a starter is kept."""

    STILL = "still"
    STIRRED = "stirred"


MOST_GROWTH = {StarterMethod.STILL: 2.7, StarterMethod.STIRRED: 6.0}
"""Growth factor of one step; a larger one takes two steps (common practice)."""


@dataclass(frozen=True, slots=True)
class StarterStep:
    """One step: wort [L], dry malt extract [g], viable cells before and after [1]."""

    volume_l: float
    extract_g: float
    cells_before: float
    cells_after: float


class NoStarterNeededError(ValueError):
    """The cells at hand are already as many as are wanted."""


def still_growth_factor(cells: float, volume_l: float) -> float:
    """Growth of yeast in a still starter.

    Parameters
    ----------
    cells : float
        Viable cells put in [1], above 0.
    volume_l : float
        Wort of about 1.036 [L], above 0.

    Returns
    -------
    float
        Cells after over cells before [-]; 1.52 at 100 million per mL, 2.76 at 25 and below.

    Raises
    ------
    OutOfRangeError
        For no cells or wort.

    Notes
    -----
    Straight lines in the logarithm of the inoculation between the printed points; beyond
    200 million per mL the line runs on to no growth at 300.

    References
    ----------
    C. White and J. Zainasheff, *Yeast*, 2010, fig. 5.5 (quoted).
    """
    require_positive("cells", cells)
    require_positive("volume", volume_l, "L")
    million_per_ml = cells / volume_l / 1e9
    rates = (*_STILL_RATES, 300.0)
    growth = (*_STILL_GROWTH, 1.0)
    return float(np.interp(log(million_per_ml), np.log(rates), growth))


def stirred_growth_factor(cells: float, volume_l: float) -> float:
    """Growth of yeast in a stirred starter.

    Parameters
    ----------
    cells : float
        Viable cells put in [1], above 0.
    volume_l : float
        Wort with 100 g/L of dry malt extract [L], above 0.

    Returns
    -------
    float
        Cells after over cells before [-].

    Raises
    ------
    OutOfRangeError
        For no cells or wort.

    Notes
    -----
    With x billion cells per gram of extract at the start, growth per gram is 1.4 up to
    x = 1.4, then 2.33 - 0.67 x, none from 3.5.

    References
    ----------
    K. Troester, "Estimating yeast growth," 2012 (constants from memory).
    """
    require_positive("cells", cells)
    require_positive("volume", volume_l, "L")
    per_g = cells / (volume_l * EXTRACT_G_PER_L) / 1e9
    grown = 1.4 if per_g <= 1.4 else max(0.0, 2.33 - 0.67 * per_g)
    return 1.0 + grown / per_g


def starter_steps(cells: float, wanted: float, method: StarterMethod) -> tuple[StarterStep, ...]:
    """Steps that grow the yeast at hand to the cells wanted.

    Parameters
    ----------
    cells : float
        Viable cells at hand [1], above 0.
    wanted : float
        Viable cells wanted [1], up to 1000 times the cells at hand.
    method : StarterMethod
        Still or stirred.

    Returns
    -------
    tuple of StarterStep
        As few as the growth of one step allows, each growing by the same factor; the last
        ends with the cells wanted.

    Raises
    ------
    NoStarterNeededError
        If the cells at hand are enough.
    OutOfRangeError
        For no cells, or for more growth than a few steps can do.
    """
    require_positive("cells", cells)
    require_between("growth", wanted / cells, 0.0, 1000.0)
    if wanted <= cells:
        raise NoStarterNeededError("there are enough cells without a starter")
    count = ceil(log(wanted / cells) / log(MOST_GROWTH[method]) - 1e-9)
    factor = pow(wanted / cells, 1.0 / count)
    return tuple(_step(cells * pow(factor, number), factor, method) for number in range(count))


def _step(cells: float, factor: float, method: StarterMethod) -> StarterStep:
    grow = still_growth_factor if method is StarterMethod.STILL else stirred_growth_factor
    smallest_l, largest_l = cells / 5e11, cells / 1e9
    volume_l = brentq(lambda litres: grow(cells, litres) - factor, smallest_l, largest_l)
    return StarterStep(volume_l, volume_l * EXTRACT_G_PER_L, cells, cells * factor)
