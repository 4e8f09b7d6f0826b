"""Bayesian linear regression of a few constants, with readings far out counting less."""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
NormalPrior = tuple[float, float]
"""Mean and standard deviation."""

TAIL = 4.0
"""Degrees of freedom of the heavy-tailed likelihood."""

FAR = 12.0
"""Squared distance, in that of an expected one, from which on a reading is doubted aloud: of
readings without a blunder one in two thousand."""

PASSES = 6
"""How often the weights are taken anew; after that they move by less than a hundredth."""


class Row(NamedTuple):
    """One reading: the derivative of its expectation by each constant, its value and error.

    One that the brewer trusts is taken at its word.
    """

    slopes: tuple[float, ...]
    value: float
    sd: float
    trusted: bool = False
    session_id: str = ""


class Doubt(NamedTuple):
    """A reading far from what all of them come to: by how much it is above, and its weight."""

    session_id: str
    value: float
    above: float
    weight: float


class Learnt(NamedTuple):
    """Posterior of the constants, and the readings that it does not believe."""

    mean: Array
    covariance: Array
    doubts: tuple[Doubt, ...] = ()


def learn(priors: Sequence[NormalPrior], rows: Sequence[Row]) -> Learnt:
    """Conjugate normal posterior of constants that readings are linear in.

    Closed form for given weights of the readings; those are of Student's t likelihood, found
    by iteration, but never above 1: a lucky reading is no better than it was. Without readings
    it is the prior.
    """
    mean, sd = np.array(priors, dtype=float).T
    if not rows:
        return Learnt(mean, np.diag(sd**2))
    design = np.array([row.slopes for row in rows], dtype=float)
    values = np.array([row.value for row in rows], dtype=float)
    variances = np.array([row.sd for row in rows], dtype=float) ** 2
    trusted = np.array([row.trusted for row in rows])
    weights = np.ones(len(rows))
    for _ in range(PASSES):
        told = design.T * (weights / variances)
        covariance = np.linalg.inv(np.diag(sd**-2.0) + told @ design)
        learnt = covariance @ (mean / sd**2 + told @ values)
        spread = variances + ((design @ covariance) * design).sum(axis=1)
        above = values - design @ learnt
        far = above**2 / spread
        weights = np.where(trusted, 1.0, np.minimum(1.0, (TAIL + 1.0) / (TAIL + far)))
    doubted = np.flatnonzero((far > FAR) & ~trusted).tolist()
    return Learnt(
        learnt,
        covariance,
        tuple(
            Doubt(rows[at].session_id, rows[at].value, float(above[at]), float(weights[at]))
            for at in doubted
        ),
    )
