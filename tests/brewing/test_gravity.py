import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wortwright.brewing import gravity
from wortwright.brewing.errors import OutOfRangeError

gravities = st.floats(gravity.LOWEST_GRAVITY, gravity.HIGHEST_GRAVITY)
worts = st.floats(1.001, 1.150)
volumes = st.floats(0.1, 1000.0)


@given(gravities)
def test_plato_and_gravity_are_inverse(sg):
    assert gravity.gravity_from_plato(gravity.plato_from_gravity(sg)) == pytest.approx(sg, abs=1e-9)


@given(st.floats(-7.9, 42.0))
def test_gravity_and_plato_are_inverse(plato):
    assert gravity.plato_from_gravity(gravity.gravity_from_plato(plato)) == pytest.approx(
        plato, abs=1e-9
    )


@given(gravities)
def test_extract_per_litre_and_gravity_are_inverse(sg):
    extract = gravity.extract_kg_per_l(sg)
    assert gravity.gravity_from_extract_kg_per_l(extract) == pytest.approx(sg, abs=1e-9)


@given(volumes, gravities)
def test_extract_of_a_volume_and_its_gravity_are_inverse(volume_l, sg):
    extract = gravity.extract_kg(volume_l, sg)
    assert gravity.gravity_of_wort(extract, volume_l) == pytest.approx(sg, abs=1e-9)


@given(volumes, worts)
def test_volume_at_gravity_returns_the_volume_the_extract_came_from(volume_l, sg):
    extract = gravity.extract_kg(volume_l, sg)
    assert gravity.volume_at_gravity_l(extract, sg) == pytest.approx(volume_l, rel=1e-9)


@given(volumes, worts)
def test_doubling_the_volume_doubles_the_extract(volume_l, sg):
    assert gravity.extract_kg(2.0 * volume_l, sg) == pytest.approx(
        2.0 * gravity.extract_kg(volume_l, sg), rel=1e-12
    )


@given(gravities, gravities)
def test_plato_and_extract_rise_with_gravity(one, other):
    low, high = sorted((one, other))
    if high - low > 1e-9:
        assert gravity.plato_from_gravity(low) < gravity.plato_from_gravity(high)
        assert gravity.extract_kg_per_l(low) < gravity.extract_kg_per_l(high)


@given(st.floats(-100.0, 200.0))
def test_points_and_gravity_are_inverse(points):
    assert gravity.points_from_gravity(gravity.gravity_from_points(points)) == pytest.approx(
        points, abs=1e-9
    )


@pytest.mark.parametrize("sg", [gravity.LOWEST_GRAVITY, gravity.HIGHEST_GRAVITY])
@given(volume_l=volumes)
def test_the_ends_of_the_range_come_back(sg, volume_l):
    extract = gravity.extract_kg(volume_l, sg)
    assert gravity.gravity_of_wort(extract, volume_l) == pytest.approx(sg, abs=1e-9)
    extract_plato = gravity.plato_from_gravity(sg)
    assert gravity.gravity_from_plato(extract_plato) == pytest.approx(sg, abs=1e-9)


def test_sixty_five_points_are_one_point_oh_six_five():
    assert gravity.gravity_from_points(65.0) == pytest.approx(1.065, abs=1e-15)


def test_water_holds_no_extract():
    assert gravity.plato_from_gravity(1.0) == 0.0
    assert gravity.gravity_from_plato(0.0) == 1.0
    assert gravity.gravity_from_extract_kg_per_l(0.0) == 1.0


def test_beer_lighter_than_water_has_negative_apparent_extract():
    assert gravity.plato_from_gravity(0.990) < 0.0


@pytest.mark.parametrize("sg", [0.9699, 1.1901, math.nan, math.inf, 65.0])
def test_gravity_outside_the_range_is_refused_by_name(sg):
    with pytest.raises(OutOfRangeError) as refused:
        gravity.plato_from_gravity(sg)
    assert refused.value.quantity == "gravity"
    assert refused.value.accepted == "0.97 to 1.19 SG"


@pytest.mark.parametrize("plato", [-8.1, 42.5, math.nan])
def test_extract_outside_the_range_is_refused(plato):
    with pytest.raises(OutOfRangeError):
        gravity.gravity_from_plato(plato)


@pytest.mark.parametrize("volume_l", [0.0, -1.0, math.nan, math.inf])
def test_wort_without_a_volume_is_refused(volume_l):
    with pytest.raises(OutOfRangeError):
        gravity.gravity_of_wort(1.0, volume_l)


def test_more_extract_than_wort_can_hold_is_refused():
    with pytest.raises(OutOfRangeError):
        gravity.gravity_of_wort(20.0, 20.0)


def test_no_volume_of_extract_has_the_gravity_of_water():
    with pytest.raises(OutOfRangeError):
        gravity.volume_at_gravity_l(1.0, 1.0)
