import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from wortwright.brewing import alcohol
from wortwright.brewing.errors import OutOfRangeError
from wortwright.brewing.gravity import plato_from_gravity

originals = st.floats(1.020, 1.130)
attenuations = st.floats(0.0, 1.05)


@given(originals)
def test_unfermented_wort_holds_no_alcohol(original):
    assert alcohol.alcohol_by_volume(original, original) == 0.0


@given(originals, attenuations, st.floats(0.001, 0.02))
def test_alcohol_rises_with_original_and_falls_with_final_gravity(original, attenuation, step):
    final = alcohol.final_gravity(original, attenuation)
    here = alcohol.alcohol_by_volume(original, final)
    assert alcohol.alcohol_by_volume(original + step, final) > here
    assume(final + step < original)
    assert alcohol.alcohol_by_volume(original, final + step) < here


@given(originals, st.floats(0.01, 1.05))
def test_real_extract_lies_between_apparent_and_original(original, attenuation):
    final = alcohol.final_gravity(original, attenuation)
    original_plato, apparent = plato_from_gravity(original), plato_from_gravity(final)
    assert apparent < alcohol.real_extract_plato(original_plato, apparent) < original_plato


@given(originals, st.floats(0.01, 1.05))
def test_real_attenuation_is_below_apparent(original, attenuation):
    final = alcohol.final_gravity(original, attenuation)
    assert alcohol.real_attenuation(original, final) < alcohol.apparent_attenuation_of_extract(
        original, final
    )


@given(originals, attenuations)
def test_final_gravity_and_apparent_attenuation_are_inverse(original, attenuation):
    final = alcohol.final_gravity(original, attenuation)
    assert alcohol.apparent_attenuation(original, final) == pytest.approx(attenuation, abs=1e-9)


def test_beer_lighter_than_water_is_accepted():
    assert alcohol.alcohol_by_volume(1.050, 0.995) > alcohol.alcohol_by_volume(1.050, 1.000)
    assert alcohol.apparent_attenuation(1.050, 0.995) > 1.0


@pytest.mark.parametrize(
    "refused",
    [
        lambda: alcohol.alcohol_by_volume(1.050, 1.051),
        lambda: alcohol.alcohol_by_volume(50.0, 10.0),
        lambda: alcohol.alcohol_by_volume(0.999, 0.995),
        lambda: alcohol.apparent_attenuation(1.000, 1.000),
        lambda: alcohol.apparent_attenuation_of_extract(1.000, 1.000),
        lambda: alcohol.real_attenuation(1.000, 1.000),
        lambda: alcohol.final_gravity(1.050, 75.0),
        lambda: alcohol.real_extract_plato(12.0, 13.0),
        lambda: alcohol.alcohol_by_mass(12.0, float("nan")),
    ],
)
def test_gravities_that_no_beer_has_are_refused(refused):
    with pytest.raises(OutOfRangeError):
        refused()
