"""Gas in beer and air, priming, and the refractometer, by libraries and other formulas."""

import math

import pytest

from published import extract_tables as tables
from published import fermented
from published import phreeqc_runs as phreeqc
from published.cases import cases
from wortwright.brewing import (
    bottling,
    carbonation,
    oxygen,
    priming,
    refractometer,
    yeast,
)
from wortwright.brewing.tables.packaging import BottleKind, PrimingSugar, co2_g_per_g
from wortwright.brewing.tables.yeast import YeastKind

KELVIN, ATMOSPHERE_PA = 273.15, 101325.0
OXYGEN_SHARE, AIR_G_PER_MOL = 0.2095, 28.9647
STANDARD_BEER = fermented.Composition(alcohol=4.22, extract=5.78)


def coolprop():
    return pytest.importorskip("CoolProp.CoolProp")


def molar_mass(formula):
    return pytest.importorskip("periodictable").formula(formula).mass


def gas_molar_volume_l():
    density = coolprop().PropsSI("Dmolar", "T", KELVIN, "P", ATMOSPHERE_PA, "CO2")
    return 1000.0 / density


def oxygen_of_moist_air_mg_l(temperature_c):
    litre = coolprop().HAPropsSI("Vda", "T", temperature_c + KELVIN, "P", ATMOSPHERE_PA, "R", 1.0)
    return 1000.0 / litre * OXYGEN_SHARE * molar_mass("O2") / AIR_G_PER_MOL


@pytest.mark.parametrize("case", cases("co2_of_sugar"))
def test_gas_of_a_gram_of_sugar(case):
    assert co2_g_per_g(PrimingSugar(case.inputs["sugar"])) == case.expected


@pytest.mark.parametrize("case", cases("co2_of_sugar"))
def test_gas_of_sugars_is_that_of_the_library(case):
    _, formula, count = case.inputs.values()
    assert count * molar_mass("CO2") / molar_mass(formula) == case.printed


@pytest.mark.parametrize("case", cases("priming_by_molar_volume"))
def test_priming_sugar_by_the_volume_of_gas(case):
    volume_l, target, residual, sugar, *_ = case.inputs.values()
    found = priming.priming_sugar_g(volume_l, target, residual, PrimingSugar(sugar))
    assert found == case.expected


@pytest.mark.parametrize("case", cases("priming_by_molar_volume"))
def test_priming_table_is_that_of_the_libraries(case):
    volume_l, target, residual, _, formula, count = case.inputs.values()
    moles = volume_l * (target - residual) / gas_molar_volume_l()
    assert moles / count * molar_mass(formula) == case.printed


@pytest.mark.parametrize("case", cases("volumes_by_molar_volume"))
def test_volumes_of_gas_from_sugar(case):
    mass_g, volume_l, sugar, *_ = case.inputs.values()
    assert priming.volumes_from_sugar(mass_g, volume_l, PrimingSugar(sugar)) == case.expected


@pytest.mark.parametrize("case", cases("volumes_by_molar_volume"))
def test_volumes_of_gas_are_those_of_the_libraries(case):
    mass_g, volume_l, _, formula, count = case.inputs.values()
    moles = count * mass_g / molar_mass(formula)
    assert moles * gas_molar_volume_l() / volume_l == case.printed


@pytest.mark.parametrize("case", cases("beer_by_share_of_water"))
def test_gas_in_the_water_of_beer(case):
    assert carbonation.volumes_in_beer(0.0, **case.inputs) == case.expected
    assert carbonation.residual_volumes(*case.inputs.values()) == case.expected


@pytest.mark.parametrize("case", cases("beer_by_share_of_water"))
def test_gas_in_the_water_of_beer_is_that_of_phreeqc(case):
    state = phreeqc.run(
        f"SOLUTION 1\n temp {case.inputs['temperature_c']}\nEQUILIBRIUM_PHASES 1\n CO2(g) 0.0"
    )
    # 0.998 kg of water in a litre; the beer's water and half of its alcohol, by volume.
    grams = state["C(4)"] * 44.009 * 0.998
    gravity = fermented.gravity_of(STANDARD_BEER)
    water = 1.0 - (STANDARD_BEER.alcohol + STANDARD_BEER.extract) / 100.0
    alcohol = STANDARD_BEER.alcohol / 100.0 / 0.7907 * 0.9982
    assert gravity * (water + alcohol / 2.0) * grams / 1.977 == case.printed


@pytest.mark.parametrize("case", cases("pressure_by_share_of_water"))
def test_pressure_over_the_water_of_beer(case):
    assert carbonation.gauge_bar_for(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("residual_by_home_table"))
def test_residual_gas_by_the_home_table(case):
    assert carbonation.residual_volumes(case.inputs["temperature_c"]) == case.expected


@pytest.mark.parametrize("case", cases("bottling_by_home_table"))
def test_sugar_of_a_bottling_plan_by_the_home_table(case):
    volume_l, target, temperature_c, residual = case.inputs.values()
    moles = volume_l * (target - residual) * 1.977 / 44.009
    assert moles / 4.0 * 342.297 == case.printed
    beer = bottling.BeerToBottle(volume_l, 1.010, 1.010, 1.010, temperature_c)
    plan = bottling.bottling_plan(beer, target, PrimingSugar.SUCROSE, BottleKind.HEAVY)
    assert plan.sugar_g == case.expected


@pytest.mark.parametrize("case", cases("oxygen_by_phreeqc"))
def test_oxygen_in_water_by_phreeqc(case):
    assert oxygen.oxygen_in_water_mg_l(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("oxygen_by_phreeqc"))
def test_oxygen_table_is_that_of_phreeqc(case):
    temperature_c = case.inputs["temperature_c"]
    kelvin = max(temperature_c + KELVIN, 273.16)
    vapour = coolprop().PropsSI("P", "T", kelvin, "Q", 0.0, "Water") / ATMOSPHERE_PA
    index = math.log10(OXYGEN_SHARE * (1.0 - vapour))
    state = phreeqc.run(f"SOLUTION 1\n temp {temperature_c}\nEQUILIBRIUM_PHASES 1\n O2(g) {index}")
    assert state["O(0)"] / 2.0 * 31998.0 == case.printed


@pytest.mark.parametrize("case", cases("oxygen_in_humid_air"))
def test_oxygen_in_moist_air(case):
    assert oxygen.oxygen_in_air_mg_l(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("oxygen_in_humid_air"))
def test_oxygen_in_moist_air_is_that_of_the_library(case):
    assert oxygen_of_moist_air_mg_l(**case.inputs) == case.printed


@pytest.mark.parametrize("case", cases("head_space_by_humid_air"))
def test_oxygen_of_a_head_space(case):
    assert oxygen.head_space_oxygen_mg_l(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("head_space_by_humid_air"))
def test_oxygen_of_a_head_space_is_that_of_the_library(case):
    air_l, beer_l, temperature_c = case.inputs.values()
    assert oxygen_of_moist_air_mg_l(temperature_c) * air_l / beer_l == case.printed


@pytest.mark.parametrize("case", cases("oxygen_by_plato"))
def test_oxygen_that_yeast_wants_per_degree(case):
    kind, gravity = case.inputs.values()
    assert tables.nbs_plato(tables.in_air(gravity)) == case.printed
    assert oxygen.oxygen_wanted(YeastKind(kind), gravity, 20.0).wanted_mg_l == case.expected


@pytest.mark.parametrize("case", cases("cells_by_nbs_table"))
def test_cells_per_millilitre_and_degree(case):
    volume_l, gravity, rate = case.inputs.values()
    assert rate * volume_l * tables.nbs_plato(tables.in_air(gravity)) == case.printed
    assert yeast.cells_wanted(volume_l, gravity, rate) / 1e9 == case.expected


@pytest.mark.parametrize("case", cases("beer_gravity_by_bonham"))
def test_beer_by_refractometer_and_another_formula(case):
    i, f = case.inputs.values()
    bonham = 1.001843 - 0.002318474 * i - 7.775e-6 * i**2 - 3.4e-8 * i**3
    bonham += 0.00574 * f + 3.344e-5 * f**2 + 8.6e-8 * f**3
    assert bonham == case.printed
    assert refractometer.beer_gravity_linear(i, f) == case.expected
    assert refractometer.beer_gravity_cubic(i, f) == case.expected
    factor = refractometer.USUAL_FACTOR
    assert refractometer.beer_gravity(i * factor, f * factor).gravity == case.expected


@pytest.mark.parametrize("case", cases("wort_gravity_by_nbs_table"))
def test_wort_by_refractometer_and_the_nbs_table(case):
    reading, factor = case.inputs.values()
    assert tables.nbs_gravity(reading / factor) == case.printed
    assert refractometer.wort_gravity(reading, factor) == case.expected


@pytest.mark.parametrize("case", cases("correction_factor_by_nbs_table"))
def test_correction_factor_by_the_nbs_table(case):
    readings, gravities = case.inputs["readings_brix"], case.inputs["gravities"]
    factors = [
        reading / tables.nbs_plato(tables.in_air(gravity))
        for reading, gravity in zip(readings, gravities, strict=True)
    ]
    assert sum(factors) / len(factors) == case.printed
    assert refractometer.correction_factor(readings, gravities) == case.expected
