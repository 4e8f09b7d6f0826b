import pytest
from hypothesis import given
from hypothesis import strategies as st

from wortwright.brewing.errors import OutOfRangeError
from wortwright.brewing.oxygen import (
    head_space_oxygen_mg_l,
    oxygen_in_air_mg_l,
    oxygen_in_water_mg_l,
    oxygen_wanted,
)
from wortwright.brewing.tables.yeast import YeastKind


@pytest.mark.parametrize(
    ("kind", "gravity", "least", "most"),
    [
        ("ale", 1.040, 8.0, 12.0),
        ("ale", 1.060, 8.0, 12.0),
        ("lager", 1.048, 10.0, 15.0),
        ("ale", 1.095, 12.0, 15.0),
    ],
)
def test_oxygen_lies_in_the_range_of_the_kind(kind, gravity, least, most):
    assert least <= oxygen_wanted(YeastKind(kind), gravity, 20.0).wanted_mg_l <= most


@given(st.floats(1.0, 1.17), st.floats(0.0, 0.02), st.sampled_from(list(YeastKind)))
def test_a_stronger_wort_never_wants_less_and_air_gives_it_less(gravity, more, kind):
    weak, strong = (oxygen_wanted(kind, each, 20.0) for each in (gravity, gravity + more))
    assert strong.wanted_mg_l >= weak.wanted_mg_l
    assert strong.air_can_give_mg_l <= weak.air_can_give_mg_l


def test_air_gives_about_eight_milligrams_in_usual_wort_and_no_more_than_weak_ale_wants():
    usual = oxygen_wanted(YeastKind.ALE, 1.048, 20.0)
    assert usual.air_can_give_mg_l == pytest.approx(8.0, abs=0.1)
    assert oxygen_wanted(YeastKind.LAGER, 1.060, 12.0).needs_pure_oxygen
    assert not oxygen_wanted(YeastKind.ALE, 1.030, 15.0).needs_pure_oxygen


def test_a_strong_wort_gets_a_second_dose_and_fresh_dry_yeast_none_at_all():
    assert oxygen_wanted(YeastKind.ALE, 1.090, 20.0).second_dose
    dry = oxygen_wanted(YeastKind.ALE, 1.090, 20.0, first_pitch_dry=True)
    assert (dry.wanted_mg_l, dry.second_dose, dry.needs_pure_oxygen) == (0.0, False, False)


@given(st.floats(0.0, 39.0))
def test_warm_water_and_warm_air_hold_less(temperature_c):
    assert oxygen_in_water_mg_l(temperature_c + 1.0) < oxygen_in_water_mg_l(temperature_c)
    assert oxygen_in_air_mg_l(temperature_c + 1.0) < oxygen_in_air_mg_l(temperature_c)


@pytest.mark.parametrize(("head_l", "beer_l", "expected"), [(4.0, 15.0, 72.6), (0.015, 0.5, 8.17)])
def test_air_above_beer_by_hand(head_l, beer_l, expected):
    # 272.2 mg per litre of moist air at 20 degC, ideal gas by hand
    assert head_space_oxygen_mg_l(head_l, beer_l, 20.0) == pytest.approx(expected, rel=1e-3)


def test_a_vessel_filled_to_the_neck_takes_up_nothing():
    assert head_space_oxygen_mg_l(0.0, 10.0, 20.0) == 0.0


def test_oxygen_without_beer_is_refused():
    with pytest.raises(OutOfRangeError):
        head_space_oxygen_mg_l(1.0, 0.0, 20.0)
