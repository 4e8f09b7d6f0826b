import pytest
from hypothesis import given
from hypothesis import strategies as st

from wortwright.brewing.attenuation import (
    alcohol,
    attenuation_as_stated,
    attenuation_of_class,
    final_gravity_forecast,
)
from wortwright.brewing.errors import OutOfRangeError
from wortwright.brewing.tables.yeast import YeastClass, attenuation_class

classes = st.sampled_from(list(YeastClass))


def test_a_barley_wine_is_reported_between_10_0_and_10_3_percent_with_the_method_named():
    found = alcohol(1.100, 1.024)
    assert 0.100 <= found.by_volume <= 0.103
    assert "Balling" in found.method
    assert found.apparent_attenuation == pytest.approx(0.76)
    assert found.low < found.by_volume < found.high


@pytest.mark.parametrize("yeast_class", list(YeastClass))
def test_an_ordinary_wort_ferments_to_the_range_of_the_class(yeast_class):
    row = attenuation_class(yeast_class)
    found = final_gravity_forecast(1.050, attenuation_of_class(yeast_class), 67.0)
    assert found.low_80 == pytest.approx(1.050 - 0.050 * row.most_attenuation)
    assert found.high_80 == pytest.approx(1.050 - 0.050 * row.least_attenuation)


@given(st.floats(1.03, 1.12), classes, st.floats(62.0, 71.0))
def test_a_hotter_mash_never_ends_lower(gravity, yeast_class, temperature_c):
    yeast = attenuation_of_class(yeast_class)
    cold = final_gravity_forecast(gravity, yeast, temperature_c)
    hot = final_gravity_forecast(gravity, yeast, temperature_c + 1.0)
    assert hot.mean >= cold.mean - 1e-12


@given(st.floats(1.03, 1.12), classes, st.floats(0.0, 0.9))
def test_sugar_in_place_of_malt_ends_lower(gravity, yeast_class, share):
    yeast = attenuation_of_class(yeast_class)
    with_more = final_gravity_forecast(gravity, yeast, 67.0, share + 0.1)
    assert with_more.mean < final_gravity_forecast(gravity, yeast, 67.0, share).mean


def test_all_sugar_ferments_below_water():
    # sucrose at 1.22 apparent attenuation, 0.050 (1 - 1.22)
    found = final_gravity_forecast(1.050, attenuation_of_class(YeastClass.HIGH), None, 1.0)
    assert found.mean == pytest.approx(0.989)
    assert found.high_80 == pytest.approx(found.low_80)


@given(st.floats(1.03, 1.07), classes)
def test_a_strong_wort_attenuates_less(gravity, yeast_class):
    yeast = attenuation_of_class(yeast_class)
    weak, strong = (final_gravity_forecast(each, yeast) for each in (gravity, 1.110))
    assert strong.apparent_attenuation < weak.apparent_attenuation


@given(st.floats(1.02, 1.15), classes, st.floats(60.0, 75.0), st.floats(0.0, 1.0))
def test_the_mean_lies_within_the_interval(gravity, yeast_class, temperature_c, share):
    yeast = attenuation_of_class(yeast_class)
    found = final_gravity_forecast(gravity, yeast, temperature_c, share)
    assert found.low_80 <= found.mean + 1e-12
    assert found.mean <= found.high_80 + 1e-12
    assert found.high_80 <= gravity


def test_a_very_strong_sugar_wash_is_forecast_and_not_refused():
    diastatic = attenuation_of_class(YeastClass.DIASTATIC)
    found = final_gravity_forecast(1.150, diastatic, None, 1.0)
    assert found.mean == 0.970
    assert found.tolerance_passed


def test_a_stated_attenuation_is_taken_as_its_mean():
    found = final_gravity_forecast(1.060, attenuation_as_stated(0.75), 67.0)
    assert found.mean == pytest.approx(1.015)


def test_more_alcohol_than_the_yeast_bears_is_told():
    low = attenuation_of_class(YeastClass.LOW)
    assert final_gravity_forecast(1.130, low).tolerance_passed
    assert not final_gravity_forecast(1.050, low).tolerance_passed


@pytest.mark.parametrize("gravity", [0.999, 1.2, float("nan")])
def test_a_gravity_that_is_no_wort_is_refused(gravity):
    with pytest.raises(OutOfRangeError):
        final_gravity_forecast(gravity, attenuation_of_class(YeastClass.LOW))
