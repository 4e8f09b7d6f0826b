import pytest
from hypothesis import given
from hypothesis import strategies as st

from wortwright.brewing.carbonation import (
    CO2_G_PER_VOLUME,
    co2_in_water_g_per_l,
    gauge_bar_for,
    residual_volumes,
    volumes_in_beer,
)
from wortwright.brewing.errors import OutOfRangeError

temperatures = st.floats(-2.0, 45.0)


@given(st.floats(0.0, 10.0), temperatures)
def test_pressure_and_carbonation_convert_back(volumes, temperature_c):
    gauge_bar = gauge_bar_for(volumes, temperature_c)
    assert volumes_in_beer(gauge_bar, temperature_c) == pytest.approx(volumes, abs=1e-9)


@given(st.floats(0.5, 8.0), st.floats(-2.0, 44.0))
def test_warmer_beer_needs_more_pressure_and_more_gas_too(volumes, temperature_c):
    here = gauge_bar_for(volumes, temperature_c)
    assert gauge_bar_for(volumes, temperature_c + 1.0) > here
    assert gauge_bar_for(volumes + 0.1, temperature_c) > here


@given(st.floats(0.0, 40.0))
def test_beer_holds_a_little_less_than_water(temperature_c):
    water = co2_in_water_g_per_l(temperature_c) / CO2_G_PER_VOLUME
    assert 0.90 < volumes_in_beer(0.0, temperature_c) / water < 0.99


@given(st.floats(0.0, 30.0))
def test_the_trade_polynomial_for_water_agrees_within_an_eighth_of_a_volume(temperature_c):
    # 3.0378 - 0.050062 F + 0.00026555 F^2, from memory, F in degrees Fahrenheit
    fahrenheit = 1.8 * temperature_c + 32.0
    trade = 3.0378 - 0.050062 * fahrenheit + 0.00026555 * fahrenheit**2
    assert residual_volumes(temperature_c) == pytest.approx(trade, abs=0.125)


def test_pressure_while_fermenting_keeps_gas_in():
    assert residual_volumes(20.0, 1.0) > 1.8 * residual_volumes(20.0)


@pytest.mark.parametrize("temperature_c", [68.0, -10.0, float("nan")])
def test_a_temperature_in_fahrenheit_is_refused(temperature_c):
    with pytest.raises(OutOfRangeError):
        residual_volumes(temperature_c)
