"""The numbers that stand as those of a library or another equation are really theirs."""

import pytest

from published import extract_tables as tables
from published import phreeqc_runs as phreeqc
from published.cases import cases
from published.icumsa import density_kg_per_m3
from wortwright.brewing import hydrometer
from wortwright.brewing.gravity import gravity_from_plato, plato_from_gravity

KELVIN, ATMOSPHERE_PA = 273.15, 101325.0


def of_tables(name, *names):
    return [case for case in cases(name) if case.values[0].expected.table in names]


def coolprop_density(temperature_c):
    coolprop = pytest.importorskip("CoolProp.CoolProp")
    if temperature_c == 100.0:
        return coolprop.PropsSI("D", "T", temperature_c + KELVIN, "Q", 0.0, "Water")
    return coolprop.PropsSI("D", "T", temperature_c + KELVIN, "P", ATMOSPHERE_PA, "Water")


@pytest.mark.parametrize("case", of_tables("water_density_kg_per_m3", "iapws-95"))
def test_water_density_by_coolprop(case):
    assert coolprop_density(case.inputs["temperature_c"]) == pytest.approx(
        case.expected.value, abs=0.001
    )


@pytest.mark.parametrize("case", of_tables("water_density_kg_per_m3", "iapws-95"))
def test_water_density_by_chemicals(case):
    chemicals = pytest.importorskip("chemicals")
    kelvin = case.inputs["temperature_c"] + KELVIN
    if case.inputs["temperature_c"] == 100.0:
        found = chemicals.iapws95_rhol_sat(kelvin)
    else:
        found = chemicals.iapws95_rho(kelvin, ATMOSPHERE_PA)
    assert found == pytest.approx(case.expected.value, abs=0.001)


@pytest.mark.parametrize("case", cases("volume_over_volume_at_20"))
def test_swelling_of_water_by_coolprop(case):
    ratio = coolprop_density(20.0) / coolprop_density(case.inputs["temperature_c"])
    assert ratio == pytest.approx(case.expected.value, abs=0.00001)


@pytest.mark.parametrize("case", cases("wort_shrinkage_percent"))
def test_shrinking_of_wort_by_the_density_of_sugar(case):
    plato = float(case.expected.row.split()[0])
    hot = density_kg_per_m3(plato, case.inputs["temperature_c"])
    assert 100.0 * (1.0 - hot / density_kg_per_m3(plato, 20.0)) == case.printed


@pytest.mark.parametrize("case", of_tables("bicarbonate_mg_l", "alkalinity by pH"))
def test_bicarbonate_by_phreeqc(case):
    _same_species(case, "HCO3-", 61.016, 0.002)


@pytest.mark.parametrize("case", cases("carbon_dioxide_mg_l"))
def test_carbon_dioxide_by_phreeqc(case):
    _same_species(case, "CO2", 44.009, 0.002)


def _same_species(case, species, molar_mass, share):
    state = phreeqc.run(
        f"SOLUTION 1\n units mmol/kgw\n pH {case.inputs['ph']}\n"
        f" Alkalinity {case.inputs['alkalinity_meq_l']}\n Na 2.0"
    )
    found = 1000.0 * molar_mass * state[f"m_{species}"]
    assert found == pytest.approx(case.expected.value, rel=share, abs=0.005)


@pytest.mark.parametrize("case", of_tables("co2_in_water_g_per_l", "phreeqc"))
def test_gas_in_water_by_phreeqc(case):
    state = phreeqc.run(
        f"SOLUTION 1\n temp {case.inputs['temperature_c']}\nEQUILIBRIUM_PHASES 1\n CO2(g) 0.0"
    )
    # Releases of the database differ by a few parts in a thousand.
    assert state["m_CO2"] * 44.009 == pytest.approx(case.expected.value, rel=0.004)


@pytest.mark.parametrize("case", of_tables("plato_from_gravity", "asbc-polynomial"))
def test_extract_by_the_polynomial_of_the_asbc(case):
    assert tables.asbc_plato(case.inputs["gravity"]) == case.printed


@pytest.mark.parametrize("case", cases("hydrometer_correction_plato"))
def test_corrections_by_the_polynomial_of_the_asbc(case):
    plato, warm = case.inputs["extract_plato"], case.inputs["temperature_c"] - 20.0
    found = 0.000383644 + 0.0496253 * warm - 6.35525e-5 * plato + 0.00110774 * warm**2
    found += 0.00091996 * warm * plato + 1.36646e-5 * plato**2
    assert found == case.printed
    corrected = hydrometer.gravity_at_20(gravity_from_plato(plato), warm + 20.0)
    assert plato_from_gravity(corrected) - plato == case.expected
