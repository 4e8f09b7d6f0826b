"""What setups of one method in a club have in common: empirical Bayes, constant by constant.

A club's water, malt and ways of working may move all its setups to one side of what is usual.
How much of the usual spread is the club's and how much each setup's own is not known beforehand
either; it is weighed by how alike the setups of the club are. So a club without anything in
common teaches nothing, and a setup with many sessions of its own hardly listens.
"""

from collections.abc import Sequence

import numpy as np

from wortwright.calibration.history import SHARED, Array
from wortwright.calibration.posterior import OwnWord
from wortwright.calibration.regression import Belief

CLUB_SHARES = np.array([0.0, 0.25, 0.5, 0.75, 0.9])
"""Shares of the usual variance of a constant that may be the club's."""

SHARE_WEIGHTS = np.array([0.75, 0.05, 0.05, 0.05, 0.10])
"""How likely each is beforehand: mostly there is nothing in common, or else much."""

POOLED = ("conversion", "true_absorption_l_per_kg")
"""What water, malt and ways of working may move in a whole club. The loss of conversion in a
thick mash, dead space and kettle are each setup's own."""

LEAST_OTHERS = 3
"""Fewer would show a brewer what single others measured."""

TOLD_NOTHING = 1e-6


def own_word(start: Belief, end: Belief) -> OwnWord:
    """What sessions say that brought a belief from one to the other, without the start."""
    precision = np.linalg.inv(end.covariance) - np.linalg.inv(start.covariance)
    told = np.linalg.solve(end.covariance, end.scores) - np.linalg.solve(
        start.covariance, start.scores
    )
    size, axes = np.linalg.eigh(precision)
    covariance = (axes / (1.0 + np.maximum(size, 0.0))) @ axes.T
    return OwnWord(tuple((covariance @ told).tolist()), tuple(covariance.diagonal().tolist()))


def club_belief(others: Sequence[OwnWord]) -> Belief | None:
    """What to believe of a further setup of the club; None if too few share."""
    if len(others) < LEAST_OTHERS:
        return None
    mean = np.array([other.mean for other in others])
    variance = np.array([other.variance for other in others])
    # Each setup's word without the usual prior, as a reading of the setup's own score.
    information = np.maximum(1.0 / variance - 1.0, TOLD_NOTHING)
    reading = mean / variance / information
    share = CLUB_SHARES[:, None]
    club, doubt, evidence = _club_scores(reading, 1.0 / information)
    weight = SHARE_WEIGHTS[:, None] * np.exp(evidence - evidence.max(axis=0))
    weight /= weight.sum(axis=0)
    scores = (weight * club).sum(axis=0)
    spread = (weight * (doubt + 1.0 - share + club**2)).sum(axis=0) - scores**2
    pooled = np.isin(SHARED, POOLED)
    return Belief(np.where(pooled, scores, 0.0), np.diag(np.where(pooled, spread, 1.0)))


def _club_scores(reading: Array, error: Array) -> tuple[Array, Array, Array]:
    """Mean and variance of the club's scores and log evidence, by share and constant."""
    share = CLUB_SHARES[:, None]
    scatter = 1.0 - share[:, :, None] + error
    precision = 1.0 / np.maximum(share, TOLD_NOTHING) + (1.0 / scatter).sum(axis=1)
    club = (reading / scatter).sum(axis=1) / precision
    evidence = -0.5 * (
        np.log(scatter).sum(axis=1)
        + (reading**2 / scatter).sum(axis=1)
        - club**2 * precision
        + np.log(precision * np.maximum(share, TOLD_NOTHING))
    )
    return club, 1.0 / precision, evidence
