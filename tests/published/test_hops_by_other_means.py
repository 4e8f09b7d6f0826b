"""Bitterness in customary units and in small steps of time, measured hops, hops in store."""

import math

import pytest
from scipy.integrate import solve_ivp

from published.cases import cases
from published.extract_tables import solve
from wortwright.brewing import hop_storage, hops

OUNCE_KG, US_GALLON_L = 0.028349523125, 3.785411784
MOLAR_GAS_KJ = 8.314462618e-3


@pytest.mark.parametrize("case", cases("bitterness_in_ounces_and_gallons"))
def test_bitterness_in_ounces_and_gallons(case):
    ounces, percent, gallons, utilisation = case.inputs.values()
    assert ounces * percent / 100.0 * 7490.0 * utilisation / gallons == case.printed
    found = hops.bitterness_ibu(
        ounces * OUNCE_KG, percent / 100.0, utilisation, gallons * US_GALLON_L
    )
    assert found == case.expected
    load = hops.alpha_load_mg_per_l(ounces * OUNCE_KG, percent / 100.0, gallons * US_GALLON_L)
    assert load * utilisation == case.expected


@pytest.mark.parametrize("case", cases("hop_ounces_for_bitterness"))
def test_mass_of_hops_in_ounces_and_gallons(case):
    ibu, percent, gallons, utilisation = case.inputs.values()
    assert ibu * gallons / (7490.0 * percent / 100.0 * utilisation) == case.printed
    found = hops.mass_kg_for_bitterness(ibu, percent / 100.0, utilisation, gallons * US_GALLON_L)
    assert found / OUNCE_KG == case.expected


@pytest.mark.parametrize("case", cases("utilisation_by_rate"))
def test_utilisation_rises_by_the_minute(case):
    time_min, gravity = case.inputs.values()
    most = 1.65 / 4.15 * math.exp(-(gravity - 1.0) * math.log(8000.0))
    found = solve_ivp(
        lambda _, used: [0.04 * (most - used[0])], (0.0, time_min), [0.0], rtol=1e-9, atol=1e-11
    )
    assert found.y[0, -1] == case.printed
    assert hops.utilisation_tinseth(time_min, gravity) == case.expected
    assert hops.boil_utilisation(time_min, gravity) == case.expected


@pytest.mark.parametrize("case", cases("utilisation_measured"))
def test_utilisation_measured_in_a_brewery(case):
    assert 100.0 * hops.utilisation_tinseth(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("rager_gravity_rule_ibu"))
def test_gravity_rule_of_rager_by_the_chosen_model(case):
    of, model = case.inputs, hops.UtilisationModel.RAGER
    strong, weak = (hops.boil_utilisation(60.0, sg, model) for sg in (of["gravity"], 1.0))
    assert of["uncorrected_ibu"] * (strong / weak) == case.expected


@pytest.mark.parametrize("case", cases("isomerisation_by_activation_energy"))
def test_isomerisation_speeds_up_by_the_printed_energy(case):
    cold_c, hot_c, kj_per_mol = case.inputs.values()
    inverse_k = 1.0 / (cold_c + 273.15) - 1.0 / (hot_c + 273.15)
    assert math.exp(kj_per_mol / MOLAR_GAS_KJ * inverse_k) == case.printed
    cold, hot = (hops.isomerisation_rate_per_min(c) for c in (cold_c, hot_c))
    assert hot / cold == case.expected


@pytest.mark.parametrize("case", cases("stand_by_measured_ibu"))
def test_stand_against_measured_bitterness(case):
    kelvin = case.inputs["temperature_c"] + 273.15
    assert 2.39e11 * math.exp(-9773.0 / kelvin) == case.printed
    assert hops.stand_equivalent_min(case.inputs["temperature_c"], 1.0) == case.expected


@pytest.mark.parametrize("case", cases("hop_lost_by_crop"))
def test_loss_by_index_of_four_crops(case):
    assert 100.0 * hop_storage.lost_share_from_index(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("hop_loss_rate_by_steps"))
def test_rate_of_loss_compounded(case):
    lost = case.inputs["lost_in_half_year"]
    found = solve(lambda rate: 1.0 - (1.0 - rate / 100.0) ** (100 * 180), lost, 0.0, 0.02)
    assert found == case.printed
    assert hop_storage.loss_rate_per_day(lost) == case.expected


@pytest.mark.parametrize("case", cases("hop_halvings"))
def test_rate_of_loss_halves_in_the_cold(case):
    assert hop_storage.temperature_factor(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("alpha_after_storage_by_steps"))
def test_alpha_lost_bit_by_bit(case):
    alpha, lost, temperature_c, packing, days = case.inputs.values()
    slowed = {"open_bag": 1.0, "airtight": 0.75, "barrier": 0.5}[packing]
    at_20_c = hop_storage.loss_rate_per_day(lost)
    left, steps = alpha, 50
    for _ in range(int(days) * steps):
        left -= left * float(at_20_c) * slowed * 0.5 ** ((20.0 - temperature_c) / 15.0) / steps
    assert left == pytest.approx(case.expected.value, abs=1e-5)
    found = hop_storage.alpha_after_storage(
        alpha, at_20_c, days, temperature_c, hop_storage.Packing(packing)
    )
    assert found == case.expected


@pytest.mark.parametrize("case", cases("substitute_by_bitterness"))
def test_substitute_of_equal_bitterness(case):
    mass_g, percent, other = case.inputs.values()
    ibu = mass_g / 1000.0 / OUNCE_KG * percent / 100.0 * 7490.0 * 0.2 / 5.0
    ounces = ibu * 5.0 / (7490.0 * 0.2 * other / 100.0)
    assert 1000.0 * ounces * OUNCE_KG == case.printed
    found = hop_storage.substitute_mass_kg(mass_g / 1000.0, percent / 100.0, other / 100.0)
    assert 1000.0 * found == case.expected
