import pytest
from hypothesis import given
from hypothesis import strategies as st

from wortwright.brewing import water_density as water
from wortwright.brewing.errors import OutOfRangeError

temperatures = st.floats(0.0, water.HOTTEST_C)
volumes = st.floats(0.1, 1000.0)


@given(volumes, temperatures)
def test_hot_and_cold_volumes_are_inverse(volume_l, temperature_c):
    hot = water.hot_volume_from_20_l(volume_l, temperature_c)
    assert water.volume_at_20_from_hot_l(hot, temperature_c) == pytest.approx(volume_l, rel=1e-12)


@given(volumes, temperatures)
def test_mass_is_conserved_when_water_cools(volume_l, temperature_c):
    cold = water.volume_at_20_from_hot_l(volume_l, temperature_c)
    assert cold * water.water_density_kg_per_l(20.0) == pytest.approx(
        volume_l * water.water_density_kg_per_l(temperature_c), rel=1e-12
    )


@given(st.floats(4.0, 104.0))
def test_water_gets_lighter_above_four_degrees(temperature_c):
    assert water.water_density_kg_per_l(temperature_c) > water.water_density_kg_per_l(
        temperature_c + 1.0
    )


@given(volumes)
def test_a_volume_at_20_stays_what_it_is(volume_l):
    assert water.volume_at_20_from_hot_l(volume_l, 20.0) == pytest.approx(volume_l, rel=1e-15)


@pytest.mark.parametrize("temperature_c", [-0.1, 105.1, float("nan")])
def test_temperature_outside_the_range_is_refused(temperature_c):
    with pytest.raises(OutOfRangeError):
        water.hot_volume_from_20_l(1.0, temperature_c)
