import pytest
from hypothesis import given
from hypothesis import strategies as st

from published import icumsa
from published.cases import cases
from wortwright.brewing import boil, gravity, grist, hydrometer, water_density

AIR_KG_PER_M3 = 1.2
BRASS_KG_PER_M3 = 8000.0


def in_air(gravity_in_vacuum):
    water = 1000.0 * gravity.WATER_DENSITY_20_KG_PER_L
    return (gravity_in_vacuum * water - AIR_KG_PER_M3) / (water - AIR_KG_PER_M3)


def weight_in_air_kg_per_m3(density):
    return (density - AIR_KG_PER_M3) / (1.0 - AIR_KG_PER_M3 / BRASS_KG_PER_M3)


@given(st.floats(0.0, 40.0))
def test_extract_agrees_with_the_density_equation_it_was_fitted_to(plato):
    assert gravity.plato_from_gravity(icumsa.gravity_20(plato)) == pytest.approx(plato, abs=0.0002)


def test_the_density_of_water_is_that_of_the_source():
    assert 1000.0 * gravity.WATER_DENSITY_20_KG_PER_L == pytest.approx(
        icumsa.density_kg_per_m3(0.0, 20.0), abs=0.0005
    )


@pytest.mark.parametrize("case", cases("gravity_from_plato"))
def test_gravity_from_plato(case):
    assert gravity.gravity_from_plato(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("plato_from_gravity"))
def test_plato_from_gravity(case):
    assert gravity.plato_from_gravity(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("extract_g_per_l"))
def test_extract_per_litre(case):
    sg = gravity.gravity_from_plato(**case.inputs)
    assert 1000.0 * gravity.extract_kg_per_l(sg) == case.expected


@pytest.mark.parametrize("case", cases("sucrose_g_per_l"))
def test_sucrose_per_litre_at_a_gravity(case):
    assert 1000.0 * gravity.extract_kg_per_l(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("gravity_of_sucrose"))
def test_gravity_of_sucrose_made_up_to_a_volume(case):
    assert gravity.gravity_of_wort(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("apparent_gravity_from_plato"))
def test_printed_brix_tables_weighed_in_air(case):
    assert in_air(gravity.gravity_from_plato(**case.inputs)) == case.expected


@pytest.mark.parametrize("case", cases("pounds_per_us_gallon_in_air"))
def test_printed_weight_of_a_us_gallon(case):
    sg = gravity.gravity_from_plato(**case.inputs)
    density = 1000.0 * sg * gravity.WATER_DENSITY_20_KG_PER_L
    kg = weight_in_air_kg_per_m3(density) * 3.785411784e-3
    assert kg / 0.45359237 == case.expected


def test_printed_extract_of_a_us_barrel_of_12_plato():
    # 32.45 lb: ASBC table, in J. Mallett, Malt, 2014 (quoted in a public question and answer).
    sg = gravity.gravity_from_plato(12.0)
    density = 1000.0 * sg * gravity.WATER_DENSITY_20_KG_PER_L
    kg = 0.12 * weight_in_air_kg_per_m3(density) * 31.0 * 3.785411784e-3
    assert kg / 0.45359237 == pytest.approx(32.45, abs=0.005)


@pytest.mark.parametrize("case", cases("extract_kg"))
def test_extract_of_a_volume(case):
    assert gravity.extract_kg(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("volume_at_gravity_l"))
def test_volume_after_boil_or_dilution(case):
    extract = gravity.extract_kg(case.inputs["from_l"], case.inputs["from_gravity"])
    assert gravity.volume_at_gravity_l(extract, case.inputs["to_gravity"]) == case.expected


@pytest.mark.parametrize("case", cases("gravity_after_boil"))
def test_gravity_after_boil(case):
    assert boil.gravity_after_boil(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("malt_yield_percent"))
def test_bases_of_a_malt_analysis(case):
    fine, difference, moisture = (
        case.inputs[name] / 100.0 for name in ("fine_dry", "difference", "moisture")
    )
    coarse = grist.coarse_from_fine(fine, difference)
    by_basis = {
        "fine as is": grist.as_is_yield(fine, moisture),
        "coarse dry": coarse,
        "coarse as is": grist.as_is_yield(coarse, moisture),
    }
    assert 100.0 * by_basis[case.inputs["basis"]] == case.expected


@pytest.mark.parametrize("case", cases("wort_of_a_grist"))
def test_wort_of_a_grist_by_mass(case):
    of = case.inputs
    part = grist.as_is_yield(of["fine_dry"], of["moisture"])
    extract = of["efficiency"] * grist.potential_extract_kg([of["malt_kg"]], [part])
    assert gravity.gravity_of_wort(extract, of["volume_l"]) == case.expected


@pytest.mark.parametrize("case", cases("mash_efficiency"))
def test_mash_efficiency(case):
    potential = grist.potential_extract_kg([case.inputs["grain_kg"]], [case.inputs["as_is_yield"]])
    efficiency = grist.implied_mash_efficiency(
        case.inputs["volume_l"], case.inputs["gravity"], potential
    )
    assert efficiency == case.expected


@pytest.mark.parametrize("case", cases("water_density_kg_per_m3"))
def test_water_density(case):
    assert 1000.0 * water_density.water_density_kg_per_l(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("volume_over_volume_at_20"))
def test_water_swells_with_heat(case):
    assert water_density.hot_volume_from_20_l(1.0, **case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("hot_volume_from_20_l"))
def test_hot_volume(case):
    assert water_density.hot_volume_from_20_l(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("volume_at_20_from_hot_l"))
def test_wort_measured_hot(case):
    assert water_density.volume_at_20_from_hot_l(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("wort_shrinkage_percent"))
def test_wort_shrinks_like_water(case):
    left = water_density.volume_at_20_from_hot_l(1.0, **case.inputs)
    assert 100.0 * (1.0 - left) == case.expected


@given(st.floats(0.0, 35.0), st.floats(0.0, 40.0), st.sampled_from([15.0, 15.5556, 20.0]))
def test_a_hydrometer_floating_in_sucrose_solution_tells_its_gravity(plato, sample_c, made_for_c):
    # Glass of OIML R 22: 25e-6 a kelvin.
    glass = 1.0 - 25e-6 * (sample_c - made_for_c)
    water = icumsa.density_kg_per_m3(0.0, made_for_c)
    reading = icumsa.density_kg_per_m3(plato, sample_c) / (water * glass)
    assert hydrometer.gravity_at_20(reading, sample_c, made_for_c) == pytest.approx(
        icumsa.gravity_20(plato), abs=1e-9
    )


@pytest.mark.parametrize("case", cases("hydrometer_correction_points"))
def test_float_balance_of_a_hydrometer(case):
    # The table states its corrections at the calibration temperature, the code at 20 degC.
    corrected = hydrometer.gravity_at_20(**case.inputs)
    calibration_c = case.inputs["calibration_c"]
    extract = icumsa.mass_percent_of_gravity_20(corrected)
    at_calibration = icumsa.density_kg_per_m3(extract, calibration_c) / icumsa.density_kg_per_m3(
        0.0, calibration_c
    )
    assert 1000.0 * (at_calibration - case.inputs["reading"]) == case.expected


@pytest.mark.parametrize("case", cases("hydrometer_correction_plato"))
def test_printed_corrections_in_plato(case):
    reading = gravity.gravity_from_plato(case.inputs["extract_plato"])
    corrected = hydrometer.gravity_at_20(reading, case.inputs["temperature_c"])
    correction = gravity.plato_from_gravity(corrected) - case.inputs["extract_plato"]
    assert correction == case.expected


@pytest.mark.parametrize("case", cases("hydrometer_correction_water"))
def test_printed_corrections_of_water(case):
    warm = hydrometer.gravity_at_20(1.0, case.inputs["temperature_c"], 15.0)
    at_calibration = hydrometer.gravity_at_20(1.0, 15.0, 15.0)
    assert warm - at_calibration == case.expected
