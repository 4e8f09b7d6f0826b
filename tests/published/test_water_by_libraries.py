"""Salts and waters against molar masses of periodictable and against PHREEQC."""

import pytest

from published import phreeqc_runs as phreeqc
from published.cases import cases
from wortwright.brewing import (
    alkalinity,
    ions,
    salt_doses,
    water_limits,
    water_report,
    water_targets,
    water_treatment,
)
from wortwright.brewing.ions import PURE_WATER, Water
from wortwright.brewing.salts import brought_by_g_per_l, molar_mass_g_per_mol, salt

MIXTURE = {
    "gypsum": 0.5,
    "calcium_chloride_dihydrate": 0.3,
    "epsom_salt": 0.2,
    "table_salt": 0.1,
    "baking_soda": 0.2,
}
FORMULAS = {
    "gypsum": ("CaSO4", 2),
    "calcium_chloride_dihydrate": ("CaCl2", 2),
    "epsom_salt": ("MgSO4", 7),
    "table_salt": ("NaCl", 0),
    "baking_soda": ("NaHCO3", 0),
}
TOTALS = {
    "calcium_mg_l": ("Ca", "Ca"),
    "magnesium_mg_l": ("Mg", "Mg"),
    "sodium_mg_l": ("Na", "Na"),
    "chloride_mg_l": ("Cl", "Cl"),
    "sulfate_mg_l": ("S(6)", "SO4"),
}


def molar_mass(formula):
    return pytest.importorskip("periodictable").formula(formula).mass


def hydrate_mass(anhydrous, waters):
    return molar_mass(anhydrous) + waters * molar_mass("H2O")


def dissolved(grams_per_kg):
    mmol = {
        FORMULAS[key][0]: 1000.0 * grams / hydrate_mass(*FORMULAS[key])
        for key, grams in grams_per_kg.items()
    }
    return phreeqc.in_pure_water(mmol)


@pytest.mark.parametrize("case", cases("salt_molar_mass"))
def test_molar_mass_of_a_salt(case):
    assert molar_mass_g_per_mol(salt(case.inputs["salt"])) == case.expected


@pytest.mark.parametrize("case", cases("salt_molar_mass"))
def test_molar_masses_are_those_of_the_library(case):
    assert hydrate_mass(case.inputs["anhydrous"], case.inputs["waters"]) == case.printed


@pytest.mark.parametrize("case", cases("salt_brings"))
def test_ions_of_a_gram_of_salt(case):
    brought = brought_by_g_per_l(salt(case.inputs["salt"]))
    assert getattr(brought, case.inputs["content"]) == case.expected


@pytest.mark.parametrize("case", cases("salt_brings"))
def test_ions_of_salts_are_those_of_the_library(case):
    of = case.inputs
    share = of["count"] * molar_mass(of["ion"]) / hydrate_mass(of["anhydrous"], of["waters"])
    assert 1000.0 * share == case.printed


@pytest.mark.parametrize("case", cases("equivalent_mass"))
def test_equivalent_mass_of_an_ion(case):
    assert ions.equivalent_mass_mg_per_meq(case.inputs["ion"]) == case.expected


@pytest.mark.parametrize("case", cases("equivalent_mass"))
def test_equivalent_masses_are_those_of_the_library(case):
    assert molar_mass(case.inputs["formula"]) / case.inputs["charge"] == case.printed


@pytest.mark.parametrize("case", cases("alkalinity_by_molar_mass"))
def test_alkalinity_and_hardness_by_molar_mass(case):
    quantity, first, *second = case.inputs.values()
    function = {
        "from_caco3": alkalinity.alkalinity_from_caco3,
        "as_caco3": alkalinity.alkalinity_as_caco3_mg_l,
        "from_species": alkalinity.alkalinity_from_species,
        "hardness": alkalinity.hardness_mg_l,
    }[quantity]
    assert function(first, *second) == case.expected


@pytest.mark.parametrize("case", cases("alkalinity_by_molar_mass"))
def test_alkalinities_are_those_of_the_library(case):
    quantity, first, *second = case.inputs.values()
    second = second[0] if second else 0.0
    chalk = molar_mass("CaCO3")
    by_quantity = {
        "from_caco3": 2.0 * first / chalk,
        "as_caco3": first * chalk / 2.0,
        "from_species": first / molar_mass("HCO3") + 2.0 * second / molar_mass("CO3"),
        "hardness": chalk * (first / molar_mass("Ca") + second / molar_mass("Mg")),
    }
    assert by_quantity[quantity] == case.printed


@pytest.mark.parametrize("case", cases("residual_alkalinity_in_degrees"))
def test_residual_alkalinity_in_german_degrees(case):
    calcium, magnesium, alkalinity_mg_l = case.inputs.values()
    water = Water(
        calcium_mg_l=calcium,
        magnesium_mg_l=magnesium,
        alkalinity_meq_l=alkalinity.alkalinity_from_caco3(alkalinity_mg_l),
    )
    residual = alkalinity.residual_alkalinity_meq_l(water)
    assert residual / water_report.MEQ_PER_GERMAN_DEGREE == case.expected


@pytest.mark.parametrize("case", cases("residual_alkalinity_in_degrees"))
def test_degrees_are_those_of_molar_masses(case):
    calcium, magnesium, alkalinity_mg_l = case.inputs.values()
    lime = molar_mass("CaO") / 10.0
    carbonate = alkalinity_mg_l / molar_mass("CaCO3") * lime
    hardness = calcium / molar_mass("Ca") * lime + 0.5 * magnesium / molar_mass("Mg") * lime
    assert carbonate - hardness / 3.5 == case.printed


@pytest.mark.parametrize("case", cases("drinking_water_limits"))
def test_a_water_passes_a_limit_above_the_printed_figure(case):
    content, code = case.inputs.values()
    figure = case.expected.value
    at, above = (
        {limit.code for limit in water_limits.limits_passed(Water(**{content: value}))}
        for value in (figure, figure * 1.001)
    )
    assert code not in at
    assert code in above


@pytest.mark.parametrize("case", cases("salts_by_phreeqc"))
def test_mixture_of_salts(case):
    doses = tuple((salt(key), grams) for key, grams in MIXTURE.items())
    water = salt_doses.treat(PURE_WATER, PURE_WATER, 1.0, doses)
    quantity = case.inputs["quantity"]
    if quantity in {"cations", "anions"}:
        charge = {"cations": ions.cations_meq_l, "anions": ions.anions_meq_l}[quantity]
        assert charge(water) == case.expected
        return
    assert getattr(water, quantity) == case.expected
    account = water_treatment.ion_account(PURE_WATER, PURE_WATER, 1.0, doses)
    line = next(line for line in account if line.content == quantity)
    assert line.in_mash == case.expected
    assert line.from_water + sum(part for _, part in line.by_salt) == case.expected


@pytest.mark.parametrize("case", cases("salts_by_phreeqc"))
def test_mixtures_are_those_of_phreeqc(case):
    state = dissolved(MIXTURE)
    by_quantity = {
        "alkalinity_meq_l": lambda: 1000.0 * state["Alk"],
        "cations": lambda: 1000.0 * (2.0 * state["Ca"] + 2.0 * state["Mg"] + state["Na"]),
        "anions": lambda: 1000.0 * (state["Cl"] + 2.0 * state["S(6)"] + state["Alk"]),
    }
    quantity = case.inputs["quantity"]
    if quantity in TOTALS:
        total, formula = TOTALS[quantity]
        assert 1000.0 * state[total] * molar_mass(formula) == case.printed
    else:
        assert by_quantity[quantity]() == case.printed


@pytest.mark.parametrize("case", cases("mixture_by_phreeqc"))
def test_waters_mixed(case):
    hard = Water(
        calcium_mg_l=60.0,
        magnesium_mg_l=10.0,
        sulfate_mg_l=70.0,
        alkalinity_meq_l=alkalinity.alkalinity_from_species(150.0),
    )
    soft = Water(
        calcium_mg_l=8.0,
        sodium_mg_l=30.0,
        chloride_mg_l=20.0,
        alkalinity_meq_l=alkalinity.alkalinity_from_species(30.0),
    )
    content = case.inputs["content"]
    assert getattr(ions.combine([(hard, 0.4), (soft, 0.6)]), content) == case.expected
    assert getattr(salt_doses.treat(hard, soft, 0.4, ()), content) == case.expected


@pytest.mark.parametrize("case", cases("mixture_by_phreeqc"))
def test_waters_mixed_are_those_of_phreeqc(case):
    state = phreeqc.run(
        "SOLUTION 1\n units mg/L\n density 1\n Ca 60\n Mg 10\n S(6) 70 as SO4\n"
        " Alkalinity 150 as HCO3\nSOLUTION 2\n units mg/L\n density 1\n Ca 8\n Na 30\n Cl 20\n"
        " Alkalinity 30 as HCO3\nMIX 3\n 1 0.4\n 2 0.6"
    )
    assert state[case.inputs["phreeqc"]] * case.inputs["mg_per_mol"] == case.printed


@pytest.mark.parametrize("case", cases("charge_imbalance_by_phreeqc"))
def test_charges_that_do_not_cancel(case):
    *ion_contents, bicarbonate = case.inputs.items()
    contents = dict(ion_contents)
    contents["alkalinity_meq_l"] = alkalinity.alkalinity_from_species(bicarbonate[1])
    assert ions.charge_imbalance_percent(Water(**contents)) == case.expected
    target = water_targets.IonTarget(**contents)
    assert water_treatment.target_imbalance_percent(target) == case.expected


@pytest.mark.parametrize("case", cases("charge_imbalance_by_phreeqc"))
def test_charge_errors_are_those_of_phreeqc(case):
    calcium, magnesium, sodium, sulfate, chloride, bicarbonate = case.inputs.values()
    state = phreeqc.as_reported(
        f" pH 7.0\n Ca {calcium}\n Mg {magnesium}\n Na {sodium}\n S(6) {sulfate} as SO4\n"
        f" Cl {chloride}\n Alkalinity {bicarbonate} as HCO3"
    )
    assert state["pct_err"] == case.printed


@pytest.mark.parametrize("case", cases("report_line_by_phreeqc"))
def test_line_of_a_report_by_its_basis(case):
    line = water_report.ReportLine(
        water_report.Quantity(case.inputs["quantity"]),
        case.inputs["value"],
        water_report.ReportUnit.MG_L,
        water_report.Basis(case.inputs["basis"]),
    )
    assert water_report.line_meq_l(line) == case.expected


@pytest.mark.parametrize("case", cases("report_line_by_phreeqc"))
def test_lines_of_a_report_are_those_of_phreeqc(case):
    state = phreeqc.as_reported(f" pH 7.0\n {case.inputs['phreeqc']}")
    equivalents = {
        "sulfate": 2.0 * state["S(6)"],
        "nitrate": state["N(5)"],
        "alkalinity": state["Alk"],
        "calcium": 2.0 * state["Ca"],
        "magnesium": 2.0 * state["Mg"],
    }
    assert 1000.0 * equivalents[case.inputs["quantity"]] == case.printed


REPORT = [
    ("calcium", 60.0, None, "Ca 60"),
    ("magnesium", 10.0, None, "Mg 10"),
    ("sodium", 25.0, None, "Na 25"),
    ("potassium", 4.0, None, "K 4"),
    ("sulfate", 20.0, "S", "S(6) 20 as S"),
    ("chloride", 40.0, None, "Cl 40"),
    ("nitrate", 5.0, "N", "N(5) 5 as N"),
    ("alkalinity", 120.0, "CaCO3", "Alkalinity 120 as CaCO3"),
]


@pytest.mark.parametrize("case", cases("report_by_phreeqc"))
def test_whole_report(case):
    water = water_report.water_from_report(
        water_report.ReportLine(
            water_report.Quantity(quantity),
            value,
            water_report.ReportUnit.MG_L,
            water_report.Basis(basis) if basis else None,
        )
        for quantity, value, basis, _ in REPORT
    )
    assert getattr(water, case.inputs["content"]) == case.expected


@pytest.mark.parametrize("case", cases("report_by_phreeqc"))
def test_whole_report_is_that_of_phreeqc(case):
    state = phreeqc.as_reported("\n".join([" pH 7.0", *(f" {line[3]}" for line in REPORT)]))
    assert state[case.inputs["phreeqc"]] * case.inputs["mg_per_mol"] == case.printed


@pytest.mark.parametrize("case", cases("doses_by_phreeqc"))
def test_doses_that_made_a_water_are_found_again(case):
    known = {row.values[0].inputs["salt"]: row.values[0] for row in cases("doses_by_phreeqc")}
    state = dissolved({key: row.inputs["dose_g_per_l"] for key, row in known.items()})
    target = water_targets.IonTarget(
        **{
            name: 1000.0 * state[total] * molar_mass(formula)
            for name, (total, formula) in TOTALS.items()
        },
        alkalinity_meq_l=1000.0 * state["Alk"],
    )
    wishes, salts = water_targets.ion_wishes(target), tuple(salt(key) for key in known)
    found = salt_doses.doses_for(PURE_WATER, wishes, salts, tolerance=0.001)
    place = list(known).index(case.inputs["salt"])
    assert found.salts_g_per_l[place] == case.expected
    treated = water_treatment.treatment_for(
        PURE_WATER,
        water_treatment.BrewingWater(25.0),
        wishes,
        salts,
        tolerance=0.001,
        scale_step_g=0.001,
    )
    assert treated.doses[place].exact_mash_g / 25.0 == case.expected
