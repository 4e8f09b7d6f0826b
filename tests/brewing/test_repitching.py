import pytest
from hypothesis import given
from hypothesis import strategies as st

from wortwright.brewing.errors import OutOfRangeError
from wortwright.brewing.repitching import (
    cake_cells,
    cake_is_tired,
    slurry_ml,
    slurry_viable_share,
)


def test_slurry_for_a_batch_by_hand():
    # 2.4e11 cells at 1.2e9 per mL, and a tenth of them lost after a week
    assert slurry_ml(2.4e11, 0.0) == pytest.approx(200.0)
    assert slurry_ml(2.4e11, 7.0) == pytest.approx(200.0 / 0.9)


@given(st.floats(0.0, 27.0))
def test_older_slurry_holds_fewer_cells(days):
    assert slurry_viable_share(days + 1.0) < slurry_viable_share(days)


def test_slurry_of_more_than_four_weeks_is_refused():
    with pytest.raises(OutOfRangeError):
        slurry_ml(1e11, 29.0)


def test_a_cake_holds_a_plausible_number_of_cells():
    # a finished ale had 50 to 150 million cells a mL in all, from memory
    per_ml = cake_cells(20.0, 1.048, 1.010, 0.0) / 20_000.0
    assert 50e6 < per_ml < 150e6


@given(st.floats(1.0, 50.0), st.floats(0.0, 14.0))
def test_a_cake_scales_with_its_batch_and_falls_with_age(volume_l, days):
    fresh = cake_cells(volume_l, 1.05, 1.01, days)
    assert cake_cells(2.0 * volume_l, 1.05, 1.01, days) == pytest.approx(2.0 * fresh)
    assert cake_cells(volume_l, 1.05, 1.01, days + 7.0) < fresh


@pytest.mark.parametrize(("gravities", "tired"), [((1.100, 1.024), True), ((1.048, 1.010), False)])
def test_a_cake_of_strong_beer_is_tired(gravities, tired):
    assert cake_is_tired(*gravities) is tired
