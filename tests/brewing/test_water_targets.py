import pytest
from hypothesis import given
from hypothesis import strategies as st

from wortwright.brewing.alkalinity import residual_alkalinity_meq_l
from wortwright.brewing.errors import OutOfRangeError
from wortwright.brewing.ions import CONTENTS, Water
from wortwright.brewing.water_targets import IonTarget, balance_wishes, ion_wishes, misses


def test_only_named_ions_are_wished_for():
    wishes = ion_wishes(IonTarget(calcium_mg_l=100.0, sulfate_mg_l=0.0))
    assert [wish.name for wish in wishes] == ["calcium_mg_l", "sulfate_mg_l"]


def test_a_miss_is_relative_but_not_to_almost_nothing():
    wishes = ion_wishes(IonTarget(calcium_mg_l=100.0, sodium_mg_l=0.0))
    assert misses(Water(calcium_mg_l=110.0, sodium_mg_l=5.0), wishes) == pytest.approx((0.1, 0.5))


@given(st.builds(Water, *(st.floats(0.0, 80.0) for _ in CONTENTS)))
def test_a_water_misses_nothing_of_itself(water):
    target = IonTarget(**{name: getattr(water, name) for name in CONTENTS})
    assert misses(water, ion_wishes(target)) == (0.0,) * len(CONTENTS)


def test_a_balance_is_met_by_ratio_residual_alkalinity_and_calcium():
    water = Water(calcium_mg_l=70.0, chloride_mg_l=60.0, sulfate_mg_l=120.0, alkalinity_meq_l=1.5)
    wishes = balance_wishes(2.0, residual_alkalinity_meq_l(water))
    assert misses(water, wishes) == pytest.approx((0.0,) * len(wishes), abs=1e-12)


@pytest.mark.parametrize(
    ("change", "missed"),
    [
        ({"sulfate_mg_l": 150.0}, "sulfate_to_chloride"),
        ({"alkalinity_meq_l": 2.5}, "residual_alkalinity"),
        ({"calcium_mg_l": 30.0}, "least_calcium"),
        ({"magnesium_mg_l": 60.0}, "most_magnesium_mg_l"),
    ],
)
def test_each_wish_of_a_balance_can_be_missed(change, missed):
    met = {"calcium_mg_l": 70.0, "chloride_mg_l": 60.0, "sulfate_mg_l": 120.0}
    wishes = balance_wishes(2.0, residual_alkalinity_meq_l(Water(**met)))
    water = Water(**{**met, **change})
    assert dict(zip([wish.name for wish in wishes], misses(water, wishes), strict=True))[missed]


def test_an_excess_of_calcium_below_its_ceiling_is_no_miss():
    one, other = (Water(calcium_mg_l=value) for value in (60.0, 140.0))
    (row,) = (wish for wish in balance_wishes(2.0, 0.0) if wish.name == "least_calcium")
    assert misses(one, (row,)) == misses(other, (row,)) == (0.0,)


def test_a_negative_ion_is_refused():
    with pytest.raises(OutOfRangeError):
        ion_wishes(IonTarget(sodium_mg_l=-1.0))
