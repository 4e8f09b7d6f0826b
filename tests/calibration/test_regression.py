"""The fit against the closed form of a conjugate normal model, written without the library."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchmarks.brewhouse import USUAL, draw_house
from benchmarks.recorded_sessions import draw_session
from wortwright.calibration import regression
from wortwright.calibration.efficiency import mean_mash_efficiency
from wortwright.calibration.evidence import evidence_of
from wortwright.calibration.fit import fit_calibration
from wortwright.calibration.history import history_of
from wortwright.calibration.posterior import MashPlan
from wortwright.calibration.priors import BREW_LOG_SD, Prior, efficiency_priors
from wortwright.calibration.readings import expect
from wortwright.calibration.regression import regress, shared_at


def brewed(seed, count):
    """Priors, sessions and method of one invented house."""
    rng = np.random.default_rng(seed)
    house = draw_house(rng)
    priors = (*efficiency_priors(house.setup), Prior(3.5, 0.9, low=0.0), Prior(1.2, 0.6, low=0.0))
    evidence = [evidence_of(str(i), draw_session(rng, house, USUAL)) for i in range(count)]
    history = history_of(evidence, house.method, shared_at(priors, np.zeros(len(priors))))
    return priors, history, house


def conjugate(priors, history, house):
    """Posterior of one linearisation at the prior: all readings conditioned at once.

    The joint covariance is built reading by reading, with no identity for its inverse.
    """
    origin = np.zeros(len(priors))
    expectation = expect(history, house.method, 2, shared_at(priors, origin))
    slopes = np.array([prior.slope(0.0) for prior in priors])
    known = ~np.isnan(history.read)
    design = (expectation.by_shared * slopes)[known]
    target = expectation.difference[known]
    session, row = np.nonzero(known)
    # Mean of the square of a log-normal scatter, over the grid of the fit.
    scatter = np.geomspace(0.006, 0.12, 24)
    weight = np.exp(-0.5 * (np.log(scatter / BREW_LOG_SD[0]) / BREW_LOG_SD[1]) ** 2)
    brew_variance = weight @ scatter**2 / weight.sum()
    covariance = np.diag(history.sd[known] ** 2)
    for a in range(len(target)):
        for b in range(len(target)):
            if session[a] == session[b]:
                n, i, j = session[a], row[a], row[b]
                own = expectation.by_own[n] * history.own_sd[n]
                covariance[a, b] += own[i] @ own[j]
                luck = expectation.by_luck[n, i] * expectation.by_luck[n, j]
                covariance[a, b] += brew_variance * luck
    gain = design.T @ np.linalg.inv(design @ design.T + covariance)
    return gain @ target, np.eye(len(priors)) - gain @ design


@pytest.mark.parametrize("seed", range(12))
def test_one_pass_agrees_with_the_closed_form(seed, monkeypatch):
    monkeypatch.setattr(regression, "MOST_PASSES", 1)
    priors, history, house = brewed(seed, 6)
    fit = regress(priors, history, house.method, 2)
    scores, covariance = conjugate(priors, history, house)
    assert abs(scores).max() > 0.2  # the sessions moved what the tolerance could hide
    # The library's precisions are held at 1 to about one part in 100,000.
    assert fit.belief.scores == pytest.approx(scores, abs=1e-4)
    assert fit.belief.covariance == pytest.approx(covariance, abs=1e-4)


@pytest.mark.parametrize("seed", range(12))
def test_the_passes_have_settled(seed, monkeypatch):
    def forecasts():
        rng = np.random.default_rng(seed)
        house = draw_house(rng)
        brews = [(str(i), draw_session(rng, house, USUAL)) for i in range(6)]
        calibration = fit_calibration(house.setup, brews)
        plans = (MashPlan(load * 25.0, 0.76, 25.0) for load in (0.22, 0.42))
        return [mean_mash_efficiency(calibration, plan) for plan in plans]

    found = forecasts()
    monkeypatch.setattr(regression, "MOST_PASSES", 40)
    monkeypatch.setattr(regression, "SETTLED", 1e-9)
    monkeypatch.setattr(regression, "SETTLED_SHARE", 0.0)
    assert found == pytest.approx(forecasts(), abs=0.004)


def test_without_sessions_the_fit_is_the_prior():
    priors, history, house = brewed(1, 0)
    fit = regress(priors, history, house.method, 2)
    assert fit.belief.scores == pytest.approx(np.zeros(len(priors)), abs=1e-9)
    assert fit.belief.covariance == pytest.approx(np.eye(len(priors)), abs=1e-5)


@settings(max_examples=15)
@given(st.integers(0, 10_000))
def test_more_sessions_never_make_the_constants_less_certain(seed):
    priors, history, house = brewed(seed, 8)
    variance = np.diag(regress(priors, history, house.method, 2).belief.covariance)
    assert (variance <= 1.0 + 1e-5).all()


def test_the_scatter_of_the_brews_is_learnt():
    def learnt(brew_log_sd):
        found = []
        for seed in range(15):
            rng = np.random.default_rng(seed)
            house = draw_house(rng, brew_log_sd=brew_log_sd)
            priors = (
                *efficiency_priors(house.setup),
                Prior(3.5, 0.9, low=0.0),
                Prior(1.2, 0.6, low=0.0),
            )
            evidence = [evidence_of(str(i), draw_session(rng, house, USUAL)) for i in range(40)]
            at_prior = shared_at(priors, np.zeros(len(priors)))
            history = history_of(evidence, house.method, at_prior)
            found.append(regress(priors, history, house.method, 2).belief.brew_variance ** 0.5)
        return np.mean(found)

    assert learnt(0.015) == pytest.approx(0.015, abs=0.006)
    assert learnt(0.050) == pytest.approx(0.050, abs=0.008)
