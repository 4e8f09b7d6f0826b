"""Rules of water and mash at their edges, each held against the rule as it is stated."""

import math
from dataclasses import replace

import pytest

from wortwright.brewing import (
    acids,
    mash_acid,
    mash_ph,
    water_limits,
    water_report,
    water_targets,
    water_treatment,
)
from wortwright.brewing.errors import OutOfRangeError
from wortwright.brewing.ions import PURE_WATER, Water
from wortwright.brewing.salts import salt

PALE = mash_ph.MashedMalt(5.0, 5.7, 40.0)
MASH = mash_ph.Mash((PALE,), PURE_WATER, 15.0)


def with_lactic(mmol):
    return replace(MASH, acid_mmol=((acids.Acid.LACTIC, mmol),))


def with_alkalinity(meq_l):
    return replace(MASH, water=Water(alkalinity_meq_l=meq_l))


def test_a_mash_just_within_the_balance_has_a_ph():
    # 0.5 mEq inside the ends of the range, and as much outside.
    at_3 = mash_ph.surplus_base_meq(MASH, 3.0)
    given_up = acids.protons_per_mole(acids.Acid.LACTIC, 3.0)
    inside, outside = (with_lactic((at_3 + rest) / given_up) for rest in (-0.5, 0.5))
    assert mash_ph.mash_ph(inside).ph == pytest.approx(3.0, abs=0.01)
    with pytest.raises(OutOfRangeError) as refused:
        mash_ph.mash_ph(outside)
    assert refused.value.value == pytest.approx(-0.5)
    at_10 = mash_ph.surplus_base_meq(MASH, 10.0)
    growth = mash_ph.surplus_base_meq(with_alkalinity(1.0), 10.0) - at_10
    inside, outside = (with_alkalinity((rest - at_10) / growth) for rest in (-0.5, 0.5))
    assert mash_ph.mash_ph(inside).ph == pytest.approx(10.0, abs=0.01)
    with pytest.raises(OutOfRangeError) as refused:
        mash_ph.mash_ph(outside)
    assert refused.value.value == pytest.approx(0.5)


def test_the_linear_form_takes_the_offset_and_needs_a_mash():
    moved = replace(MASH, offset_ph=0.1)
    assert mash_ph.mash_ph_linear(moved) == pytest.approx(mash_ph.mash_ph_linear(MASH) + 0.1)
    for wanting in (replace(MASH, malts=()), replace(MASH, water_l=0.0)):
        with pytest.raises(OutOfRangeError):
            mash_ph.mash_ph_linear(wanting)


def test_acidulated_malt_carries_its_lactic_acid():
    # 5 kg with 0.4 g of lactic acid a kilogram: 2 g at 90.078 g/mol.
    sour = replace(MASH, malts=(replace(PALE, lactic_share=0.0004),))
    assert mash_ph.mash_ph(sour).ph == pytest.approx(
        mash_ph.mash_ph(with_lactic(2000.0 / 90.078)).ph, abs=1e-6
    )


def test_a_dose_at_the_target_already_has_no_rest():
    with pytest.raises(mash_acid.DoseWithoutEffectError):
        mash_acid.rest_of_dose(5.0, 5.4, 5.3, 5.4)


def line(quantity, value, basis=None):
    return water_report.ReportLine(
        water_report.Quantity(quantity), value, water_report.ReportUnit.MEQ_L, basis
    )


def test_what_a_report_does_not_name_is_not_there():
    read = water_report.water_from_report([line("calcium", 2.0)])
    assert read == Water(calcium_mg_l=2.0 * 20.039)


@pytest.mark.parametrize(("hardness", "magnesium"), [(1.97, 0.0), (2.0, 0.0), (2.5, 0.5)])
def test_magnesium_is_what_hardness_leaves_over(hardness, magnesium):
    read = water_report.water_from_report([line("calcium", 2.0), line("total_hardness", hardness)])
    assert read.magnesium_mg_l == pytest.approx(magnesium * 12.1525, abs=1e-9)


@pytest.mark.parametrize(("calcium", "hardness"), [(2.0, 1.959), (0.5, 0.4895)])
def test_hardness_clearly_below_its_calcium_is_refused(calcium, hardness):
    with pytest.raises(water_report.UnreadableReportError):
        water_report.water_from_report([line("calcium", calcium), line("total_hardness", hardness)])


@pytest.mark.parametrize(
    ("contents", "name", "miss"),
    [
        ({"sulfate_mg_l": 100.0}, "sulfate_to_chloride", 2.0 / math.sqrt(2.0)),
        ({"chloride_mg_l": 100.0}, "sulfate_to_chloride", -2.0 / math.sqrt(2.0)),
        ({"alkalinity_meq_l": 2.0}, "residual_alkalinity", 2.0),
        ({"calcium_mg_l": 7.0 * 20.039}, "residual_alkalinity", -2.0),
        ({"magnesium_mg_l": 7.0 * 12.1525}, "residual_alkalinity", -1.0),
        ({"calcium_mg_l": 25.0}, "least_calcium", -0.5),
        ({"calcium_mg_l": 165.0}, "most_calcium_mg_l", 0.1),
        ({"magnesium_mg_l": 33.0}, "most_magnesium_mg_l", 0.1),
        ({"sodium_mg_l": 110.0}, "most_sodium_mg_l", 0.1),
        ({"chloride_mg_l": 165.0}, "most_chloride_mg_l", 0.1),
        ({"sulfate_mg_l": 385.0}, "most_sulfate_mg_l", 0.1),
    ],
)
def test_a_balance_is_missed_by_as_much_as_is_stated(contents, name, miss):
    # Ceilings of J. Palmer, How to Brew, web edition, ch. 15.1 (quoted), and of common practice.
    wishes = water_targets.balance_wishes(1.0, 0.0)
    by_name = dict(
        zip(
            [wish.name for wish in wishes],
            water_targets.misses(Water(**contents), wishes),
            strict=True,
        )
    )
    assert by_name[name] == pytest.approx(miss, abs=1e-9)


def test_a_water_at_its_least_calcium_passes_no_limit_of_calcium():
    codes = {limit.code for limit in water_limits.limits_passed(Water(calcium_mg_l=50.0))}
    assert "calcium_low" not in codes


def test_a_treatment_accounts_for_what_was_weighed():
    # A gram of gypsum brings 232.79 mg of calcium, of baking soda 11.904 mEq.
    doses = (salt("gypsum"), salt("baking_soda"))
    target = water_targets.IonTarget(
        calcium_mg_l=60.0, sulfate_mg_l=143.8, sodium_mg_l=23.0, alkalinity_meq_l=1.0
    )
    found = water_treatment.treatment_for(
        PURE_WATER,
        water_treatment.BrewingWater(20.0, 10.0),
        water_targets.ion_wishes(target),
        doses,
    )
    gypsum, soda = found.doses
    assert gypsum.mash_g * 10.0 == pytest.approx(round(gypsum.mash_g * 10.0), abs=1e-9)
    assert abs(gypsum.mash_g - gypsum.exact_mash_g) <= 0.05
    calcium = next(part for part in found.account if part.content == "calcium_mg_l")
    assert calcium.in_mash == pytest.approx(gypsum.mash_g / 20.0 * 232.79, abs=0.01)
    assert found.mash_water.calcium_mg_l == pytest.approx(calcium.in_mash)
    assert found.sparge_water.calcium_mg_l == pytest.approx(
        gypsum.sparge_g / 10.0 * 232.79, abs=0.01
    )
    assert found.mash_water.alkalinity_meq_l == pytest.approx(soda.mash_g / 20.0 * 11.904, abs=1e-3)
    assert (soda.sparge_g, found.sparge_water.alkalinity_meq_l) == (0.0, 0.0)


def test_a_treatment_of_no_salts_takes_no_salts():
    found = water_treatment.treatment_for(PURE_WATER, water_treatment.BrewingWater(20.0), ())
    assert (found.doses, found.kept_share, found.reached) == ((), 1.0, True)
