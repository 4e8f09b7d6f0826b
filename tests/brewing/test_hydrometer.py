import pytest
from hypothesis import given
from hypothesis import strategies as st

from wortwright.brewing.errors import OutOfRangeError
from wortwright.brewing.hydrometer import gravity_at_20

readings = st.floats(0.990, 1.150)
temperatures = st.floats(0.0, 40.0)


@given(readings)
def test_a_reading_at_20_needs_no_correction(reading):
    assert gravity_at_20(reading, 20.0) == pytest.approx(reading, abs=1e-10)


@given(st.floats(10.0, 25.0))
def test_water_reads_one_at_the_calibration_temperature(calibration_c):
    assert gravity_at_20(1.0, calibration_c, calibration_c) == pytest.approx(1.0, abs=1e-10)


@given(readings, st.floats(10.0, 39.0))  # near 4 degC glass shrinks more than water
def test_a_warmer_sample_means_a_higher_gravity(reading, temperature_c):
    assert gravity_at_20(reading, temperature_c) < gravity_at_20(reading, temperature_c + 1.0)


@given(st.floats(0.990, 1.140), temperatures)
def test_a_higher_reading_means_a_higher_gravity(reading, temperature_c):
    assert gravity_at_20(reading, temperature_c) < gravity_at_20(reading + 0.001, temperature_c)


@pytest.mark.parametrize(
    ("reading", "temperature_c", "calibration_c", "quantity"),
    [
        (1.050, 40.1, 20.0, "sample temperature"),
        (1.050, -0.1, 20.0, "sample temperature"),
        (50.0, 20.0, 20.0, "hydrometer reading"),
        (float("nan"), 20.0, 20.0, "hydrometer reading"),
        (1.050, 20.0, 60.0, "calibration temperature"),
    ],
)
def test_a_value_outside_its_range_is_refused_by_name(
    reading, temperature_c, calibration_c, quantity
):
    with pytest.raises(OutOfRangeError) as refused:
        gravity_at_20(reading, temperature_c, calibration_c)
    assert refused.value.quantity == quantity
