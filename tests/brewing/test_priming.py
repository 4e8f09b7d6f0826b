import pytest
from hypothesis import given
from hypothesis import strategies as st

from wortwright.brewing.priming import (
    PrimingSugar,
    extract_left_g_per_l,
    priming_sugar_g,
    volumes_from_fermentables,
    volumes_from_sugar,
)
from wortwright.brewing.tables.packaging import co2_g_per_g

sugars = st.sampled_from(list(PrimingSugar))


@pytest.mark.parametrize(
    ("sugar", "formula", "molecules"),
    [("sucrose", "C12H22O11", 4), ("glucose", "C6H12O6", 2), ("glucose_monohydrate", "C6H14O7", 2)],
)
def test_gas_of_a_sugar_follows_from_its_formula(sugar, formula, molecules):
    periodictable = pytest.importorskip("periodictable")
    gas = molecules * periodictable.formula("CO2").mass
    expected = gas / periodictable.formula(formula).mass
    assert co2_g_per_g(PrimingSugar(sugar)) == pytest.approx(expected, abs=1e-4)


@given(st.floats(1.0, 100.0), st.floats(0.0, 6.0), st.floats(0.0, 6.0), sugars)
def test_sugar_fills_the_gap_and_is_never_negative(volume_l, target, residual, sugar):
    mass_g = priming_sugar_g(volume_l, target, residual, sugar)
    assert mass_g >= 0.0
    gained = volumes_from_sugar(mass_g, volume_l, sugar)
    assert residual + gained == pytest.approx(max(target, residual))


@given(st.floats(1.0, 50.0), st.floats(0.1, 10.0), sugars)
def test_sugar_scales_with_the_beer_primed(volume_l, factor, sugar):
    one, other = (priming_sugar_g(each, 2.4, 0.85, sugar) for each in (volume_l, factor * volume_l))
    assert other == pytest.approx(factor * one)


@given(st.floats(1.0, 1.05), st.floats(0.001, 0.03), st.floats(0.001, 0.02))
def test_more_left_gives_more_gas(final, left, more):
    few, many = (volumes_from_fermentables(final + each, final) for each in (left, left + more))
    assert many > few > 0.0


@given(st.floats(0.995, 1.03), st.integers(1, 20))
def test_a_point_left_is_nearly_half_a_volume(final, points):
    per_point = volumes_from_fermentables(final + 0.001 * points, final) / points
    assert 0.47 < per_point < 0.50


def test_beer_below_its_final_gravity_has_nothing_left():
    assert extract_left_g_per_l(1.008, 1.010) == 0.0
