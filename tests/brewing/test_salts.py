import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from brewing.phreeqc import dissolve
from wortwright.brewing.ions import PURE_WATER, anions_meq_l, cations_meq_l, combine
from wortwright.brewing.salts import (
    UnknownSaltError,
    brought_by_g_per_l,
    molar_mass_g_per_mol,
    salt,
)
from wortwright.brewing.tables.salts import refused_salts, salts

ALL = salts()
doses = st.lists(st.floats(0.0, 2.0), min_size=len(ALL), max_size=len(ALL))


@pytest.mark.parametrize("each", ALL, ids=lambda each: each.key)
def test_molar_mass_of_the_formula_agrees_with_periodictable(each):
    periodictable = pytest.importorskip("periodictable")
    anhydrous, _, water = each.formula.partition(".")
    hydrate = int(re.match(r"\d*", water)[0] or 1) if water else 0
    expected = periodictable.formula(anhydrous).mass + hydrate * periodictable.formula("H2O").mass
    assert molar_mass_g_per_mol(each) == pytest.approx(expected, rel=1e-4)


@pytest.mark.parametrize("each", ALL, ids=lambda each: each.key)
def test_ions_and_crystal_water_make_up_the_formula_by_element(each):
    periodictable = pytest.importorskip("periodictable")
    ions = {"chloride": "Cl", "sulfate": "SO4", "bicarbonate": "HCO3", "carbonate": "CO3",
            "hydroxide": "OH", "water": "H2O", "calcium": "Ca", "magnesium": "Mg",
            "sodium": "Na", "potassium": "K"}  # fmt: skip
    counted = {}
    for ion, count in each.ions:
        for atom, number in periodictable.formula(ions[ion]).atoms.items():
            counted[atom] = counted.get(atom, 0) + count * number
    anhydrous, _, water = each.formula.partition(".")
    expected = dict(periodictable.formula(anhydrous).atoms)
    if water and not water.startswith("0"):
        hydrate = int(re.match(r"\d+", water)[0])
        for atom, number in periodictable.formula("H2O").atoms.items():
            expected[atom] = expected.get(atom, 0) + hydrate * number
    assert counted == expected


@given(doses)
def test_every_mixture_of_salts_is_balanced(grams):
    water = combine(
        [(brought_by_g_per_l(each), dose) for each, dose in zip(ALL, grams, strict=True)]
    )
    assert cations_meq_l(water) == pytest.approx(anions_meq_l(water), abs=1e-9)


SOLUBLE = {
    "gypsum": ("CaSO4", 172.164),
    "calcium_chloride_dihydrate": ("CaCl2", 147.008),
    "epsom_salt": ("MgSO4", 246.466),
    "table_salt": ("NaCl", 58.440),
    "baking_soda": ("NaHCO3", 84.006),
    "potassium_chloride": ("KCl", 74.548),
}


@settings(max_examples=10, deadline=None)
@given(st.lists(st.floats(0.02, 0.5), min_size=len(SOLUBLE), max_size=len(SOLUBLE)))
def test_ions_alkalinity_and_charge_agree_with_phreeqc(grams):
    asked = dict(zip(SOLUBLE, grams, strict=True))
    found, error_percent = dissolve(
        {formula: asked[key] / mass for key, (formula, mass) in SOLUBLE.items()}
    )
    water = combine(
        [(PURE_WATER, 1.0), *((brought_by_g_per_l(salt(key)), dose) for key, dose in asked.items())]
    )
    for name, expected in found.items():
        rel = 5e-3 if name == "alkalinity_meq_l" else 1e-3
        assert getattr(water, name) == pytest.approx(expected, rel=rel)
    imbalance = 100.0 * (cations_meq_l(water) - anions_meq_l(water)) / cations_meq_l(water)
    assert imbalance == pytest.approx(error_percent, abs=0.1)


@pytest.mark.parametrize(
    ("name", "key"),
    [
        ("gypsum", "gypsum"),
        ("CaSO4.2H2O", "gypsum"),
        ("CaSO4\N{MIDDLE DOT}2H2O", "gypsum"),
        ("Calcium chloride, dihydrate", "calcium_chloride_dihydrate"),
        ("CaCl2 * 2H2O", "calcium_chloride_dihydrate"),
        ("anhydrous calcium chloride", "calcium_chloride_anhydrous"),
        ("NaHCO3", "baking_soda"),
        ("pickling lime", "slaked_lime"),
    ],
)
def test_a_salt_is_found_by_exact_name_or_formula(name, key):
    assert salt(name).key == key


@pytest.mark.parametrize("name", ["calcium chloride", "CaCl2", "Calcium Chloride", "MgSO4"])
def test_a_salt_must_say_its_hydration(name):
    with pytest.raises(UnknownSaltError, match="crystallisation") as refused:
        salt(name)
    assert refused.value.name == name


@pytest.mark.parametrize("name", ["calcium fluoride", "CaF2", "Calcium_Fluoride"])
def test_calcium_fluoride_is_refused_by_name(name):
    with pytest.raises(UnknownSaltError, match="fluoride") as refused:
        salt(name)
    assert "no use in brewing" in refused.value.reason


@pytest.mark.parametrize("name", ["", "salt", "unobtainium", "cacl2.2h2o", "CACL2", "CaSO4.3H2O"])
def test_nothing_is_guessed(name):
    with pytest.raises(UnknownSaltError):
        salt(name)


def test_what_is_refused_is_not_known_under_the_same_name():
    for name, reason in refused_salts():
        with pytest.raises(UnknownSaltError) as refused:
            salt(name)
        assert refused.value.reason == reason


def test_dihydrate_taken_for_anhydrous_doses_three_quarters():
    # 110.978/147.008 by molar mass
    calcium = [
        brought_by_g_per_l(salt(name)).calcium_mg_l
        for name in ("calcium_chloride_dihydrate", "calcium_chloride_anhydrous")
    ]
    assert calcium[0] / calcium[1] == pytest.approx(0.755, abs=5e-4)
