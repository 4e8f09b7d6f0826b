import pytest
from hypothesis import given
from hypothesis import strategies as st

from wortwright.planning.cellar.kegs import keg_carbonation, keg_pressure


@given(st.floats(1.8, 5.0), st.floats(0.0, 20.0))
def test_pressure_and_carbonation_are_inverse(carbonation, temperature_c):
    made = keg_pressure(carbonation, temperature_c)
    assert keg_carbonation(made.pressure_bar, temperature_c).carbonation == pytest.approx(
        carbonation
    )


def test_beer_that_would_lose_gas_needs_no_pressure():
    assert keg_pressure(0.3, 20.0).pressure_bar == 0.0


def test_a_high_pressure_is_doubted_and_every_keg_carries_its_cautions():
    high, usual = keg_pressure(4.0, 20.0), keg_pressure(2.4, 4.0)
    assert [found.code for found in high.warnings] == ["high_keg_pressure"]
    assert usual.warnings == ()
    assert {each.code for each in usual.cautions} == {"co2_cylinder", "glass"}
