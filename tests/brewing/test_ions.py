import pytest
from hypothesis import given
from hypothesis import strategies as st

from wortwright.brewing.ions import (
    CATIONS,
    CHARGE,
    CONTENTS,
    MOLAR_MASS_G_PER_MOL,
    PURE_WATER,
    Water,
    charge_imbalance_percent,
    combine,
)

waters = st.builds(Water, *(st.floats(0.0, 500.0) for _ in CONTENTS))

FORMULA = {
    "calcium": "Ca",
    "magnesium": "Mg",
    "sodium": "Na",
    "potassium": "K",
    "chloride": "Cl",
    "sulfate": "SO4",
    "nitrate": "NO3",
    "bicarbonate": "HCO3",
    "carbonate": "CO3",
    "hydroxide": "OH",
    "water": "H2O",
    "calcium_carbonate": "CaCO3",
}


@pytest.mark.parametrize("ion", MOLAR_MASS_G_PER_MOL)
def test_molar_masses_agree_with_periodictable(ion):
    periodictable = pytest.importorskip("periodictable")
    expected = periodictable.formula(FORMULA[ion]).mass
    assert MOLAR_MASS_G_PER_MOL[ion] == pytest.approx(expected, abs=0.002)


def test_cations_are_positive_and_all_other_ions_negative():
    assert {ion for ion, charge in CHARGE.items() if charge > 0} == set(CATIONS)


def test_every_ion_with_a_charge_has_a_mass():
    assert set(CHARGE) < set(MOLAR_MASS_G_PER_MOL)


@given(waters, waters, st.floats(0.0, 1.0))
def test_mixing_two_waters_does_not_depend_on_their_order(one, other, share):
    assert combine([(one, share), (other, 1.0 - share)]) == combine(
        [(other, 1.0 - share), (one, share)]
    )


@given(waters)
def test_a_water_mixed_with_itself_is_itself(water):
    mixed = combine([(water, 0.25), (water, 0.75)])
    for name in CONTENTS:
        assert getattr(mixed, name) == pytest.approx(getattr(water, name), rel=1e-12)


@given(waters, st.floats(0.01, 1.0))
def test_dilution_with_pure_water_leaves_the_imbalance(water, share):
    diluted = combine([(water, share), (PURE_WATER, 1.0 - share)])
    expected = charge_imbalance_percent(water)
    assert charge_imbalance_percent(diluted) == pytest.approx(expected, abs=1e-9)


def test_a_forgotten_anion_shows_as_too_much_positive_charge():
    assert charge_imbalance_percent(Water(calcium_mg_l=100.0)) == 100.0


def test_pure_water_is_balanced():
    assert charge_imbalance_percent(PURE_WATER) == 0.0
