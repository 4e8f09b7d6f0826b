import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wortwright.brewing.alkalinity import alkalinity_from_species
from wortwright.brewing.errors import OutOfRangeError
from wortwright.brewing.ions import CONTENTS, PURE_WATER, Water
from wortwright.brewing.salts import salt
from wortwright.brewing.water_targets import IonTarget, ion_wishes
from wortwright.brewing.water_treatment import (
    BrewingWater,
    target_imbalance_percent,
    treatment_for,
)

AT_HAND = tuple(
    salt(name)
    for name in ("gypsum", "calcium chloride dihydrate", "epsom salt", "table salt", "baking soda")
)
SOURCE = Water(60.0, 10.0, 25.0, 0.0, 40.0, 70.0, 0.0, alkalinity_from_species(150.0))
WANTED = IonTarget(
    calcium_mg_l=100.0,
    magnesium_mg_l=10.0,
    sodium_mg_l=60.0,
    chloride_mg_l=80.0,
    sulfate_mg_l=150.0,
    alkalinity_meq_l=alkalinity_from_species(200.0),
)
TARGET = ion_wishes(WANTED)


@settings(deadline=None, max_examples=25)
@given(st.floats(5.0, 60.0), st.floats(0.0, 40.0), st.floats(0.1, 10.0))
def test_exact_doses_scale_with_volume(mash_l, sparge_l, factor):
    one = treatment_for(SOURCE, BrewingWater(mash_l, sparge_l), TARGET, AT_HAND, PURE_WATER)
    volumes = BrewingWater(factor * mash_l, factor * sparge_l)
    other = treatment_for(SOURCE, volumes, TARGET, AT_HAND, PURE_WATER)
    for small, large in zip(one.doses, other.doses, strict=True):
        assert large.exact_mash_g == pytest.approx(factor * small.exact_mash_g, abs=1e-9)
        assert large.exact_sparge_g == pytest.approx(factor * small.exact_sparge_g, abs=1e-9)
    assert other.dilution_l == pytest.approx(factor * one.dilution_l, abs=1e-6)


def test_what_is_weighed_is_a_whole_number_of_steps_of_the_scale_and_near():
    found = treatment_for(SOURCE, BrewingWater(15.0, 10.0), TARGET, AT_HAND, scale_step_g=0.5)
    for dose in found.doses:
        assert (dose.mash_g / 0.5).is_integer()
        assert abs(dose.mash_g - dose.exact_mash_g) <= 0.25 + 1e-9


def test_a_dose_too_small_for_the_scale_is_left_out():
    target = ion_wishes(IonTarget(sodium_mg_l=26.0))
    found = treatment_for(SOURCE, BrewingWater(10.0), target, (salt("NaCl"),))
    assert 0.0 < found.doses[0].exact_mash_g < 0.05
    assert found.doses[0].mash_g == 0.0
    assert found.mash_water == SOURCE


def test_alkaline_salts_go_into_the_mash_only():
    found = treatment_for(SOURCE, BrewingWater(15.0, 10.0), TARGET, AT_HAND)
    by_name = {dose.salt.key: dose for dose in found.doses}
    assert by_name["baking_soda"].mash_g > 0.0
    assert by_name["baking_soda"].sparge_g == 0.0
    assert by_name["gypsum"].sparge_g > 0.0
    assert found.sparge_water.alkalinity_meq_l == pytest.approx(SOURCE.alkalinity_meq_l)


@pytest.mark.parametrize("dilution", [None, PURE_WATER])
def test_the_account_of_each_ion_adds_up_to_the_mash_water(dilution):
    found = treatment_for(SOURCE, BrewingWater(15.0, 10.0), TARGET, AT_HAND, dilution)
    assert [row.content for row in found.account] == list(CONTENTS)
    for row in found.account:
        total = row.from_water + sum(part for _, part in row.by_salt)
        assert row.in_mash == pytest.approx(total, abs=1e-9)
        assert row.in_mash == pytest.approx(getattr(found.mash_water, row.content), abs=1e-9)
        assert row.in_source == getattr(SOURCE, row.content)


def test_source_and_dilution_make_up_the_water():
    softer = ion_wishes(IonTarget(alkalinity_meq_l=1.0))
    found = treatment_for(SOURCE, BrewingWater(15.0, 10.0), softer, (), PURE_WATER)
    assert found.source_l + found.dilution_l == pytest.approx(25.0)
    # 5 % above 1.0 meq/L is allowed, and no drop more is diluted: 1.05/2.458 is kept
    assert found.kept_share == pytest.approx(1.05 / SOURCE.alkalinity_meq_l, abs=1e-6)


def test_imbalances_of_source_and_target_are_reported():
    found = treatment_for(SOURCE, BrewingWater(15.0), (), ())
    assert found.imbalance_percent == pytest.approx(-1.405, abs=0.002)
    target = IonTarget(
        calcium_mg_l=100.0,
        magnesium_mg_l=10.0,
        sodium_mg_l=20.0,
        chloride_mg_l=80.0,
        sulfate_mg_l=150.0,
        alkalinity_meq_l=alkalinity_from_species(60.0),
    )
    assert target_imbalance_percent(target) == pytest.approx(2.45, abs=0.005)
    assert target_imbalance_percent(IonTarget(calcium_mg_l=100.0)) is None


def test_without_a_target_the_water_stays_as_it_is():
    found = treatment_for(SOURCE, BrewingWater(15.0, 5.0), (), AT_HAND, PURE_WATER)
    assert found.mash_water == found.sparge_water == SOURCE
    assert found.dilution_l == 0.0


@pytest.mark.parametrize("volumes", [BrewingWater(0.0), BrewingWater(10.0, -1.0)])
def test_no_mash_water_is_refused(volumes):
    with pytest.raises(OutOfRangeError):
        treatment_for(SOURCE, volumes, TARGET, AT_HAND)
