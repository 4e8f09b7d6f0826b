from math import sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wortwright.brewing.errors import OutOfRangeError
from wortwright.brewing.starter import (
    MOST_GROWTH,
    NoStarterNeededError,
    StarterMethod,
    starter_steps,
    still_growth_factor,
    stirred_growth_factor,
)

GROWTH = {StarterMethod.STILL: still_growth_factor, StarterMethod.STIRRED: stirred_growth_factor}
methods = st.sampled_from(list(StarterMethod))


@pytest.mark.parametrize(
    ("cells_per_g", "grown_per_g"),
    [(1.0, 1.4), (1.4, 1.4), (1.45, 1.3585), (2.0, 0.99), (3.5, 0.0), (4.0, 0.0)],
)
def test_a_stirred_starter_grows_as_printed(cells_per_g, grown_per_g):
    # K. Troester 2012, billions of cells per gram of extract
    factor = stirred_growth_factor(1e9 * cells_per_g * 100.0, 1.0)
    assert (factor - 1.0) * cells_per_g == pytest.approx(grown_per_g, abs=1e-9)


@given(st.floats(1e10, 5e11), st.floats(0.2, 5.0), methods)
def test_more_wort_never_grows_fewer_cells(cells, volume_l, method):
    grow = GROWTH[method]
    assert grow(cells, 1.1 * volume_l) >= grow(cells, volume_l) - 1e-12


@settings(max_examples=60, deadline=None)
@given(st.floats(5e9, 2e11), st.floats(1.05, 40.0), methods)
def test_the_steps_grow_the_cells_at_hand_to_the_cells_wanted(cells, growth, method):
    steps = starter_steps(cells, growth * cells, method)
    at_hand = cells
    for step in steps:
        assert step.cells_before == pytest.approx(at_hand)
        at_hand = step.cells_before * GROWTH[method](step.cells_before, step.volume_l)
        assert step.cells_after == pytest.approx(at_hand, rel=1e-6)
        assert at_hand / step.cells_before <= MOST_GROWTH[method] * (1.0 + 1e-6)
        assert step.extract_g == pytest.approx(100.0 * step.volume_l)
    assert at_hand == pytest.approx(growth * cells, rel=1e-6)


def test_growth_above_sixfold_takes_two_stirred_steps():
    assert len(starter_steps(2e10, 1.1e11, StarterMethod.STIRRED)) == 1
    assert len(starter_steps(2e10, 1.3e11, StarterMethod.STIRRED)) == 2


def test_the_growth_of_one_step_takes_one_step():
    assert len(starter_steps(1e10, 6e10, StarterMethod.STIRRED)) == 1


@pytest.mark.parametrize(
    ("few", "many", "between"),
    [(25.0, 50.0, 2.405), (50.0, 100.0, 1.785), (100.0, 200.0, 1.32), (200.0, 300.0, 1.06)],
)
def test_a_still_starter_grows_by_the_mean_of_two_printed_points_half_way_between(
    few, many, between
):
    # C. White and J. Zainasheff, Yeast, 2010, fig. 5.5 (quoted): 2.76, 2.05, 1.52, 1.12; half way
    # in the logarithm, as an inoculation doubles.
    half_way = sqrt(few * many) * 1e9
    assert still_growth_factor(half_way, 1.0) == pytest.approx(between, abs=1e-9)


@pytest.mark.parametrize("wanted", [5e10, 1e11])
def test_enough_cells_need_no_starter(wanted):
    with pytest.raises(NoStarterNeededError):
        starter_steps(1e11, wanted, StarterMethod.STILL)


def test_a_starter_grows_cells_a_thousandfold_and_no_more():
    assert len(starter_steps(1e9, 1e12, StarterMethod.STIRRED)) == 4
    with pytest.raises(OutOfRangeError):
        starter_steps(1e9, 1.02e12, StarterMethod.STIRRED)


@pytest.mark.parametrize("cells", [0.0, -1.0, 1e6])
def test_a_starter_from_nothing_is_refused(cells):
    with pytest.raises(OutOfRangeError):
        starter_steps(cells, 2e11, StarterMethod.STIRRED)
