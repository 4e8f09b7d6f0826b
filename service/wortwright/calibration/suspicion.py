"""Has something changed on a setup that nobody wrote down?

Every brew is compared with what the constants expect of it. A change of mill or bag shifts one
constant for all later brews, luck does not: for each brew the evidence that a shift began there
is weighed against none, over all scatters that the brews may have.
"""

import math
from typing import NamedTuple

import numpy as np

from wortwright.calibration.history import SHARED, Array
from wortwright.calibration.intervals import SCORE_80
from wortwright.calibration.posterior import SuspectedChange
from wortwright.calibration.regression import LEAST_INFORMATION, SCATTERS, Belief, Fit

SHIFTING = {"conversion": 38.0, "true_absorption_l_per_kg": 115.0}
"""What a new mill and a new bag change, with the least evidence: how many times likelier the
change must make the brews than luck. More is asked where errors of the water look alike. Chosen
so that few histories without a change are suspected (the benchmark prints how many)."""

SHIFT_SD = 1.6
"""Size of a change in standard scores of the prior: a mill that is set anew changes conversion
by about 0.07. Common practice, no source."""

LEAST_BEFORE, LEAST_AFTER = 3, 2

CERTAIN_GAIN = 500.0
"""Log evidence that nobody needs more of, and a float still holds."""

_EVERY = slice(None, None, 2)
_SCATTERS = SCATTERS[_EVERY]
"""A coarser grid does: what counts is that the scatter is not taken for known."""

_WHY = {
    ("conversion", True): "the grain were crushed coarser",
    ("conversion", False): "the grain were crushed finer",
    ("true_absorption_l_per_kg", True): "the grain held more of the wort",
    ("true_absorption_l_per_kg", False): "the grain held less of the wort",
}


class Shift(NamedTuple):
    """A shift of one constant from one brew on, and how much likelier it makes the brews.

    ``log_efficiency`` is what it does to mash efficiency, with its standard deviation.
    """

    first: int
    constant: str
    evidence: float
    log_efficiency: float
    log_efficiency_sd: float


def in_words(change: SuspectedChange) -> str:
    """Say what is suspected, and what to do about it."""
    size = 100.0 * abs(change.efficiency_change)
    half = SCORE_80 * 100.0 * change.efficiency_change_sd
    lower = change.efficiency_change < 0.0
    return (
        f"From the brew of {change.on:%Y-%m-%d} on, mash efficiency looks "
        f"{max(size - half, 0.0):.0f} to {size + half:.0f} percentage points "
        f"{'lower' if lower else 'higher'} than before, as if {_WHY[change.constant, lower]}. "
        "Forecasts follow the newer brews. If mill, bag, kettle or method changed, record the "
        "change with its day; if nothing did, record that nothing changed, with today's date."
    )


class _Scattered(NamedTuple):
    """What all brews say, by scatter; ``luck`` is the weight of each brew's luck.

    ``moved`` is how far the scores would move, ``covariance`` theirs, ``weight`` the
    probability of each scatter without a shift.
    """

    luck: Array
    moved: Array
    covariance: Array
    weight: Array


def suspected_shift(start: Belief, fit: Fit, floor: int = 0) -> Shift | None:
    """Likeliest shift in brews that stand in their order, or None if none is likely.

    ``floor`` is the number of brews up to which nothing was changed, by the brewer's word.
    """
    spoke = np.cumsum(fit.told.luck_luck > LEAST_INFORMATION)
    if not len(spoke) or spoke[-1] < LEAST_BEFORE + LEAST_AFTER:
        return None
    before = np.concatenate(([0], spoke[:-1]))
    allowed = (before >= LEAST_BEFORE) & (spoke[-1] - before >= LEAST_AFTER)
    allowed &= np.arange(len(spoke)) >= floor
    scattered = _scattered(start, fit)
    shifts = (_likeliest(fit, scattered, constant, allowed) for constant in SHIFTING)
    best = max(shifts, key=lambda shift: shift.evidence / SHIFTING[shift.constant])
    return best if best.evidence >= SHIFTING[best.constant] else None


def _scattered(start: Belief, fit: Fit) -> _Scattered:
    """Scores and evidence without a shift, over the grid of scatters."""
    told = fit.told
    information = np.linalg.inv(start.covariance)
    luck = 1.0 / (_SCATTERS[:, None] ** -2.0 + told.luck_luck)
    precision = (
        information + told.scores_scores.sum(axis=0) - _weighed_squares(luck, told.luck_scores)
    )
    pull = (
        information @ (start.scores - fit.belief.scores)
        + told.scores_left.sum(axis=0)
        - (luck * told.luck_left) @ told.luck_scores
    )
    covariance = np.linalg.inv(precision)
    moved = (covariance @ pull[:, :, None])[:, :, 0]
    log_weight = start.scatter_log_weights[_EVERY] + 0.5 * (
        (luck * told.luck_left**2).sum(axis=1)
        - np.log1p(_SCATTERS[:, None] ** 2 * told.luck_luck).sum(axis=1)
        + (pull * moved).sum(axis=1)
        - np.linalg.slogdet(precision)[1]
    )
    weight = np.exp(log_weight - log_weight.max())
    return _Scattered(luck, moved, covariance, weight / weight.sum())


def _weighed_squares(weights: Array, vectors: Array) -> Array:
    """Sum of the outer squares of vectors, by row of weights."""
    parameters = vectors.shape[1]
    squares = (vectors[:, :, None] * vectors[:, None, :]).reshape(len(vectors), -1)
    weighed: Array = (weights @ squares).reshape(len(weights), parameters, parameters)
    return weighed


def _likeliest(fit: Fit, scattered: _Scattered, constant: str, allowed: Array) -> Shift:
    """Likeliest first brew of a shift of one constant.

    A setup far from what is usual is one whose shift began before its first brew: nothing has
    changed on it, and a change has to be likelier than that as well.
    """
    column = SHARED.index(constant)
    gain, mean, variance = _by_first(fit, scattered, column)
    by_first = scattered.weight @ np.exp(gain)
    evidence = np.where(allowed, by_first / max(1.0, by_first[0]), 0.0)
    first = int(evidence.argmax())
    share = scattered.weight * np.exp(gain[:, first])
    share /= share.sum()
    shift = float(share @ mean[:, first])
    spread = float(share @ (variance[:, first] + (mean[:, first] - shift) ** 2))
    slope = float(fit.told.luck_scores[:, column].sum() / fit.told.luck_luck.sum())
    return Shift(
        first, constant, float(evidence[first]), shift * slope, math.sqrt(spread) * abs(slope)
    )


def _by_first(fit: Fit, scattered: _Scattered, column: int) -> tuple[Array, Array, Array]:
    """Log evidence of a shift, its mean and its variance, by scatter and first brew."""
    told, luck = fit.told, scattered.luck
    by_luck = told.luck_scores[:, column]
    shared = told.scores_scores[:, column] - (luck * by_luck)[:, :, None] * told.luck_scores
    after = _with_all_later(shared)
    known = _with_all_later(told.scores_scores[:, column, column] - luck * by_luck**2)
    known = known - ((after @ scattered.covariance) * after).sum(axis=2)
    pull = _with_all_later(told.scores_left[:, column] - luck * by_luck * told.luck_left)
    pull = pull - (after @ scattered.moved[:, :, None])[:, :, 0]
    variance = 1.0 / (SHIFT_SD**-2.0 + np.maximum(known, 0.0))
    gain = 0.5 * (variance * pull**2 + np.log(variance / SHIFT_SD**2))
    return np.minimum(gain, CERTAIN_GAIN), variance * pull, variance


def _with_all_later(terms: Array) -> Array:
    """Sum of each brew's term and those of all later brews."""
    summed: Array = np.flip(np.cumsum(np.flip(terms, axis=1), axis=1), axis=1)
    return summed
