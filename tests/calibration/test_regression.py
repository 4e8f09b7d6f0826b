"""The fit against the closed form of a conjugate normal model, written without the library."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchmarks.brewhouse import USUAL, draw_house, draw_session
from wortwright.calibration.evidence import evidence_of
from wortwright.calibration.priors import Prior, efficiency_priors
from wortwright.calibration.readings import expect, history_of
from wortwright.calibration.regression import regress, shared_at


def brewed(seed, count):
    """Priors, sessions and method of one invented house."""
    rng = np.random.default_rng(seed)
    house = draw_house(rng)
    priors = (*efficiency_priors(house.setup), Prior(3.5, 0.9, low=0.0), Prior(1.2, 0.6, low=0.0))
    evidence = [evidence_of(str(i), draw_session(rng, house, USUAL)) for i in range(count)]
    history = history_of(evidence, house.method, shared_at(priors, np.zeros(len(priors))))
    return priors, history, house


def conjugate(priors, history, house, fit):
    """Posterior at the last linearisation: all readings of all sessions conditioned at once.

    The joint covariance is built reading by reading, with no identity for its inverse.
    """
    expectation = expect(history, house.method, 2, shared_at(priors, fit.scores))
    slopes = np.array([p.slope(float(s)) for p, s in zip(priors, fit.scores, strict=True)])
    known = ~np.isnan(history.read)
    design = (expectation.by_shared * slopes)[known]
    target = np.where(known, expectation.difference, 0.0)[known] + design @ fit.scores
    session, row = np.nonzero(known)
    covariance = np.zeros((len(target), len(target)))
    for a in range(len(target)):
        for b in range(len(target)):
            if session[a] == session[b]:
                n, i, j = session[a], row[a], row[b]
                covariance[a, b] = (
                    expectation.by_own[n, i] * history.own_sd[n] ** 2
                ) @ expectation.by_own[n, j]
                luck = expectation.by_luck[n, i] * expectation.by_luck[n, j]
                covariance[a, b] += fit.brew_variance * luck
        covariance[a, a] += fit.noise[session[a], row[a]]
    gain = design.T @ np.linalg.inv(design @ design.T + covariance)
    return gain @ target, np.eye(len(priors)) - gain @ design


@pytest.mark.parametrize("seed", range(12))
def test_the_fit_agrees_with_the_closed_form(seed):
    priors, history, house = brewed(seed, 6)
    fit = regress(priors, history, house.method, 2)
    scores, covariance = conjugate(priors, history, house, fit)
    # The passes have converged to a hundredth of a prior standard deviation.
    assert fit.scores == pytest.approx(scores, abs=0.02)
    assert fit.covariance == pytest.approx(covariance, abs=0.02)


def test_the_closed_form_cannot_be_met_by_the_prior():
    # Guards the test above: the sessions move the scores by far more than its tolerance.
    priors, history, house = brewed(0, 6)
    assert abs(regress(priors, history, house.method, 2).scores).max() > 0.2


def test_without_sessions_the_fit_is_the_prior():
    priors, history, house = brewed(1, 0)
    fit = regress(priors, history, house.method, 2)
    assert fit.scores == pytest.approx(np.zeros(len(priors)), abs=1e-9)
    assert fit.covariance == pytest.approx(np.eye(len(priors)), abs=1e-5)


@settings(max_examples=15)
@given(st.integers(0, 10_000))
def test_more_sessions_never_make_the_constants_less_certain(seed):
    priors, history, house = brewed(seed, 8)
    variance = np.diag(regress(priors, history, house.method, 2).covariance)
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
            found.append(regress(priors, history, house.method, 2).brew_variance ** 0.5)
        return np.mean(found)

    assert learnt(0.015) == pytest.approx(0.015, abs=0.006)
    assert learnt(0.050) == pytest.approx(0.050, abs=0.008)
