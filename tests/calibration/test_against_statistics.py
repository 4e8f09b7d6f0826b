"""The regression against certified data, and against draws from its own model."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from scipy.stats import norm

from benchmarks.brewhouse import USUAL, draw_house
from benchmarks.recorded_sessions import draw_session
from wortwright.calibration import regression
from wortwright.calibration.evidence import evidence_of
from wortwright.calibration.history import SHARED, history_of
from wortwright.calibration.priors import Prior, efficiency_priors
from wortwright.calibration.readings import expect
from wortwright.calibration.regression import Belief, prior_belief, regress, shared_at, slopes_at

FIXTURES = Path(__file__).parents[2] / "fixtures" / "statistics"

VAGUE = 1e10
"""Variance of a start that says nothing."""


def test_certified_linear_regression():
    """NIST Statistical Reference Datasets, linear regression, "Norris" (J. Norris, NIST,
    "Calibration of Ozone Monitors"); data and certified values from memory, the one checked by
    the other: plain least squares of these 36 points gives all certified digits.
    """
    x, y = np.loadtxt(FIXTURES / "nist_norris.csv", delimiter=",", skiprows=1).T
    intercept, slope, residual_sd = -0.262323073774029, 1.00211681802045, 0.884796396144373
    intercept_sd, slope_sd = 0.232818234301152, 0.429796848199937e-3
    design = np.column_stack([np.ones_like(x), x])[None]
    told = design / residual_sd**2
    start = Belief(np.zeros(2), VAGUE * np.eye(2))
    scores, covariance = regression._ridge(start, told, design, y[None])
    assert scores == pytest.approx([intercept, slope], rel=1e-6)
    # The library holds both precisions at 1 to one part in 100,000 only.
    sd = np.sqrt(covariance.diagonal())
    assert sd == pytest.approx([intercept_sd, slope_sd], rel=5e-5)


class Drawn:
    """The linear model of one house at its prior, to draw readings from."""

    def __init__(self, seed, sessions):
        rng = np.random.default_rng(seed)
        self.house = draw_house(rng)
        self.priors = (
            *efficiency_priors(self.house.setup),
            Prior(3.5, 0.9, low=0.0),
            Prior(1.2, 0.6, low=0.0),
        )
        brewed = [draw_session(rng, self.house, USUAL) for _ in range(sessions)]
        evidence = [evidence_of(str(place), session) for place, session in enumerate(brewed)]
        at = shared_at(self.priors, np.zeros(len(self.priors)))
        self.history = history_of(evidence, self.house.method, at)
        self.expectation = expect(self.history, self.house.method, 2, at)
        slopes = slopes_at(self.priors, np.zeros(len(self.priors)))
        self.design = self.expectation.by_shared * slopes
        self.expected = self.history.read - self.expectation.difference

    def readings(self, rng, scores):
        """Readings of brews whose constants are known, each with its own luck and errors."""
        own = rng.normal(size=self.history.own_sd.shape) * self.history.own_sd
        brew_sd = prior_belief(len(SHARED)).brew_variance ** 0.5
        luck = rng.normal(0.0, brew_sd, size=len(own))
        return (
            self.expected
            + self.design @ scores
            + (self.expectation.by_own @ own[:, :, None])[:, :, 0]
            + self.expectation.by_luck * luck[:, None]
            + rng.normal(size=self.history.read.shape) * self.history.sd
        )


def test_the_posterior_is_calibrated_on_draws_from_its_own_model(monkeypatch):
    """Simulation-based calibration (Talts and others, "Validating Bayesian Inference Algorithms
    with Simulation-Based Calibration", 2018): the ranks of what was drawn are uniform.
    """
    monkeypatch.setattr(regression, "MOST_PASSES", 1)
    rng = np.random.default_rng(2026)
    drawn = Drawn(5, sessions=4)
    ranks = []
    for _ in range(2000):
        scores = rng.normal(size=len(drawn.priors))
        history = replace(drawn.history, read=drawn.readings(rng, scores))
        belief = regress(drawn.priors, history, drawn.house.method, 2).belief
        ranks.append(norm.cdf((scores - belief.scores) / np.sqrt(belief.covariance.diagonal())))
    ordered = np.sort(np.array(ranks), axis=0)
    uniform = (np.arange(2000)[:, None] + 0.5) / 2000
    assert abs(ordered - uniform).max() <= 0.035
