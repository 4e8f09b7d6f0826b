import pytest
from hypothesis import given
from hypothesis import strategies as st

from wortwright.brewing import colour
from wortwright.brewing.errors import OutOfRangeError

colours = st.floats(0.0, 2000.0)


@given(colours)
def test_srm_and_ebc_are_inverse(ebc):
    assert colour.ebc_from_srm(colour.srm_from_ebc(ebc)) == pytest.approx(ebc, rel=1e-12)


@given(colours)
def test_lovibond_and_ebc_are_inverse(ebc):
    assert colour.ebc_from_lovibond(colour.lovibond_from_ebc(ebc)) == pytest.approx(
        ebc, rel=1e-12, abs=1e-12
    )


@given(st.floats(0.0, 700.0), st.floats(1e-6, 1.0))
def test_lovibond_is_one_rising_scale_without_a_step(lovibond, more):
    rise = colour.ebc_from_lovibond(lovibond + more) - colour.ebc_from_lovibond(lovibond)
    assert 1.97 * more * 0.999 <= rise <= 2.65 * more * 1.001


def test_nothing_is_as_pale_as_no_colour_on_every_scale():
    assert colour.ebc_from_lovibond(0.0) == 0.0
    assert colour.ebc_from_srm(0.0) == 0.0
    assert colour.beer_colour_ebc(0.0) == 0.0


@given(
    st.lists(st.tuples(st.floats(0.0, 20.0), colours), min_size=1, max_size=6),
    st.floats(1.0, 100.0),
)
def test_doubling_grist_and_volume_keeps_the_colour(lines, volume_l):
    masses, colours_ebc = zip(*lines, strict=True)
    doubled = colour.malt_colour_units([2.0 * m for m in masses], colours_ebc, 2.0 * volume_l)
    assert doubled == pytest.approx(
        colour.malt_colour_units(masses, colours_ebc, volume_l), rel=1e-12
    )


@given(st.floats(0.0, 500.0), st.floats(0.01, 10.0))
def test_more_malt_colour_makes_a_darker_beer(mcu, more):
    assert colour.beer_colour_ebc(mcu + more) > colour.beer_colour_ebc(mcu)


@pytest.mark.parametrize("volume_l", [0.0, -1.0])
def test_no_volume_is_refused(volume_l):
    with pytest.raises(OutOfRangeError):
        colour.malt_colour_units([5.0], [6.0], volume_l)


def test_negative_malt_colour_is_refused():
    with pytest.raises(OutOfRangeError):
        colour.beer_colour_ebc(-0.1)
