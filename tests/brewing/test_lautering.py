"""Check figures are mass balances worked out apart from this code (wort volume by the density of
the Plato relation, 0.617 L per kg of extract); their inputs and the published statements that they
agree with are named at each."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wortwright.brewing.continuous_sparge import continuous_sparge_efficiency
from wortwright.brewing.gravity import gravity_from_extract_kg_per_l, plato_from_gravity
from wortwright.brewing.lautering import (
    batch_sparge_efficiency,
    batch_sparge_slope,
    equal_batch_sparge_efficiency,
    no_sparge_efficiency,
    no_sparge_grain_kg,
    retained_after_batch_sparge_l,
)
from wortwright.brewing.mash_water import (
    apparent_absorption_l_per_kg,
    mash_wort_l,
    sparge_water_l,
    strike_water_l,
    true_absorption_l_per_kg,
)

WATER_KG_PER_L = 0.998203
loads = st.floats(0.05, 0.6)
absorptions = st.floats(0.4, 1.8)
volumes = st.floats(5.0, 200.0)
dead_spaces = st.floats(0.0, 3.0)


def kg_per_l(gravity):
    """Extract by the printed inverse, P = 258.6 d / (1 + 227.1 d / 258.2)."""
    excess = gravity - 1.0
    plato = 258.6 * excess / (1.0 + 227.1 * excess / 258.2)
    return plato / 100.0 * gravity * WATER_KG_PER_L


def wort_volume_l(water_kg, extract_kg):
    """By the density of sucrose solutions, SG = 1 + P / (258.6 - 227.1 P / 258.2)."""
    plato = 100.0 * extract_kg / (water_kg + extract_kg)
    gravity = 1.0 + plato / (258.6 - plato * 227.1 / 258.2)
    return (water_kg + extract_kg) / (gravity * WATER_KG_PER_L)


def test_no_sparge_from_apparent_absorption_gives_the_check_case():
    # 5 kg of 0.77 kg/kg, conversion 0.95, 31 L of water, apparent absorption 0.60 L/kg.
    held = true_absorption_l_per_kg(0.60, 0.77, 0.95)
    assert held == pytest.approx(1.051, abs=0.0005)
    extract = 5.0 * 0.77 * 0.95
    wort = mash_wort_l(31.0, extract)
    assert wort == pytest.approx(33.25, abs=0.01)
    lauter = no_sparge_efficiency(28.0, 5.0 * held)
    assert lauter == pytest.approx(0.8420, rel=5e-4)
    assert 0.95 * lauter == pytest.approx(0.7999, rel=5e-4)
    # The same from the apparent figure alone: wort out over wort in the mash.
    assert lauter == pytest.approx((31.0 - 0.60 * 5.0) / wort, rel=1e-9)


def test_no_sparge_and_its_inverse_give_the_check_case():
    # 6 kg for 28 L, 1.0 L/kg held; 0.80 at this load needs 1.167 L/kg.
    assert no_sparge_efficiency(28.0, 6.0) == pytest.approx(0.8235, abs=5e-5)
    assert retained_after_batch_sparge_l(28.0, 1, 0.80) / 6.0 == pytest.approx(1.167, abs=5e-4)


@pytest.mark.parametrize(("runnings", "expected"), [(1, 0.7368), (2, 0.8264), (3, 0.8616)])
def test_equal_runnings_give_the_check_case(runnings, expected):
    # 6 kg for 28 L, 1.5 L/kg held and 1 L of dead space.
    assert equal_batch_sparge_efficiency(28.0, runnings, 10.0) == pytest.approx(expected, abs=5e-5)


def test_ever_more_runnings_approach_the_exponential_limit():
    assert equal_batch_sparge_efficiency(28.0, 100_000, 10.0) == pytest.approx(0.9392, abs=5e-5)


@pytest.mark.parametrize(
    ("runnings", "expected"),
    [((16.8, 11.2), 0.8240), ((18.0, 10.0), 0.8214), ((20.0, 8.0), 0.8148)],
)
def test_unequal_runnings_give_the_check_case(runnings, expected):
    assert batch_sparge_efficiency(runnings, 10.0) == pytest.approx(expected, abs=5e-5)


def test_batch_sparge_agrees_with_a_mass_balance_step_by_step():
    # 6 kg of 0.77 kg/kg fully converted, 1.5 L/kg held, 1 L of dead space, twice 14 L.
    extract, held = 6.0 * 0.77, 10.0
    apparent = apparent_absorption_l_per_kg(1.5, 0.77, 1.0)
    strike = strike_water_l(14.0, 6.0, apparent, 1.0)
    assert strike == pytest.approx(21.15, abs=0.01)
    assert sparge_water_l(28.0, strike, 6.0, apparent, 1.0) == pytest.approx(14.0, abs=1e-9)
    first_plato = 100.0 * extract / (extract + strike * WATER_KG_PER_L)
    assert first_plato == pytest.approx(17.96, abs=0.01)
    wort = wort_volume_l(strike * WATER_KG_PER_L, extract)
    first = extract * 14.0 / wort
    left = extract - first
    second = left * 14.0 / (14.0 + wort - 14.0)
    assert (first + second) / extract == pytest.approx(
        batch_sparge_efficiency((14.0, 14.0), held), rel=5e-4
    )
    gravity = gravity_from_extract_kg_per_l((first + second) / 28.0)
    assert gravity == pytest.approx(1.0525, abs=5e-5)
    assert plato_from_gravity(gravity) == pytest.approx(12.98, abs=0.02)


# Lauter efficiency in %, no dead space, yield 0.77: grain load; bag without sparge at 0.8, 1.0 and
# 1.2 L/kg held; bag dunked once at 1.0; tun of 1.5 L/kg with 1, 2, 3 equal runnings; the same tun
# sparged continuously (mash at 3 L/kg, three tanks, a fifth bypassed). Derived from the balances.
TABLE = """
0.10 92.6 90.9 89.3 97.2 87.0 94.7 97.0 91.4
0.15 89.3 87.0 84.7 94.7 81.6 90.4 93.5 91.3
0.20 86.2 83.3 80.6 91.8 76.9 85.9 89.4 90.5
0.25 83.3 80.0 76.9 88.9 72.7 81.6 85.2 87.5
0.30 80.6 76.9 73.5 85.9 69.0 77.6 81.0 82.2
0.35 78.1 74.1 70.4 83.0 65.6 73.8 77.1 75.5
0.40 75.8 71.4 67.6 80.2 62.5 70.2 73.4 68.7
0.45 73.5 69.0 64.9 77.6 59.7 67.0 70.0 62.6
"""


@pytest.mark.parametrize("row", TABLE.split("\n")[1:-1], ids=lambda row: f"load {row[:4]}")
def test_lauter_efficiency_gives_the_derived_table(row):
    load, *expected = map(float, row.split())
    batches = ((0.8, 1), (1.0, 1), (1.2, 1), (1.0, 2), (1.5, 1), (1.5, 2), (1.5, 3))
    found = [equal_batch_sparge_efficiency(1.0, n, held * load) for held, n in batches]
    wort = mash_wort_l(3.0 * load, 0.77 * load)
    found.append(continuous_sparge_efficiency(wort, 1.0, 1.5 * load, 0.2))
    *batch, continuous = (100.0 * each for each in found)
    assert batch == pytest.approx(expected[:-1], abs=0.051)
    # The last column rests on a slightly smaller swelling of the wort (about 0.605 L/kg).
    assert continuous == pytest.approx(expected[-1], abs=0.11)


def test_a_second_running_recovers_about_what_is_published():
    # Palmer, "Lautering Efficiency", Brew Your Own: one batch sparge with equal runnings
    # recovers "roughly 90 %". A tun of 1.5 L/kg at a load of 0.15 kg/L.
    assert equal_batch_sparge_efficiency(1.0, 2, 0.225) == pytest.approx(0.90, abs=0.01)


def test_sizing_a_brew_without_sparge_gives_the_check_case():
    # 28 L, conversion 0.93, yield 0.77, 1.1 L/kg held: 1.080 and 1.045 before the boil. The naive
    # brewer scales 1.080 with the efficiency of the weaker beer, 0.7632, and lands at 1.0702.
    strong_kg, usual_kg = 28.0 * kg_per_l(1.080), 28.0 * kg_per_l(1.045)
    strong = no_sparge_grain_kg(strong_kg, 28.0, 0.77, 0.93, 1.1)
    usual = no_sparge_grain_kg(usual_kg, 28.0, 0.77, 0.93, 1.1)
    assert strong_kg == pytest.approx(5.834, abs=0.0005)
    assert (strong, usual) == pytest.approx((11.98, 5.564), rel=5e-4)
    assert 0.93 * no_sparge_efficiency(28.0, 1.1 * strong) == pytest.approx(0.6323, abs=5e-5)
    naive = strong_kg / (0.77 * 0.7632)
    kettle = naive * 0.77 * 0.93 * no_sparge_efficiency(28.0, 1.1 * naive)
    assert kettle / 28.0 == pytest.approx(kg_per_l(1.0702), rel=1e-3)


@pytest.mark.parametrize(
    ("kg_per_l", "held"), [(0.7, 1.1), (0.75, 1.0)], ids=["beyond", "just out of reach"]
)
def test_a_gravity_beyond_the_grain_is_refused(kg_per_l, held):
    with pytest.raises(ValueError, match="beyond what this grain can give"):
        no_sparge_grain_kg(28.0 * kg_per_l, 28.0, 0.75, 1.0, held)


@given(loads, volumes, absorptions, dead_spaces, st.integers(1, 4))
def test_no_extract_is_lost_between_kettle_and_grain(load, preboil, held, dead, runnings):
    extract, retained = load * preboil * 0.7, held * load * preboil + dead
    strength, kettle = extract / (retained + preboil / runnings), 0.0
    for _ in range(runnings):
        kettle += strength * preboil / runnings
        strength = strength * retained / (retained + preboil / runnings)
    left = strength * (retained + preboil / runnings)
    assert kettle + left == pytest.approx(extract, rel=1e-9)
    found = equal_batch_sparge_efficiency(preboil, runnings, retained)
    assert kettle == pytest.approx(extract * found, rel=1e-9)


@given(loads, volumes, absorptions, dead_spaces, st.integers(1, 4))
def test_lauter_efficiency_falls_with_whatever_holds_more(load, preboil, held, dead, runnings):
    def lauter(load=load, held=held, dead=dead):
        return equal_batch_sparge_efficiency(preboil, runnings, held * load * preboil + dead)

    assert lauter(load=1.1 * load) < lauter()
    assert lauter(held=1.1 * held) < lauter()
    assert lauter(dead=dead + 0.5) < lauter()


@given(loads, volumes, absorptions, st.integers(1, 4), st.floats(0.05, 0.95))
def test_more_runnings_and_equal_ones_recover_more(load, preboil, held, runnings, share):
    retained = held * load * preboil
    equal = equal_batch_sparge_efficiency(preboil, runnings, retained)
    assert equal_batch_sparge_efficiency(preboil, runnings + 1, retained) > equal
    two = equal_batch_sparge_efficiency(preboil, 2, retained)
    split = (share * preboil, (1.0 - share) * preboil)
    assert batch_sparge_efficiency(split, retained) <= two + 1e-12


@given(loads, volumes, absorptions, dead_spaces, st.integers(1, 4), st.floats(0.0, 0.5))
def test_batch_size_alone_changes_no_lauter_efficiency(load, preboil, held, dead, runnings, bypass):
    retained = held * load * preboil + dead
    wort = 3.4 * load * preboil
    assert equal_batch_sparge_efficiency(2.0 * preboil, runnings, 2.0 * retained) == pytest.approx(
        equal_batch_sparge_efficiency(preboil, runnings, retained), rel=1e-12
    )
    assert continuous_sparge_efficiency(
        2.0 * wort, 2.0 * preboil, 2.0 * retained, bypass
    ) == pytest.approx(continuous_sparge_efficiency(wort, preboil, retained, bypass), rel=1e-12)


def test_a_vanishing_grain_bill_loses_nothing_but_the_dead_space():
    assert equal_batch_sparge_efficiency(25.0, 1, 1e-9) == pytest.approx(1.0, abs=1e-9)
    assert equal_batch_sparge_efficiency(25.0, 1, 1e-9 + 2.5) == pytest.approx(1.0 / 1.1, rel=1e-6)


@given(st.floats(3.0, 30.0), st.floats(1.0, 25.0), st.floats(0.5, 15.0))
def test_the_batch_slope_is_the_slope(first, second, retained):
    step = 1e-5 * retained
    rise = batch_sparge_efficiency((first, second), retained + step) - batch_sparge_efficiency(
        (first, second), retained - step
    )
    assert batch_sparge_slope((first, second), retained) == pytest.approx(
        rise / (2.0 * step), rel=1e-4, abs=1e-9
    )
