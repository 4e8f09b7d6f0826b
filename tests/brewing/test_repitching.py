import pytest
from hypothesis import given
from hypothesis import strategies as st

from wortwright.brewing.errors import OutOfRangeError
from wortwright.brewing.gravity import gravity_from_plato
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


def test_a_cake_by_ballings_printed_factor():
    # 20 L of 12 degP fermented to 3 degP apparent: 0.4187 (Balling's table) times 9 is 3.7683 %
    # of alcohol, from 3.7683 (2.0665 - 0.010665 12) = 7.305 % of extract, 76.44 g/L; 0.11 g of
    # yeast for 2.0665 g, of 40 pg a cell, four fifths of it settled (from memory).
    found = cake_cells(20.0, gravity_from_plato(12.0), gravity_from_plato(3.0), 0.0)
    assert found == pytest.approx(20.0 * 76.443 * 0.11 / 2.0665 / 40e-12 * 0.8, rel=5e-4)


@given(st.floats(1.0, 50.0), st.floats(0.0, 14.0))
def test_a_cake_scales_with_its_batch_and_falls_with_age(volume_l, days):
    fresh = cake_cells(volume_l, 1.05, 1.01, days)
    assert cake_cells(2.0 * volume_l, 1.05, 1.01, days) == pytest.approx(2.0 * fresh)
    assert cake_cells(volume_l, 1.05, 1.01, days + 7.0) < fresh


@pytest.mark.parametrize(
    ("gravities", "tired"),
    [
        ((1.100, 1.024), True),
        ((1.048, 1.010), False),
        ((1.080, 1.018), True),
        ((1.078, 1.018), False),
    ],
)
def test_a_cake_of_strong_beer_is_tired(gravities, tired):
    # 8.2 % from 1.080 to 1.018 by the full mass balance, 7.9 % for 60 degrees by HMRC's table.
    assert cake_is_tired(*gravities) is tired
