import subprocess
import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calibration.invented import HUNG_BAG, SETUPS, usual_session
from wortwright.calibration.efficiency import (
    expected_apparent_absorption_l_per_kg,
    expected_conversion,
    forecast_mash_efficiency,
    mean_mash_efficiency,
)
from wortwright.calibration.fit import fit_calibration
from wortwright.calibration.posterior import MashPlan

PRIORS = [fit_calibration(setup, []) for setup in SETUPS]
LEARNT = fit_calibration(HUNG_BAG, [("a", usual_session()), ("b", usual_session(1.041, 1.049))])
STRONG = MashPlan(grain_kg=9.07, extract_yield=0.75, preboil_l=23.7)

plans = st.builds(
    lambda load, preboil, extract: MashPlan(load * preboil, extract, preboil),
    st.floats(0.05, 0.6),
    st.floats(5.0, 100.0),
    st.floats(0.65, 0.82),
)


def test_without_sessions_a_big_bag_brew_is_forecast_as_brewers_find_it():
    # Common practice, no source: 20 lb in a hung bag, no sparge, about 65 %; between 8 and 16
    # points is an honest width before anything was measured.
    low, high = forecast_mash_efficiency(PRIORS[0], STRONG).interval(0.80)
    assert low < 0.65 < high
    assert 0.08 <= high - low <= 0.16


@given(plans, st.sampled_from(PRIORS), st.floats(0.01, 0.999))
def test_a_forecast_and_its_interval_stay_between_0_and_1(plan, calibration, probability):
    forecast = forecast_mash_efficiency(calibration, plan)
    low, high = forecast.interval(probability)
    assert 0.0 < low <= forecast.mean <= high < 1.0


@given(plans, st.sampled_from(PRIORS))
def test_the_mean_alone_is_the_mean_of_the_forecast(plan, calibration):
    assert (
        mean_mash_efficiency(calibration, plan) == forecast_mash_efficiency(calibration, plan).mean
    )


@given(plans, st.sampled_from(PRIORS))
def test_an_interval_widens_with_its_probability(plan, calibration):
    forecast = forecast_mash_efficiency(calibration, plan)
    lows, highs = zip(*(forecast.interval(p) for p in (0.5, 0.8, 0.95)), strict=True)
    assert lows[0] > lows[1] > lows[2]
    assert highs[0] <= highs[1] <= highs[2]


@pytest.mark.parametrize("calibration", PRIORS)
def test_the_forecast_falls_with_the_grain_load(calibration):
    loads = [0.16 + 0.02 * step for step in range(16)]
    means = [mean_mash_efficiency(calibration, MashPlan(25 * g, 0.76, 25)) for g in loads]
    assert means == sorted(means, reverse=True)


def test_sessions_narrow_the_curve_most_where_they_were():
    seen = MashPlan(5.0, 0.76, 26.0)
    before, after = (forecast_mash_efficiency(c, seen) for c in (PRIORS[0], LEARNT))
    assert after.curve_log_sd < 0.5 * before.curve_log_sd
    assert forecast_mash_efficiency(LEARNT, STRONG).curve_log_sd > after.curve_log_sd


def test_a_forecast_tells_how_far_it_lies_outside_what_was_seen():
    inside = forecast_mash_efficiency(LEARNT, MashPlan(5.0, 0.76, 26.0))
    outside = forecast_mash_efficiency(LEARNT, MashPlan(10.0, 0.76, 26.0))
    assert inside.outside_seen_range == pytest.approx(0.0, abs=1e-12)
    assert outside.outside_seen_range == pytest.approx(1.0)
    assert forecast_mash_efficiency(PRIORS[0], STRONG).outside_seen_range is None


def test_a_thick_mash_converts_less():
    thin = MashPlan(8.0, 0.76, 25.0, strike_water_l=32.0)
    thick = MashPlan(8.0, 0.76, 25.0, strike_water_l=18.0)
    batch = PRIORS[2]
    assert expected_conversion(batch, thick) < expected_conversion(batch, thin)
    # What dissolves less swells the wort less, so more water seems to stay in the grain.
    assert expected_apparent_absorption_l_per_kg(
        batch, thick
    ) > expected_apparent_absorption_l_per_kg(batch, thin)


def test_a_forecast_needs_no_regression_library():
    code = (
        "import sys; import wortwright.calibration.efficiency; "
        "import wortwright.calibration.fit; sys.exit('sklearn' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
