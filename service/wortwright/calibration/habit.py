"""The strike water that a brewer means to use, told from what was written down.

The mash thickness must be what was meant, not what was read: an error of the water read makes
the mash seem thinner and, by the first wort, better converted at once, and passes for a loss of
conversion with thickness (the same trap as efficiency on measured gravity).
"""

from typing import Any, TypeAlias

import numpy as np

from wortwright.calibration.priors import VOLUME_RELATIVE_SD
from wortwright.records.setup import LauterMethod

Column: TypeAlias = Any
"""An array over the sessions, standing where the formulas say float."""

LEAST_SESSIONS = 4
"""Before that there is no habit to be seen, and nothing for the errors to add up to."""


def meant_strike_l(
    strike_l: Column, grain_kg: Column, preboil_l: Column, method: LauterMethod
) -> Column:
    """Strike water as meant; nan where the usual one of the method is to be taken. [L]

    Without sparge it is what the pre-boil volume asks for. Otherwise the sessions follow a line
    over the grain load, whatever the habit (a ratio to the grain, equal runnings); as far as
    they scatter about it like the reading of a volume, the line is believed.
    """
    if method is LauterMethod.NO_SPARGE:
        return np.full_like(strike_l, np.nan)
    known = ~np.isnan(strike_l)
    if known.sum() < LEAST_SESSIONS:
        return strike_l
    load = grain_kg / preboil_l
    ratio = np.where(known, strike_l / preboil_l, 1.0)
    weight = known * 1.0
    for _ in range(2):
        line = _line(load, ratio, weight)
        off = ratio / line - 1.0
        scatter = 1.48 * float(np.median(np.abs(off[known]))) + 1e-9
        weight = known / (1.0 + (off / (2.0 * scatter)) ** 2)
    kept = max(0.0, 1.0 - (VOLUME_RELATIVE_SD / scatter) ** 2)
    return np.where(known, preboil_l * line * (1.0 + kept * off), np.nan)


def _line(x: Column, y: Column, weight: Column) -> Column:
    """Weighted least-squares line, level where x does not vary."""
    x_mean, y_mean = np.average(x, weights=weight), np.average(y, weights=weight)
    spread = weight @ (x - x_mean) ** 2 + 1e-12
    return y_mean + weight @ ((x - x_mean) * (y - y_mean)) / spread * (x - x_mean)
