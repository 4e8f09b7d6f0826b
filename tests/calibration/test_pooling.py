"""What setups of a club have in common, against the joint normal of all of them."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import multivariate_normal

from benchmarks.brewhouse import USUAL, draw_house
from benchmarks.changes import dated
from benchmarks.recorded_sessions import draw_session
from wortwright.calibration.fit import fit_calibration
from wortwright.calibration.history import SHARED
from wortwright.calibration.pooling import (
    CLUB_SHARES,
    LEAST_OTHERS,
    POOLED,
    SHARE_WEIGHTS,
    club_belief,
    own_word,
)
from wortwright.calibration.posterior import OwnWord
from wortwright.calibration.regression import prior_belief

CONVERSION = SHARED.index("conversion")
DEAD_SPACE = SHARED.index("dead_space_l")


def said(mean, variance):
    """Word of a setup that says the same of every constant."""
    return OwnWord((mean,) * len(SHARED), (variance,) * len(SHARED))


def joint(words):
    """Mean and variance of a further setup's score, from the joint normal of all scores.

    The word of a setup, mean m and variance v under the prior N(0, 1), is a reading
    m / (1 - v) of its score with the variance v / (1 - v).
    """
    readings = np.array([word.mean[CONVERSION] for word in words])
    variances = np.array([word.variance[CONVERSION] for word in words])
    readings, errors = readings / (1.0 - variances), variances / (1.0 - variances)
    means, spreads, weights = [], [], []
    for share, weight in zip(CLUB_SHARES, SHARE_WEIGHTS, strict=True):
        among = share + (1.0 - share) * np.eye(len(words)) + np.diag(errors)
        gain = share * np.linalg.inv(among).sum(axis=0)
        means.append(gain @ readings)
        spreads.append(1.0 - share * gain.sum())
        weights.append(weight * multivariate_normal(np.zeros(len(words)), among).pdf(readings))
    weights = np.array(weights) / sum(weights)
    mean = weights @ means
    return mean, weights @ (np.array(spreads) + (np.array(means) - mean) ** 2)


words = st.lists(
    st.builds(said, st.floats(-2.0, 2.0), st.floats(0.05, 0.95)), min_size=LEAST_OTHERS, max_size=9
)


@given(words)
def test_a_further_setup_is_believed_what_the_joint_normal_says(others):
    belief = club_belief(others)
    mean, variance = joint(others)
    assert belief.scores[CONVERSION] == pytest.approx(mean, abs=1e-4)
    assert belief.covariance[CONVERSION, CONVERSION] == pytest.approx(variance, abs=1e-4)


@given(words)
def test_what_is_each_setups_own_is_not_shared(others):
    belief = club_belief(others)
    own = [place for place, name in enumerate(SHARED) if name not in POOLED]
    assert belief.scores[own] == pytest.approx(0.0)
    assert belief.covariance[np.ix_(own, own)] == pytest.approx(np.eye(len(own)))


@given(words)
def test_a_club_never_makes_sure_of_a_setup_that_has_not_brewed(others):
    assert club_belief(others).covariance[CONVERSION, CONVERSION] > 1.0 - CLUB_SHARES.max()


def test_too_few_share_to_hide_what_each_of_them_measured():
    assert club_belief([said(1.0, 0.1)] * (LEAST_OTHERS - 1)) is None
    assert club_belief([said(1.0, 0.1)] * LEAST_OTHERS) is not None


def test_setups_that_agree_teach_and_setups_that_scatter_do_not():
    agree = club_belief([said(mean, 0.1) for mean in (0.8, 0.9, 1.0, 1.1, 0.9, 1.0)])
    scatter = club_belief([said(mean, 0.1) for mean in (1.9, -1.5, 0.2, 1.4, -0.9, -0.6)])
    assert agree.scores[CONVERSION] > 0.6
    assert agree.covariance[CONVERSION, CONVERSION] < 0.5
    assert abs(scatter.scores[CONVERSION]) < 0.15
    assert scatter.covariance[CONVERSION, CONVERSION] > 0.7


@settings(max_examples=10)
@given(st.integers(0, 10_000))
def test_the_own_word_of_a_setup_is_the_same_whatever_its_club_said(seed):
    """So that what goes round in a club does not come back as news."""
    rng = np.random.default_rng(seed)
    house = draw_house(rng)
    setup = replace(house.setup, shares_with_club=True)
    brews = dated([draw_session(rng, house, USUAL) for _ in range(6)])
    alone = fit_calibration(setup, brews).own_word
    told = fit_calibration(setup, brews, [said(0.5, 0.3)] * 5).own_word
    # Not quite the same: the physics is made linear at another point.
    for place in (SHARED.index(name) for name in POOLED):
        assert told.mean[place] == pytest.approx(alone.mean[place], abs=0.2)
        assert told.variance[place] == pytest.approx(alone.variance[place], abs=0.1)


def test_the_own_word_without_a_brew_is_the_usual_prior():
    start = prior_belief(len(SHARED))
    word = own_word(start, start)
    assert word.mean == pytest.approx((0.0,) * len(SHARED))
    assert word.variance == pytest.approx((1.0,) * len(SHARED))


def test_a_setup_that_does_not_share_has_no_word():
    house = draw_house(np.random.default_rng(3))
    assert fit_calibration(house.setup, []).own_word is None
