"""Acids, bases and carbonate against PHREEQC and tables of density."""

import pytest

from published import phreeqc_runs as phreeqc
from published.cases import cases
from wortwright.brewing import acids, alkalinity, mash_acid
from wortwright.brewing.salts import salt


@pytest.mark.parametrize("case", cases("neutralised_by_phreeqc"))
def test_share_of_bicarbonate_that_acid_has_turned(case):
    assert alkalinity.neutralised_share(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("neutralised_by_phreeqc"))
def test_neutralised_shares_are_those_of_phreeqc(case):
    assert phreeqc.titrated({"NaHCO3": 2.0}, **case.inputs)["Cl"] / 0.002 == case.printed


@pytest.mark.parametrize("case", cases("base_by_phreeqc"))
def test_base_of_a_salt(case):
    found = mash_acid.base_meq_per_g(salt(case.inputs["salt"]), case.inputs["ph"])
    assert found == case.expected


@pytest.mark.parametrize("case", cases("base_by_phreeqc"))
def test_bases_are_those_of_phreeqc(case):
    of = case.inputs
    acid_mol = phreeqc.titrated({of["formula"]: 2.0}, of["ph"])["Cl"]
    assert 1e6 * acid_mol / (2.0 * of["molar_mass"]) == case.printed


def charge_of_phosphate(ph):
    state = phreeqc.run(f"SOLUTION 1\n units mmol/kgw\n pH {ph}\n P 0.01")
    charges = (("m_H2PO4-", 1.0), ("m_HPO4-2", 2.0), ("m_PO4-3", 3.0))
    return sum(charge * state[name] for name, charge in charges) / state["P"]


@pytest.mark.parametrize("case", cases("phosphoric_by_phreeqc"))
def test_protons_of_phosphoric_acid(case):
    assert acids.protons_per_mole(acids.Acid.PHOSPHORIC, **case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("phosphoric_by_phreeqc"))
def test_protons_are_those_of_phreeqc(case):
    assert charge_of_phosphate(case.inputs["ph"]) == case.printed


@pytest.mark.parametrize("case", cases("acid_mmol_by_density_tables"))
def test_amount_of_acid_by_density_tables(case):
    name, strength = case.inputs.values()
    assert acids.acid_mmol_per_ml(acids.Acid(name), strength) == case.expected


@pytest.mark.parametrize("case", cases("phosphoric_meq_by_phreeqc"))
def test_acidity_of_phosphoric_acid(case):
    found = acids.acid_meq_per_ml(acids.Acid.PHOSPHORIC, 85.0, case.inputs["ph"])
    assert found == case.expected


@pytest.mark.parametrize("case", cases("phosphoric_meq_by_phreeqc"))
def test_acidities_are_those_of_phreeqc(case):
    protons = charge_of_phosphate(case.inputs["ph"])
    assert case.inputs["mol_per_l"] * protons == case.printed


@pytest.mark.parametrize("case", cases("carbonate_by_phreeqc"))
def test_carbonate(case):
    assert alkalinity.carbonate_mg_l(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("carbonate_by_phreeqc"))
def test_carbonates_are_those_of_phreeqc(case):
    total, ph = case.inputs.values()
    state = phreeqc.run(f"SOLUTION 1\n units mmol/kgw\n pH {ph}\n Alkalinity {total}\n Na {total}")
    assert 60008.0 * state["m_CO3-2"] == case.printed
