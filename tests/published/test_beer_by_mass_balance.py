"""Attenuation, alcohol and blends against the full mass balance and against measured beers."""

import pytest

from published import extract_tables as tables
from published import fermented
from published.cases import cases
from published.icumsa import gravity_20, mass_percent_of_gravity_20
from wortwright.brewing import alcohol, attenuation, blending, priming


def full_balance(name):
    return [case for case in cases(name) if case.values[0].expected.provenance == "library"]


@pytest.mark.parametrize("case", full_balance("alcohol_by_volume_percent"))
def test_alcohol_by_the_full_mass_balance(case):
    beer = fermented.beer_of(**case.inputs)
    strength = fermented.alcohol_by_volume_percent(beer, case.inputs["final_gravity"])
    assert strength == pytest.approx(case.expected.value, abs=0.006)
    assert 100.0 * attenuation.alcohol(*case.inputs.values()).by_volume == case.expected


@pytest.mark.parametrize("case", full_balance("real_attenuation_percent"))
def test_real_attenuation_by_the_full_mass_balance(case):
    original = mass_percent_of_gravity_20(case.inputs["original_gravity"])
    left = fermented.beer_of(**case.inputs).extract
    assert 100.0 * (original - left) / original == case.printed
    assert 100.0 * alcohol.real_attenuation(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("real_extract_by_mass_balance"))
def test_real_extract_by_the_full_mass_balance(case):
    gravities = map(gravity_20, case.inputs.values())
    assert fermented.beer_of(*gravities).extract == pytest.approx(case.expected.value, abs=0.001)
    assert alcohol.real_extract_plato(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("alcohol_by_balling_forward"))
def test_alcohol_of_wort_fermented_gram_by_gram(case):
    original, real = case.inputs.values()
    made = tables.solve(lambda g: fermented.ferment(original, g).extract, real, 0.0, original / 2.1)
    assert fermented.ferment(original, made).alcohol == case.printed
    assert 100.0 * alcohol.alcohol_by_mass(original, real) == case.expected


@pytest.mark.parametrize("case", cases("original_extract_by_balling_forward"))
def test_original_extract_of_beer_put_together_again(case):
    percent, real = case.inputs.values()
    beer = fermented.Composition(percent, real)
    assert fermented.original_plato_of(beer) == case.printed
    assert blending.original_extract_plato(percent / 100.0, real) == case.expected


@pytest.mark.parametrize("case", cases("original_extract_by_analysis"))
def test_original_extract_by_the_formula_of_the_aoac(case):
    percent, real = case.inputs.values()
    assert blending.original_extract_plato(percent / 100.0, real) == case.expected


@pytest.mark.parametrize("case", cases("measured_alcohol_factor"))
def test_alcohol_as_measured_in_hundreds_of_brews(case):
    original = case.inputs["original_plato"]
    apparent = 0.25 * original
    real = alcohol.real_extract_plato(original, apparent)
    percent = 100.0 * alcohol.alcohol_by_mass(original, real)
    assert percent / (original - apparent) == case.expected


@pytest.mark.parametrize("case", cases("alcohol_by_hmrc_table"))
def test_alcohol_by_the_table_of_the_tax_office(case):
    # Strengths there are cut, not rounded: half a decimal is taken off.
    assert 100.0 * alcohol.alcohol_by_volume(**case.inputs) - 0.05 == case.expected


@pytest.mark.parametrize("case", cases("attenuation_of_extract_by_nbs_table"))
def test_attenuation_of_extract_by_the_nbs_table(case):
    original, final = (tables.nbs_plato(tables.in_air(sg)) for sg in case.inputs.values())
    assert 100.0 * (1.0 - final / original) == case.printed
    assert 100.0 * alcohol.apparent_attenuation_of_extract(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("final_gravity_of_sugar"))
def test_final_gravity_of_sugar_alone(case):
    original = mass_percent_of_gravity_20(case.inputs["original_gravity"])
    dry = fermented.ferment(original, original / 2.0665)
    assert fermented.gravity_of(dry) == case.printed
    yeast = attenuation.YeastAttenuation(0.75, 0.04)
    forecast = attenuation.final_gravity_forecast(
        case.inputs["original_gravity"], yeast, sugar_share=1.0
    )
    assert forecast.mean == case.expected


def lots_of(inputs):
    return list(
        zip(
            inputs["volumes_l"],
            inputs["original_gravities"],
            inputs["final_gravities"],
            strict=True,
        )
    )


def mixed(lots):
    parts = [
        (volume * final, fermented.beer_of(original, final)) for volume, original, final in lots
    ]
    mass = sum(part for part, _ in parts)
    return fermented.Composition(
        sum(part * beer.alcohol for part, beer in parts) / mass,
        sum(part * beer.extract for part, beer in parts) / mass,
    )


@pytest.mark.parametrize("case", cases("blend_by_composition"))
def test_blend_of_compositions_mixed_by_mass(case):
    lots = lots_of(case.inputs)
    beer = mixed(lots)
    final = fermented.gravity_of(beer)
    by_hand = {
        "alcohol_by_volume_percent": fermented.alcohol_by_volume_percent(beer, final),
        "real_extract_plato": beer.extract,
        "original_extract_plato": fermented.original_plato_of(beer),
        "final_gravity": final,
    }
    made = blending.blend([blending.Lot(*lot) for lot in lots])
    found = {
        "alcohol_by_volume_percent": 100.0 * made.alcohol_by_volume,
        "real_extract_plato": made.real_extract_plato,
        "original_extract_plato": made.original_extract_plato,
        "final_gravity": made.final_gravity,
    }
    quantity = case.inputs["quantity"]
    assert by_hand[quantity] == case.printed
    assert found[quantity] == case.expected


@pytest.mark.parametrize("case", cases("volumes_by_composition"))
def test_share_of_a_lot_that_meets_a_gravity(case):
    total_l, wanted = case.inputs["total_l"], case.inputs["original_gravity"]
    (_, *strong), (_, *weak) = lots = lots_of(case.inputs)

    def gravity_with(share):
        beer = mixed([(total_l * share, *strong), (total_l * (1.0 - share), *weak)])
        return gravity_20(fermented.original_plato_of(beer))

    assert total_l * tables.solve(gravity_with, wanted, 0.0, 1.0) == case.printed
    target = blending.WantedBlend(original_gravity=wanted)
    found = blending.volumes_for([blending.Lot(*lot) for lot in lots], total_l, target)
    assert found.volumes_l[0] == case.expected


@pytest.mark.parametrize("case", cases("unfermented_by_mass_balance"))
def test_gas_of_what_was_left_unfermented(case):
    of = case.inputs
    before, after = (
        fermented.beer_of(of["original_gravity"], of[name]).alcohol
        for name in ("gravity", "final_gravity")
    )
    # Alcohol made from 100 g of wort, and what is left of the wort before.
    made = [100.0 * percent / (100.0 + 1.0665 * percent) for percent in (before, after)]
    litre_g = of["gravity"] * fermented.WATER_20
    alcohol_g_per_l = (made[1] - made[0]) / (100.0 - 1.0665 * made[0]) * litre_g
    if of["quantity"] == "volumes":
        assert 0.9565 * alcohol_g_per_l / 1.977 == case.printed
        found = priming.volumes_from_fermentables(of["gravity"], of["final_gravity"])
    else:
        assert 2.0665 * alcohol_g_per_l == case.printed
        found = priming.extract_left_g_per_l(of["gravity"], of["final_gravity"])
    assert found == case.expected
