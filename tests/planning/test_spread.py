import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wortwright.planning.plan import Forecast
from wortwright.planning.spread import Uncertain, spread

widths = st.floats(0.01, 5.0)


def around(mean, width):
    return Forecast(mean, mean - width, mean + width)


@given(st.floats(-9.0, 9.0), widths, widths, widths)
def test_independent_errors_add_as_squares(mean, one, two, three):
    made = spread(sum, [around(mean, one), around(2.0, two), around(0.0, three)])
    half = math.hypot(one, two, three)
    assert made.mean == pytest.approx(mean + 2.0)
    assert made.high_80 - made.mean == pytest.approx(half)
    assert made.mean - made.low_80 == pytest.approx(half)


def test_what_only_moves_one_way_widens_one_side():
    made = spread(lambda values: values[0] ** 2, [around(0.0, 3.0)])
    assert (made.low_80, made.mean, made.high_80) == (0.0, 0.0, 9.0)


def test_certain_numbers_leave_no_interval():
    made = spread(sum, [around(1.0, 0.0), around(2.0, 0.0)])
    assert (made.low_80, made.mean, made.high_80) == (3.0, 3.0, 3.0)


def test_eighty_per_cent_of_a_normal_lie_within_1_28_deviations():
    made = Uncertain(10.0, 2.0).forecast()
    assert made.high_80 == pytest.approx(10.0 + 2.0 * 1.28155, abs=1e-4)
