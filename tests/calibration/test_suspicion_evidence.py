"""The evidence for a change against densities of all readings at once, built as one matrix."""

import numpy as np
import pytest
from scipy.linalg import block_diag
from scipy.special import logsumexp
from scipy.stats import multivariate_normal

from wortwright.calibration import suspicion
from wortwright.calibration.history import SHARED
from wortwright.calibration.regression import SCATTERS, Belief, Fit, Told

SESSIONS, READINGS, PARAMETERS = 7, 3, len(SHARED)


class Problem:
    """A random linear model: readings by session, what the scores and luck do to them."""

    def __init__(self, seed):
        rng = np.random.default_rng(seed)
        self.design = 0.03 * rng.normal(size=(SESSIONS, READINGS, PARAMETERS))
        self.by_luck = np.abs(rng.normal(1.0, 0.2, size=(SESSIONS, READINGS)))
        roots = 0.03 * rng.normal(size=(SESSIONS, READINGS, READINGS))
        self.noise = roots @ roots.transpose(0, 2, 1) + 2e-4 * np.eye(READINGS)
        self.read = 0.06 * rng.normal(size=(SESSIONS, READINGS))
        root = 0.3 * rng.normal(size=(PARAMETERS, PARAMETERS))
        self.start = Belief(rng.normal(size=PARAMETERS), np.eye(PARAMETERS) + root @ root.T)
        # Where the model was made linear: anywhere.
        self.at = 0.5 * rng.normal(size=PARAMETERS)

    def fit(self):
        left = self.read - self.design @ self.at
        told = []
        for design, luck, noise, rest in zip(
            self.design, self.by_luck, self.noise, left, strict=True
        ):
            metric = np.linalg.inv(noise)
            told.append(
                (
                    luck @ metric @ luck,
                    luck @ metric @ rest,
                    design.T @ metric @ luck,
                    design.T @ metric @ design,
                    design.T @ metric @ rest,
                )
            )
        nothing = np.zeros((SESSIONS, READINGS))
        belief = Belief(self.at, np.eye(PARAMETERS))
        products = (np.array(each) for each in zip(*told, strict=True))
        possible = np.ones(SESSIONS, dtype=bool)
        return Fit(belief, Told(*products), nothing, nothing, nothing, possible)

    def log_density(self, first, column):
        """Of all readings, over the grid of scatters; with a shift from one brew on, if any."""
        design = self.design.reshape(-1, PARAMETERS)
        shift = np.zeros((SESSIONS, READINGS))
        if first is not None:
            shift[first:] = suspicion.SHIFT_SD * self.design[first:, :, column]
        shift = shift.reshape(-1, 1)
        same = design @ self.start.covariance @ design.T + shift @ shift.T
        densities = []
        for scatter in SCATTERS[::2]:
            own = [
                noise + scatter**2 * np.outer(luck, luck)
                for noise, luck in zip(self.noise, self.by_luck, strict=True)
            ]
            normal = multivariate_normal(design @ self.start.scores, same + block_diag(*own))
            densities.append(normal.logpdf(self.read.reshape(-1)))
        return logsumexp(np.array(densities) + self.start.scatter_log_weights[::2])


@pytest.mark.parametrize("constant", suspicion.SHIFTING)
@pytest.mark.parametrize("first", [3, 4, 5])
@pytest.mark.parametrize("seed", range(4))
def test_the_evidence_is_the_ratio_of_the_densities(seed, first, constant):
    problem = Problem(seed)
    fit = problem.fit()
    allowed = np.arange(SESSIONS) == first
    scattered = suspicion._scattered(problem.start, fit)
    shift = suspicion._likeliest(fit, scattered, constant, allowed)
    column = SHARED.index(constant)
    # Nothing changed: neither since the first brew nor before it, which makes an unusual setup.
    unchanged = max(problem.log_density(None, column), problem.log_density(0, column))
    expected = problem.log_density(first, column) - unchanged
    assert np.log(shift.evidence) == pytest.approx(expected, abs=1e-6)
