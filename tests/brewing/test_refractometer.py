import pytest
from hypothesis import given
from hypothesis import strategies as st

from wortwright.brewing.errors import OutOfRangeError
from wortwright.brewing.gravity import gravity_from_plato
from wortwright.brewing.refractometer import (
    beer_gravity,
    beer_gravity_cubic,
    beer_gravity_linear,
    correction_factor,
    wort_gravity,
)


@given(st.lists(st.floats(5.0, 30.0), min_size=1, max_size=8), st.floats(0.95, 1.1))
def test_a_brewers_own_factor_is_found_again(extracts, factor):
    readings = [factor * plato for plato in extracts]
    found = correction_factor(readings, [gravity_from_plato(plato) for plato in extracts])
    assert found == pytest.approx(factor)


@given(st.floats(2.0, 30.0), st.floats(0.95, 1.1))
def test_wort_reads_as_its_hydrometer_with_the_right_factor(plato, factor):
    assert wort_gravity(factor * plato, factor) == pytest.approx(gravity_from_plato(plato))


@given(st.floats(8.0, 28.0), st.floats(0.3, 0.9), st.floats(0.95, 1.1))
def test_the_factor_divides_both_readings(original, share, factor):
    plain = beer_gravity(original / factor, share * original / factor, 1.0)
    scaled = beer_gravity(original, share * original, factor)
    assert scaled.gravity == pytest.approx(plain.gravity)


@given(st.floats(8.0, 20.0), st.floats(0.40, 0.55))
def test_both_formulas_agree_within_the_stated_error(original, share):
    line = beer_gravity_linear(original, share * original)
    assert beer_gravity_cubic(original, share * original) == pytest.approx(line, abs=0.0045)


@given(st.floats(8.0, 30.0), st.floats(0.3, 0.9))
def test_the_error_is_never_less_than_three_points_and_covers_the_other_formula(original, share):
    found = beer_gravity(original, share * original, 1.0)
    assert found.half_width >= 0.003
    other = beer_gravity_cubic(original, share * original)
    assert abs(other - found.gravity) <= found.half_width + 1e-12


def test_strong_beer_is_less_sure():
    # Terrill's cubic and line worked apart: 1.0117 and 1.0107 at 12, 6; 1.0345 and 1.0284 at
    # 28, 15. Never less than three points, the spread of the published formulas.
    usual, strong = beer_gravity(12.0, 6.0, 1.0), beer_gravity(28.0, 15.0, 1.0)
    assert usual.half_width == pytest.approx(0.003, abs=1e-12)
    assert strong.half_width == pytest.approx(0.0061, abs=1e-4)


def test_a_refractometer_is_taken_to_read_four_percent_high_in_wort():
    # S. Terrill, Refractometer Estimates of Final Gravity, 2010: 1.04 unless measured.
    assert wort_gravity(12.48) == pytest.approx(gravity_from_plato(12.0), abs=1e-9)


@pytest.mark.parametrize(("readings", "gravities"), [([12.0], [1.030]), ([], []), ([8.0], [1.05])])
def test_a_factor_that_no_wort_has_is_refused(readings, gravities):
    with pytest.raises(OutOfRangeError):
        correction_factor(readings, gravities)


def test_beer_that_reads_above_its_wort_is_refused():
    with pytest.raises(OutOfRangeError):
        beer_gravity(12.0, 12.5)


def test_a_reading_without_its_gravity_is_refused():
    with pytest.raises(ValueError, match="shorter"):
        correction_factor([12.5, 13.0], [gravity_from_plato(12.0)])
