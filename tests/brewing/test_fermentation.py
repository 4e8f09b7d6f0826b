import pytest
from hypothesis import given
from hypothesis import strategies as st

from wortwright.brewing.attenuation import FinalGravity
from wortwright.brewing.fermentation import (
    FermentationState,
    GravityReading,
    gravity_to_expect,
    progress,
)

FORECAST = FinalGravity(1.012, 1.010, 1.014, 0.76, False)


def read(*pairs):
    return [GravityReading(day, gravity) for day, gravity in pairs]


STABLE = read((1, 1.040), (6, 1.013), (10, 1.012), (14, 1.012))
FALLING = read((1, 1.040), (6, 1.020), (9, 1.016))


@pytest.mark.parametrize(
    ("readings", "state"),
    [
        ([], "too_few_readings"),
        (read((10, 1.012)), "too_few_readings"),
        (FALLING, "falling"),
        (read((5, 1.020), (9, 1.012), (10, 1.012)), "not_long_enough"),
        (read((5, 1.025), (9, 1.022), (14, 1.022)), "stuck"),
        (STABLE, "finished"),
        (read((5, 1.020), (9, 1.008), (13, 1.008)), "finished"),
    ],
)
def test_what_the_readings_say(readings, state):
    assert progress(readings, FORECAST).state == FermentationState(state)


@given(st.permutations(STABLE))
def test_the_order_of_the_readings_does_not_matter(readings):
    assert progress(readings, FORECAST) == progress(STABLE, FORECAST)


def test_a_slow_fall_of_a_point_at_a_time_is_not_stable():
    drifting = read(*((3.0 * n, 1.020 - 0.001 * n) for n in range(8)))
    assert progress(drifting, FORECAST).days_stable == pytest.approx(3.0)
    creeping = read(*((1.0 * n, 1.020 - 0.001 * n) for n in range(8)))
    assert progress(creeping, FORECAST).state is FermentationState.NOT_LONG_ENOUGH


def test_wild_yeast_must_stay_longer():
    assert progress(STABLE, FORECAST, days_to_stay=14.0).state is FermentationState.NOT_LONG_ENOUGH


def test_bottling_reckons_with_the_gravity_now_only_once_it_has_finished():
    assert gravity_to_expect(progress(STABLE, FORECAST), FORECAST) == 1.012
    assert gravity_to_expect(progress(FALLING, FORECAST), FORECAST) == 1.010
    stuck = progress(read((5, 1.022), (14, 1.022)), FORECAST)
    assert gravity_to_expect(stuck, FORECAST) == 1.010
    assert gravity_to_expect(progress([], FORECAST), FORECAST) == 1.010


def test_beer_below_its_forecast_that_still_falls_is_taken_as_it_is():
    below = progress(read((5, 1.020), (9, 1.008)), FORECAST)
    assert gravity_to_expect(below, FORECAST) == 1.008
