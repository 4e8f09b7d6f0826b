"""A bed of stirred tanks against small steps of washing, its limits, and its slopes."""

import math

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from wortwright.brewing.continuous_sparge import (
    continuous_sparge_efficiency,
    continuous_sparge_slopes,
    unwashed_share,
)
from wortwright.brewing.lautering import no_sparge_efficiency


@pytest.mark.parametrize(
    ("tanks", "bypass", "expected"), [(1, 0.0, 0.9137), (3, 0.0, 0.9753), (3, 0.2, 0.8843)]
)
def test_continuous_sparge_gives_the_check_case(tanks, bypass, expected):
    # 6 kg of 0.77 kg/kg in 18 L of mash water (0.616 L per kg of extract), 28 L collected,
    # 1.5 L/kg held and 1 L of dead space.
    wort = 18.0 + 0.616 * 6.0 * 0.77
    found = continuous_sparge_efficiency(wort, 28.0, 10.0, bypass, tanks=tanks)
    assert found == pytest.approx(expected, abs=5e-5)


def test_sparging_in_tanks_agrees_with_washing_them_in_small_steps():
    contents, steps = [1.0, 1.0, 1.0], 200_000
    for _ in range(steps):
        moved = [3.0 * 1.7 / steps * each for each in contents]
        contents = [
            c - out + into for c, out, into in zip(contents, moved, [0.0, *moved], strict=False)
        ]
    assert sum(contents) / 3.0 == pytest.approx(unwashed_share(1.7), rel=1e-4)


@given(st.floats(0.5, 1.0), st.floats(0.0, 0.9))
def test_a_mash_that_fills_the_kettle_leaves_no_sparge(excess, bypass):
    wort = 25.0 + 12.0 + excess
    found = continuous_sparge_efficiency(wort, 25.0, 12.0, bypass)
    assert found == pytest.approx(no_sparge_efficiency(25.0, 12.0), rel=1e-12)


@given(st.floats(0.0, 6.0), st.integers(1, 6))
def test_tanks_in_series_wash_between_stirring_and_plug_flow(displacements, tanks):
    share = unwashed_share(displacements, tanks)
    assert max(0.0, 1.0 - displacements) - 1e-12 <= share
    assert share <= (1.0 if displacements == 0 else math.exp(-displacements) + 1e-12) or tanks > 1
    assert unwashed_share(displacements, tanks + 1) <= share + 1e-12


@given(
    wort=st.floats(15.0, 60.0),
    retained=st.floats(3.0, 18.0),
    bypass=st.floats(0.0, 0.6),
    washing=st.floats(0.5, 1.4),
)
@example(wort=37.5, retained=10.0, bypass=0.2, washing=1.0)  # half a litre of sparge
def test_the_continuous_slopes_are_the_slopes(wort, retained, bypass, washing):
    at = (wort, 28.0, retained, bypass, washing)
    if abs(28.0 + retained - wort) < 0.05:
        return  # the kink where the sparge ends
    slopes = continuous_sparge_slopes(*at)
    for slope, position in zip(slopes, (0, 2, 3, 4), strict=True):
        ends = []
        for step in (1e-4, -1e-4):
            moved = list(at)
            moved[position] += step
            ends.append(continuous_sparge_efficiency(*moved))
        assert slope == pytest.approx((ends[0] - ends[1]) / 2e-4, rel=1e-3, abs=1e-6)
