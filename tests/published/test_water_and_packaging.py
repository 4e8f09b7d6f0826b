import pytest

from published.cases import cases
from wortwright.brewing import (
    acids,
    alkalinity,
    carbonation,
    hop_storage,
    oxygen,
    priming,
    refractometer,
    starter,
    water_report,
    yeast,
)
from wortwright.brewing.ions import Water, charge_imbalance_percent
from wortwright.brewing.salts import brought_by_g_per_l, salt


@pytest.mark.parametrize("case", cases("salt_in_a_litre"))
def test_a_gram_of_salt_in_a_litre(case):
    brought = brought_by_g_per_l(salt(case.inputs["salt"]))
    assert getattr(brought, case.inputs["content"]) == case.expected


@pytest.mark.parametrize("case", cases("salt_in_a_batch"))
def test_salt_in_a_batch(case):
    brought = getattr(brought_by_g_per_l(salt(case.inputs["salt"])), case.inputs["content"])
    assert brought * case.inputs["mass_g"] / case.inputs["volume_l"] == case.expected


@pytest.mark.parametrize("case", cases("bicarbonate_mg_l"))
def test_bicarbonate(case):
    assert alkalinity.bicarbonate_mg_l(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("carbonate_mg_l"))
def test_carbonate(case):
    assert alkalinity.carbonate_mg_l(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("carbon_dioxide_mg_l"))
def test_carbon_dioxide(case):
    assert alkalinity.carbon_dioxide_mg_l(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("residual_alkalinity_meq_l"))
def test_residual_alkalinity(case):
    water = Water(
        calcium_mg_l=case.inputs["calcium_mg_l"],
        magnesium_mg_l=case.inputs["magnesium_mg_l"],
        alkalinity_meq_l=alkalinity.alkalinity_from_caco3(case.inputs["alkalinity_caco3_mg_l"]),
    )
    assert alkalinity.residual_alkalinity_meq_l(water) == case.expected


@pytest.mark.parametrize("case", cases("hardness_mg_l"))
def test_hardness(case):
    assert alkalinity.hardness_mg_l(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("report_line_meq_l"))
def test_line_of_a_report(case):
    basis = case.inputs.get("basis")
    line = water_report.ReportLine(
        quantity=water_report.Quantity(case.inputs["quantity"]),
        value=case.inputs["value"],
        unit=water_report.ReportUnit(case.inputs["unit"]),
        basis=water_report.Basis(basis) if basis else None,
    )
    assert water_report.line_meq_l(line) == case.expected


@pytest.mark.parametrize("case", cases("charge_imbalance_percent"))
def test_charge_imbalance(case):
    ions = dict(case.inputs)
    bicarbonate = ions.pop("bicarbonate_mg_l")
    water = Water(**ions, alkalinity_meq_l=alkalinity.alkalinity_from_species(bicarbonate))
    assert charge_imbalance_percent(water) == case.expected


@pytest.mark.parametrize("case", cases("acid_meq_per_ml"))
def test_strength_of_acid(case):
    assert acids.acid_meq_per_ml(**_with_acid(case.inputs)) == case.expected


@pytest.mark.parametrize("case", cases("protons_per_mole"))
def test_protons_of_acid(case):
    assert acids.protons_per_mole(**_with_acid(case.inputs)) == case.expected


@pytest.mark.parametrize("case", cases("hop_lost_percent_from_index"))
def test_loss_from_hop_storage_index(case):
    assert 100.0 * hop_storage.lost_share_from_index(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("hop_temperature_factor"))
def test_temperature_factor_of_hops(case):
    assert hop_storage.temperature_factor(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("hop_loss_rate_per_day"))
def test_loss_rate_of_hops(case):
    assert hop_storage.loss_rate_per_day(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("still_starter_cells_1e9"))
def test_still_starter(case):
    factor = starter.still_growth_factor(1e11, case.inputs["volume_l"])
    assert 100.0 * factor == case.expected


@pytest.mark.parametrize("case", cases("liquid_viable_share"))
def test_liquid_yeast_by_age(case):
    assert yeast.liquid_viable_share(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("cells_wanted_1e9"))
def test_cells_wanted(case):
    assert yeast.cells_wanted(**case.inputs) / 1e9 == case.expected


@pytest.mark.parametrize("case", cases("oxygen_in_water_mg_l"))
def test_oxygen_in_water(case):
    assert oxygen.oxygen_in_water_mg_l(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("oxygen_in_air_mg_l"))
def test_oxygen_in_moist_air(case):
    assert oxygen.oxygen_in_air_mg_l(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("beer_gravity_cubic"))
def test_refractometer_cubic(case):
    assert refractometer.beer_gravity_cubic(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("beer_gravity_linear"))
def test_refractometer_line(case):
    assert refractometer.beer_gravity_linear(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("co2_in_water_g_per_l"))
def test_carbon_dioxide_in_water(case):
    assert carbonation.co2_in_water_g_per_l(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("co2_in_water_volumes"))
def test_home_table_of_residual_carbon_dioxide(case):
    grams = carbonation.co2_in_water_g_per_l(**case.inputs)
    assert grams / carbonation.CO2_G_PER_VOLUME == case.expected


@pytest.mark.parametrize("case", cases("volumes_in_beer_at_1_atm"))
def test_carbon_dioxide_in_beer(case):
    assert carbonation.volumes_in_beer(gauge_bar=0.0, **case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("gauge_bar_for"))
def test_pressure_of_beer(case):
    assert carbonation.gauge_bar_for(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("priming_sugar_g"))
def test_priming_sugar(case):
    inputs = dict(case.inputs)
    sugar = priming.PrimingSugar(inputs.pop("sugar"))
    assert priming.priming_sugar_g(sugar=sugar, **inputs) == case.expected


@pytest.mark.parametrize("case", cases("extract_left_g_per_l"))
def test_extract_left(case):
    assert priming.extract_left_g_per_l(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("volumes_from_fermentables"))
def test_carbonation_from_extract_left(case):
    assert priming.volumes_from_fermentables(**case.inputs) == case.expected


def _with_acid(inputs):
    return {**inputs, "acid": acids.Acid(inputs["acid"])}
