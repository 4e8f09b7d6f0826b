import pytest
from hypothesis import given
from hypothesis import strategies as st

from wortwright.brewing import boil
from wortwright.brewing.errors import OutOfRangeError
from wortwright.brewing.gravity import extract_kg

volumes = st.floats(5.0, 200.0)


@given(volumes, st.floats(0.5, 2.0), st.floats(1.001, 1.060))
def test_extract_is_conserved_through_boil_and_dilution(from_l, ratio, gravity):
    to_l = from_l * ratio
    after = boil.gravity_after_boil(gravity, from_l, to_l)
    assert extract_kg(to_l, after) == pytest.approx(extract_kg(from_l, gravity), rel=1e-9)


@given(volumes, st.floats(0.0, 0.8), st.floats(0.5, 20.0))
def test_boil_time_reaches_the_volume_asked_for(pre_l, share, rate):
    post_l = pre_l * (1.0 - share)
    minutes = boil.boil_time_min(pre_l, post_l, rate)
    assert boil.post_boil_volume_l(pre_l, rate, minutes) == pytest.approx(post_l, rel=1e-9)


@given(volumes, st.floats(1.001, 1.100))
def test_no_boil_changes_nothing(volume_l, gravity):
    assert boil.post_boil_volume_l(volume_l, 3.5, 0.0) == volume_l
    assert boil.gravity_after_boil(gravity, volume_l, volume_l) == pytest.approx(gravity, abs=1e-9)


def test_hops_keep_back_six_millilitres_a_gram_as_pellets_and_eight_whole():
    assert boil.kettle_hop_absorption_l(0.100, 0.0) == pytest.approx(0.6, rel=1e-12)
    assert boil.kettle_hop_absorption_l(0.0, 0.100) == pytest.approx(0.8, rel=1e-12)


@pytest.mark.parametrize(
    "refused",
    [
        lambda: boil.post_boil_volume_l(5.0, 5.0, 60.0),
        lambda: boil.post_boil_volume_l(30.0, -1.0, 60.0),
        lambda: boil.post_boil_volume_l(30.0, 3.0, -60.0),
        lambda: boil.boil_time_min(30.0, 31.0, 3.0),
        lambda: boil.boil_time_min(30.0, 25.0, 0.0),
        lambda: boil.gravity_after_boil(1.080, 30.0, 10.0),
        lambda: boil.gravity_after_boil(1.080, 30.0, 0.0),
    ],
)
def test_what_a_boil_cannot_do_is_refused(refused):
    with pytest.raises(OutOfRangeError):
        refused()
