import math
from dataclasses import replace
from statistics import NormalDist

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from calibration.invented import HUNG_BAG, THREE_VESSELS
from wortwright.calibration.curve import PARAMETERS
from wortwright.calibration.priors import Prior, efficiency_priors, mixture, plain_priors
from wortwright.records.setup import LauterMethod, StatedConstants

SCORES = np.random.default_rng(7).normal(size=20_000)


def prior_of(setup, name):
    return efficiency_priors(setup)[PARAMETERS.index(name)]


def test_a_half_normal_prior_has_the_moments_of_half_a_normal():
    # |N(0, s)| has mean s sqrt(2/pi) and standard deviation s sqrt(1 - 2/pi).
    values = [Prior(0.0, 0.7, low=0.0).value(score) for score in SCORES]
    assert min(values) >= 0.0
    assert np.mean(values) == pytest.approx(0.7 * math.sqrt(2.0 / math.pi), rel=0.02)
    assert np.std(values) == pytest.approx(0.7 * math.sqrt(1.0 - 2.0 / math.pi), rel=0.02)


def test_a_bounded_prior_is_the_normal_between_its_bounds():
    # Against draws from the normal, thrown away outside the bounds.
    draws = np.random.default_rng(5).normal(0.95, 0.03, 200_000)
    draws = draws[draws < 0.995]
    for rank in (0.05, 0.5, 0.95):
        score = NormalDist().inv_cdf(rank)
        value = Prior(0.95, 0.03, high=0.995).value(score)
        assert value == pytest.approx(np.quantile(draws, rank), abs=0.001)


@given(st.floats(-1.9, 1.9), st.sampled_from([-math.inf, 0.45]), st.sampled_from([0.6, math.inf]))
def test_the_slope_of_a_prior_is_its_slope(score, low, high):
    prior = Prior(0.5, 0.1, low, high)
    rise = prior.value(score + 1e-5) - prior.value(score - 1e-5)
    assert prior.slope(score) == pytest.approx(rise / 2e-5, rel=1e-3, abs=1e-6)


@given(st.floats(-1e3, 1e3))
def test_no_score_leaves_the_bounds(score):
    assert 0.4 <= Prior(0.92, 0.05, 0.4, 0.995).value(score) <= 0.995


def test_a_mixture_has_the_moments_of_all_its_cases():
    rng = np.random.default_rng(3)
    draws = np.concatenate([rng.normal(0.85, 0.12, 100_000), rng.normal(1.42, 0.17, 100_000)])
    assert mixture([(0.85, 0.12), (1.42, 0.17)]) == pytest.approx(
        (draws.mean(), draws.std()), rel=0.01
    )


def test_a_stated_constant_is_a_prior_mean_with_half_the_spread():
    told = replace(
        HUNG_BAG, constants=StatedConstants(conversion=0.89, boil_off_l_per_h=4.4, dead_space_l=0.3)
    )
    default, stated = prior_of(HUNG_BAG, "conversion"), prior_of(told, "conversion")
    assert (stated.centre, stated.spread) == (0.89, default.spread / 2.0)
    mean, sd = plain_priors(told)["boil_off_l_per_h"]
    assert (mean, sd) == (4.4, plain_priors(HUNG_BAG)["boil_off_l_per_h"][1] / 2.0)


def test_a_stated_absorption_is_apparent():
    # The grain holds more wort than the brewer logs: 0.617 L per kg of dissolved extract, here
    # 0.76 kg/kg of usual malt at the conversion of a shop crush.
    told = replace(HUNG_BAG, constants=StatedConstants(absorption_l_per_kg=0.70))
    assert prior_of(told, "true_absorption_l_per_kg").centre == pytest.approx(
        0.70 + 0.617 * 0.76 * 0.92
    )


def test_what_was_not_said_widens_the_prior():
    unsaid = replace(HUNG_BAG, grain_held_by=None, bag_drained=None, crush=None)
    for name in ("true_absorption_l_per_kg", "conversion"):
        assert prior_of(unsaid, name).spread > prior_of(HUNG_BAG, name).spread


def test_a_bag_has_no_dead_space_and_only_continuous_sparging_a_bypass():
    assert prior_of(HUNG_BAG, "dead_space_l").spread == 0.0
    assert prior_of(THREE_VESSELS, "dead_space_l").spread > 0.0
    batch = replace(THREE_VESSELS, lauter_method=LauterMethod.BATCH_SPARGE)
    assert prior_of(batch, "bypass").spread == 0.0
    assert prior_of(THREE_VESSELS, "bypass").spread > 0.0
