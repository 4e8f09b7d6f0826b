from math import hypot, sqrt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import nnls

from wortwright.brewing.alkalinity import alkalinity_from_species, residual_alkalinity_meq_l
from wortwright.brewing.ions import CONTENTS, PURE_WATER, Water
from wortwright.brewing.salt_doses import doses_for, treat
from wortwright.brewing.salts import UnknownSaltError, salt
from wortwright.brewing.water_targets import IonTarget, balance_wishes, ion_wishes, misses

NAMES = ("gypsum", "calcium chloride dihydrate", "epsom salt", "table salt", "baking soda")
AT_HAND = tuple(salt(name) for name in NAMES)
SOURCE = Water(60.0, 10.0, 25.0, 0.0, 40.0, 70.0, 0.0, alkalinity_from_species(150.0))
TARGET = ion_wishes(
    IonTarget(
        calcium_mg_l=100.0,
        magnesium_mg_l=10.0,
        sodium_mg_l=20.0,
        chloride_mg_l=80.0,
        sulfate_mg_l=150.0,
        alkalinity_meq_l=alkalinity_from_species(60.0),
    )
)
grams = st.lists(st.floats(0.0, 0.6), min_size=5, max_size=5)
waters = st.builds(Water, *(st.floats(0.0, 200.0) for _ in CONTENTS[:-1]), st.floats(0.0, 4.0))


def target_of(water):
    return ion_wishes(IonTarget(**{name: getattr(water, name) for name in CONTENTS}))


def test_the_worked_plan_with_two_fifths_of_the_source_kept():
    # 60 of 150 mg/L of bicarbonate wanted: 0.400 kept; nnls by hand gave g in 25 L
    diluted = treat(SOURCE, PURE_WATER, 0.4, ())
    found = doses_for(diluted, TARGET, AT_HAND)
    in_25_l = [25.0 * dose for dose in found.salts_g_per_l[:4]]
    assert in_25_l == pytest.approx([4.604, 2.630, 1.502, 0.613], rel=0.01)
    assert found.water.calcium_mg_l == pytest.approx(95.55, rel=0.01)
    assert found.miss**2 * 6 == pytest.approx(0.00335, rel=0.01)


def test_the_worked_plan_with_the_share_free():
    found = doses_for(SOURCE, TARGET, AT_HAND, PURE_WATER, tolerance=0.0)
    assert found.kept_share == pytest.approx(0.0917, abs=1e-4)
    assert found.salts_g_per_l == pytest.approx((0.200, 0.161, 0.0914, 0.0, 0.0643), abs=5e-4)
    assert found.miss**2 * 6 == pytest.approx(0.00263, rel=0.01)
    assert not found.reached


def test_the_doses_that_made_a_water_are_found_again():
    made = (0.20, 0.15, 0.08, 0.03, 0.10)
    water = treat(PURE_WATER, PURE_WATER, 1.0, tuple(zip(AT_HAND, made, strict=True)))
    assert water.calcium_mg_l == pytest.approx(87.45, abs=0.005)
    assert water.sulfate_mg_l == pytest.approx(142.77, abs=0.005)
    found = doses_for(PURE_WATER, target_of(water), AT_HAND)
    assert found.salts_g_per_l == pytest.approx(made, abs=1e-9)
    assert found.miss < 1e-9


@settings(deadline=None, max_examples=50)
@given(waters, grams)
def test_a_reachable_target_returns_exactly_its_doses(source, made):
    water = treat(source, PURE_WATER, 1.0, tuple(zip(AT_HAND, made, strict=True)))
    found = doses_for(source, target_of(water), AT_HAND, PURE_WATER)
    assert found.kept_share == 1.0
    assert found.salts_g_per_l == pytest.approx(made, abs=1e-6)
    assert found.reached


@settings(deadline=None, max_examples=30)
@given(grams, st.floats(0.2, 0.95))
def test_a_target_made_by_dilution_returns_its_share_and_doses(made, share):
    water = treat(SOURCE, PURE_WATER, share, tuple(zip(AT_HAND, made, strict=True)))
    found = doses_for(SOURCE, target_of(water), AT_HAND, PURE_WATER, tolerance=1e-7)
    for name in CONTENTS:
        assert getattr(found.water, name) == pytest.approx(getattr(water, name), abs=0.01)


@settings(deadline=None, max_examples=50)
@given(waters, waters)
def test_doses_are_never_negative_nor_above_their_cap_and_no_ion_falls_by_salt(source, target):
    found = doses_for(source, target_of(target), AT_HAND)
    for each, dose in zip(AT_HAND, found.salts_g_per_l, strict=True):
        assert 0.0 <= dose <= each.most_g_per_l
    for name in CONTENTS:
        assert getattr(found.water, name) >= getattr(source, name) - 1e-9


@settings(deadline=None, max_examples=30)
@given(waters, waters)
def test_no_more_is_diluted_than_the_tolerance_asks(source, target):
    wishes = target_of(target)
    found = doses_for(source, wishes, AT_HAND, PURE_WATER)
    assert 0.0 <= found.kept_share <= 1.0
    if found.reached and found.kept_share < 1.0:
        # the best that hand-made least squares can do with a little less dilution misses
        assert best_miss(source, wishes, min(1.0, found.kept_share + 0.01)) > 0.05


def best_miss(source, wishes, kept):
    goals = np.array([wish.goal / wish.scale for wish in wishes])
    base = np.array(misses(treat(source, PURE_WATER, kept, ()), wishes)) + goals
    columns = []
    for each in AT_HAND:
        gram = treat(PURE_WATER, PURE_WATER, 1.0, ((each, 1.0),))
        columns.append(np.array(misses(gram, wishes)) + goals)
    _, residual = nnls(np.column_stack(columns), goals - base)
    return residual / sqrt(len(wishes))


def test_the_miss_is_of_the_water_that_comes_out():
    found = doses_for(SOURCE, TARGET, AT_HAND)
    assert found.miss == pytest.approx(hypot(*misses(found.water, TARGET)) / sqrt(6))


def test_nothing_wanted_changes_nothing():
    found = doses_for(SOURCE, (), AT_HAND, PURE_WATER)
    assert (found.water, found.kept_share, found.reached) == (SOURCE, 1.0, True)


def test_a_target_below_the_source_without_other_water_takes_no_salt():
    target = target_of(treat(SOURCE, PURE_WATER, 0.5, ()))
    found = doses_for(SOURCE, target, AT_HAND)
    assert found.salts_g_per_l == pytest.approx((0.0,) * 5, abs=1e-9)
    assert not found.reached


def test_gypsum_stays_below_what_dissolves():
    target = ion_wishes(IonTarget(calcium_mg_l=1500.0, sulfate_mg_l=3500.0))
    found = doses_for(PURE_WATER, target, (salt("gypsum"),))
    assert found.salts_g_per_l == (2.0,)
    assert not found.reached


@pytest.mark.parametrize(("ratio", "residual"), [(2.0, 0.5), (1.0, 2.0), (0.5, 0.6)])
def test_a_balance_is_reached(ratio, residual):
    found = doses_for(SOURCE, balance_wishes(ratio, residual), AT_HAND, PURE_WATER, tolerance=0.01)
    assert found.reached
    reached = found.water.sulfate_mg_l / found.water.chloride_mg_l
    assert reached == pytest.approx(ratio, rel=0.1)
    assert residual_alkalinity_meq_l(found.water) == pytest.approx(residual, abs=0.1)
    assert found.water.calcium_mg_l > 49.0


@pytest.mark.parametrize("name", ["chalk", "slaked lime"])
def test_chalk_and_lime_are_no_salts_for_water(name):
    with pytest.raises(UnknownSaltError, match="mash"):
        doses_for(SOURCE, TARGET, (salt(name),))


def test_nothing_wanted_takes_no_salt_and_misses_nothing():
    found = doses_for(SOURCE, (), AT_HAND, PURE_WATER)
    assert (found.kept_share, found.salts_g_per_l, found.miss) == (1.0, (0.0,) * 5, 0.0)


def test_two_waters_are_mixed_by_the_lever_rule():
    hard, soft = (Water(calcium_mg_l=20.0 * meq, alkalinity_meq_l=meq) for meq in (4.0, 1.0))
    wanted = ion_wishes(IonTarget(calcium_mg_l=50.0, alkalinity_meq_l=2.5))
    found = doses_for(hard, wanted, (), soft, tolerance=0.0)
    assert found.kept_share == pytest.approx(0.5, abs=1e-6)
    assert doses_for(hard, wanted, (), soft, tolerance=0.05).reached


def test_what_dilution_would_take_away_from_is_not_diluted():
    found = doses_for(
        Water(calcium_mg_l=50.0), ion_wishes(IonTarget(calcium_mg_l=100.0)), (), PURE_WATER
    )
    assert found.kept_share == pytest.approx(1.0, abs=1e-9)
    assert found.miss == pytest.approx(0.5, abs=1e-6)
    assert not found.reached


def test_calcium_above_its_least_costs_nothing():
    # 0.3 g/L of the dihydrate brings 144.69 mg/L of chloride and 81.8 mg/L of calcium.
    (least,) = (wish for wish in balance_wishes(1.0, 0.0) if wish.name == "least_calcium")
    wishes = (least, *ion_wishes(IonTarget(chloride_mg_l=144.69)))
    found = doses_for(PURE_WATER, wishes, (salt("calcium chloride dihydrate"),))
    assert found.salts_g_per_l == pytest.approx((0.3,), abs=1e-4)
