"""Balances worked out apart from this code, and what was measured; named at each."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from published.mash_by_steps import Wort
from wortwright.brewing.mash_water import (
    EXTRACT_VOLUME_L_PER_KG,
    apparent_absorption_l_per_kg,
    conversion_from_first_wort,
    mash_volume_l,
    mash_wort_l,
    strike_water_l,
)

loads = st.floats(0.05, 0.6)
absorptions = st.floats(0.4, 1.8)
volumes = st.floats(5.0, 200.0)


def test_conversion_from_the_first_wort_gives_the_check_case():
    # Stirred mash of 5 kg (0.77 kg/kg) in 20 L of water at 15.20 degP (1.062).
    conversion = conversion_from_first_wort(15.20, 20.0, 5.0, 0.77)
    assert conversion == pytest.approx(0.9298, rel=5e-4)


@pytest.mark.parametrize(
    ("water_l_per_kg", "plato"),
    [(2.5, 23.58), (3.0, 20.45), (3.5, 18.06), (4.0, 16.17), (5.0, 13.37), (6.0, 11.39)],
)
def test_a_full_conversion_gives_the_derived_first_wort(water_l_per_kg, plato):
    # Yield 0.77; a balance of masses.
    assert conversion_from_first_wort(plato, water_l_per_kg, 1.0, 0.77) == pytest.approx(
        1.0, abs=1.5e-3
    )


def test_grain_displaces_what_palmer_measured():
    # Palmer, Homebrew Digest 1792 (1995): 1 lb of grain and 1 US qt of water fill 42 US fl oz.
    quart_l, ounce_l, pound_kg = 0.946353, 0.0295735, 0.453592
    assert mash_volume_l(quart_l, pound_kg) == pytest.approx(42.0 * ounce_l, abs=1e-4)
    assert mash_volume_l(31.0, 6.0, 0.65) == pytest.approx(34.90, abs=0.005)


@given(loads, volumes, absorptions)
def test_water_in_and_swelling_are_wort_out_and_wort_held(load, preboil, held):
    grain, yield_, conversion = load * preboil, 0.77, 0.93
    apparent = apparent_absorption_l_per_kg(held, yield_, conversion)
    water = strike_water_l(preboil, grain, apparent, 0.7)
    swollen = mash_wort_l(water, grain * yield_ * conversion)
    assert swollen == pytest.approx(preboil + held * grain + 0.7, rel=1e-9)


@pytest.mark.parametrize("plato", [5.0, 10.0, 15.0, 20.0, 25.0, 30.0])
def test_extract_adds_the_volume_by_which_sucrose_swells_water(plato):
    extract = plato / (100.0 - plato)
    swelling = (Wort(1.0, extract).litres - Wort(1.0, 0.0).litres) / extract
    assert swelling == pytest.approx(EXTRACT_VOLUME_L_PER_KG, abs=0.0031)
