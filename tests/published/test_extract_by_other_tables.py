"""Extract and gravity by equations that are not in the code: NBS 440, Lincoln, Buhl, scales."""

import pytest

from published import extract_tables as tables
from published.cases import cases
from wortwright.brewing import boil, gravity, grist

POUND_KG, US_GALLON_L = 0.45359237, 3.785411784


@pytest.mark.parametrize("case", cases("gravity_by_nbs_table"))
def test_gravity_by_the_nbs_table(case):
    assert tables.nbs_gravity(**{"plato": case.inputs["extract_plato"]}) == case.printed
    assert gravity.gravity_from_plato(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("gravity_by_aoac_table"))
def test_gravity_by_the_aoac_table(case):
    assert tables.aoac_gravity(case.inputs["extract_plato"]) == case.printed
    assert gravity.gravity_from_plato(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("plato_by_other_equations"))
def test_extract_by_other_equations(case):
    equation = {"lincoln": tables.lincoln_plato, "buhl": tables.buhl_plato}[case.expected.table]
    assert equation(tables.in_air(case.inputs["gravity"])) == case.printed
    assert gravity.plato_from_gravity(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("extract_kg_by_nbs_table"))
def test_mass_of_extract_by_the_nbs_table(case):
    of = case.inputs
    assert of["volume_l"] * tables.nbs_extract_kg_per_l(of["gravity"]) == case.printed
    assert gravity.extract_kg(**of) == case.expected
    assert of["volume_l"] * gravity.extract_kg_per_l(of["gravity"]) == case.expected


@pytest.mark.parametrize("case", cases("extract_lb_of_a_us_barrel"))
def test_extract_of_a_us_barrel_weighed_in_air(case):
    # Extract weighed with brass weights in air of 1.2 kg/m3 loses what the wort loses.
    barrel_l = 31.0 * US_GALLON_L
    sg = gravity.gravity_from_plato(**case.inputs)
    wort_kg = gravity.extract_kg(barrel_l, sg) / (case.inputs["extract_plato"] / 100.0)
    weighed_kg = (wort_kg - 0.0012 * barrel_l) / (1.0 - 1.2 / 8000.0)
    assert case.inputs["extract_plato"] / 100.0 * weighed_kg / POUND_KG == case.expected


@pytest.mark.parametrize("case", cases("gravity_of_wort_by_nbs_table"))
def test_gravity_of_extract_in_a_volume_by_the_nbs_table(case):
    strength = case.inputs["extract_kg"] / case.inputs["volume_l"]
    assert tables.nbs_gravity_of_extract(strength) == case.printed
    assert gravity.gravity_of_wort(**case.inputs) == case.expected
    assert gravity.gravity_from_extract_kg_per_l(strength) == case.expected


@pytest.mark.parametrize("case", cases("volume_at_gravity_by_nbs_table"))
def test_volume_for_a_gravity_by_the_nbs_table(case):
    of = case.inputs
    before, after = (tables.nbs_extract_kg_per_l(of[n]) for n in ("from_gravity", "to_gravity"))
    assert of["from_l"] * before / after == case.printed
    extract_kg = gravity.extract_kg(of["from_l"], of["from_gravity"])
    assert gravity.volume_at_gravity_l(extract_kg, of["to_gravity"]) == case.expected


@pytest.mark.parametrize("case", cases("gravity_after_boil_by_nbs_table"))
def test_gravity_after_a_boil_by_the_nbs_table(case):
    of = case.inputs
    before = tables.nbs_extract_kg_per_l(of["gravity"])
    assert tables.nbs_gravity_of_extract(before * of["from_l"] / of["to_l"]) == case.printed
    assert boil.gravity_after_boil(**of) == case.expected


@pytest.mark.parametrize("case", cases("boil_by_minutes"))
def test_volume_after_a_boil_minute_by_minute(case):
    # Weighed: every minute its share of an hour's water leaves, in kilograms.
    of = case.inputs
    kettle_kg, water_kg_per_l = of["pre_boil_l"] * 0.998203, 0.998203
    for _ in range(int(of["time_min"])):
        kettle_kg -= of["boil_off_l_per_h"] * water_kg_per_l / 60.0
    assert kettle_kg / water_kg_per_l == case.printed
    assert boil.post_boil_volume_l(**of) == case.expected


@pytest.mark.parametrize("case", cases("boil_time_by_minutes"))
def test_time_of_a_boil_watched(case):
    left_l, watched_min = case.inputs["pre_boil_l"], 0.0
    while left_l > case.inputs["post_boil_l"] + 1e-9:
        left_l -= case.inputs["boil_off_l_per_h"] / 6000.0
        watched_min += 0.01
    assert watched_min == case.printed
    assert boil.boil_time_min(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("mash_efficiency_by_nbs_table"))
def test_implied_efficiency_by_the_nbs_table(case):
    of = case.inputs
    extract_kg = of["volume_l"] * tables.nbs_extract_kg_per_l(of["gravity"])
    from_mash = extract_kg - of["bypassing_extract_kg"]
    assert from_mash / of["mashed_potential_kg"] == case.printed
    assert grist.implied_mash_efficiency(**of) == case.expected


@pytest.mark.parametrize("case", cases("malt_yield_by_congress_mash"))
def test_yield_as_is_of_a_congress_mash(case):
    # 50 g of malt in 400 g of water; extract as is from the strength of the wort.
    dry, moisture = case.inputs["dry_percent"], case.inputs["moisture_percent"]
    extract_g = 50.0 * (1.0 - moisture / 100.0) * dry / 100.0
    plato = 100.0 * extract_g / (extract_g + 400.0 + 50.0 * moisture / 100.0)
    assert plato * (moisture + 800.0) / (100.0 - plato) == case.printed
    assert 100.0 * grist.as_is_yield(dry / 100.0, moisture / 100.0) == case.expected


@pytest.mark.parametrize("case", cases("coarse_yield_by_noonan"))
def test_coarse_yield_by_another_rule(case):
    fine, difference, moisture = (part / 100.0 for part in case.inputs.values())
    assert 100.0 * ((fine - difference) / (1.0 + moisture) - 0.002) == case.printed
    coarse = grist.coarse_from_fine(fine, difference)
    assert 100.0 * grist.as_is_yield(coarse, moisture) == case.expected


@pytest.mark.parametrize("case", cases("potential_by_laboratory_mash"))
def test_potential_extract_of_a_ground_mixture(case):
    masses, yields = case.inputs["masses_kg"], case.inputs["yields"]
    extract_g = sum(
        50.0 * mass / sum(masses) * part for mass, part in zip(masses, yields, strict=True)
    )
    plato = 100.0 * extract_g / (extract_g + 400.0)
    assert plato / (100.0 - plato) * 400.0 / 50.0 * sum(masses) == case.printed
    assert grist.potential_extract_kg(masses, yields) == case.expected


@pytest.mark.parametrize("case", cases("hmrc_degrees"))
def test_degrees_of_gravity(case):
    original, present = case.inputs["original"], case.inputs["present"]
    points = [gravity.points_from_gravity(degrees / 1000.0) for degrees in (original, present)]
    assert points[0] - points[1] == case.expected
    dropped = gravity.gravity_from_points(original - 1000.0) - present / 1000.0
    assert 1000.0 * dropped == case.expected
