"""Has something changed on a setup that nobody wrote down?

Every brew is compared with what the constants expect of it. A change of mill or bag shifts the
mash efficiency of all later brews by one amount, brew-to-brew luck does not: for each brew the
evidence that the shift began there is weighed against none, over all scatters that the brews
may have.
"""

import math
from typing import NamedTuple

import numpy as np

from wortwright.calibration.history import Array
from wortwright.calibration.regression import SCATTERS, Belief, Fit, Luck

SHIFT_LOG_SD = 0.08
"""Size of a change of equipment in log efficiency; 6 percentage points at 75 %. Common
practice, no source."""

LEAST_BEFORE, LEAST_AFTER = 3, 2
LEAST_EVIDENCE = 45.0
"""How many times likelier the change must make the brews; chosen so that few histories without
a change are suspected (the benchmark of the calibration prints how many)."""


class Shift(NamedTuple):
    """A shift of log efficiency from one brew on, and how much likelier it makes the brews."""

    first: int
    evidence: float
    mean: float
    sd: float


def suspected_shift(start: Belief, fit: Fit, floor: int = 0) -> Shift | None:
    """Likeliest shift in brews that stand in their order, or None if none is likely.

    ``floor`` is the number of brews up to which nothing was changed, by the brewer's word.
    """
    told = np.isfinite(fit.luck.variance)
    count = int(told.sum())
    if count < LEAST_BEFORE + LEAST_AFTER:
        return None
    luck = Luck(
        fit.luck.estimate[told], fit.luck.variance[told], fit.luck.by_scores[told], fit.luck.assumed
    )
    gain, mean, variance, weight = _by_first(start, fit, luck)
    evidence = weight @ np.exp(gain)
    position = np.arange(count)
    first = np.flatnonzero(told)
    allowed = (position >= LEAST_BEFORE) & (position <= count - LEAST_AFTER) & (first >= floor)
    evidence = np.where(allowed, evidence, 0.0)
    best = int(evidence.argmax())
    if evidence[best] < LEAST_EVIDENCE:
        return None
    share = weight * np.exp(gain[:, best])
    share /= share.sum()
    shift = float(share @ mean[:, best])
    spread = float(share @ (variance[:, best] + mean[:, best] ** 2)) - shift**2
    return Shift(int(first[best]), float(evidence[best]), shift, math.sqrt(max(spread, 0.0)))


def _by_first(start: Belief, fit: Fit, luck: Luck) -> tuple[Array, Array, Array, Array]:
    """Log evidence of a shift, its mean and variance, by scatter and first brew.

    And the weight of each scatter without a shift. What the brews tell beside their luck (water,
    boil-off) is kept as it stands: the precision of the scores less what the luck told.
    """
    by = luck.by_scores
    assumed = 1.0 / (luck.assumed + luck.variance)
    beside = np.linalg.inv(fit.belief.covariance) - (by * assumed[:, None]).T @ by
    pull = by.T @ (assumed * luck.estimate)
    weight = 1.0 / (SCATTERS[:, None] ** 2 + luck.variance)
    precision = beside + np.einsum("sn,np,nq->spq", weight, by, by)
    told = (weight * luck.estimate) @ by - pull
    moved = np.linalg.solve(precision, told[:, :, None])[:, :, 0]
    left = luck.estimate - moved @ by.T
    no_shift = 0.5 * (
        np.log(weight).sum(axis=1)
        - (weight * luck.estimate**2).sum(axis=1)
        + (told * moved).sum(axis=1)
        - np.linalg.slogdet(precision)[1]
    )
    log_weight = start.scatter_log_weights + no_shift
    scatter_weight = np.exp(log_weight - log_weight.max())
    after = _summed_back(weight[:, :, None] * by)
    shared = (after * np.linalg.solve(precision, after.transpose(0, 2, 1)).transpose(0, 2, 1)).sum(
        axis=2
    )
    information = np.maximum(_summed_back(weight) - shared, 0.0)
    toward = _summed_back(weight * left)
    variance = 1.0 / (1.0 / SHIFT_LOG_SD**2 + information)
    mean = variance * toward
    gain = 0.5 * (mean * toward + np.log(variance / SHIFT_LOG_SD**2))
    return gain, mean, variance, scatter_weight / scatter_weight.sum()


def _summed_back(terms: Array) -> Array:
    """Sum of each term and all later ones, along the brews."""
    summed: Array = np.flip(np.cumsum(np.flip(terms, axis=1), axis=1), axis=1)
    return summed
