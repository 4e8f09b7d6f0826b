"""A reduced run of the calibration benchmark, tests/benchmarks/calibration.py.

Fixed seeds: the figures are the same in every run, and the bounds leave room for 120 houses.
"""

import numpy as np
import pytest

from benchmarks.calibration import Case, run

HOUSES = 120


@pytest.fixture(scope="module")
def clean():
    return run(Case("clean"), HOUSES, counts=(0, 3, 5))


@pytest.fixture(scope="module")
def blunders():
    return run(Case("blunders", blunders=True), HOUSES, counts=(3,))


def test_a_strong_brew_after_three_usual_ones_is_nearly_as_good_as_knowing_the_brewhouse(clean):
    assert clean.ratio("strong", 3)[0] <= 1.5


def test_the_plain_average_fails_at_a_strong_brew(clean):
    assert clean.ratio("strong", 3)[0] < 0.25 * clean.ratio("strong", 3, "average")[0]


def test_regressing_on_measured_gravity_fails_worse(clean):
    assert clean.ratio("strong", 3, "least squares")[0] > clean.ratio("strong", 3, "average")[0]


def test_usual_brews_are_forecast_better_than_by_the_plain_average(clean):
    assert clean.ratio("usual", 5)[0] <= 1.22
    assert clean.ratio("usual", 5)[0] < clean.ratio("usual", 5, "average")[0]


def test_blunders_hardly_harm(blunders):
    assert blunders.ratio("strong", 3)[0] <= 1.6


@pytest.mark.parametrize("count", [0, 3, 5])
@pytest.mark.parametrize("strength", ["usual", "strong"])
def test_the_80_percent_interval_holds_about_80_percent(clean, strength, count):
    share, *_ = clean.coverage(strength, count)
    assert 0.70 <= share <= 0.90


def test_the_slope_of_the_curve_is_not_biased(clean):
    # Percentage points per 0.1 kg/L; the bar is 1.
    assert abs(np.mean(clean.slopes[5])) < 1.0
