from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wortwright.brewing.acids import Acid, acid_mmol_per_ml
from wortwright.brewing.errors import OutOfRangeError
from wortwright.brewing.ions import PURE_WATER, Water, combine
from wortwright.brewing.mash_acid import (
    DoseWithoutEffectError,
    acid_dose_ml,
    base_dose_g,
    base_meq_per_g,
    rest_of_dose,
    with_acid,
)
from wortwright.brewing.mash_ph import Mash, MashedMalt, mash_ph
from wortwright.brewing.salts import UnknownSaltError, brought_by_g_per_l, salt

PALE = Mash((MashedMalt(5.0, 5.75, 40.0),), PURE_WATER, 15.0)
DARK = Mash(
    (MashedMalt(4.0, 5.70, 40.0), MashedMalt(1.0, 4.60, 40.0)), Water(calcium_mg_l=80.0), 15.0
)


def test_the_worked_dose_for_a_pale_mash_in_distilled_water():
    # 5 kg, 5.75 to 5.40 at 40 mEq/(kg pH): 70.00 mEq, 6.113 mL of lactic acid of 88 %
    dose = acid_dose_ml(PALE, 5.40, Acid.LACTIC, 88.0)
    assert dose.total == pytest.approx(6.113, abs=0.001)


@settings(max_examples=50, deadline=None)
@given(st.floats(4.8, 5.7), st.sampled_from(list(Acid)), st.floats(5.0, 85.0))
def test_the_whole_dose_brings_the_mash_to_its_target(target, acid, strength):
    dose = acid_dose_ml(PALE, target, acid, strength)
    after = with_acid(PALE, acid, dose.total * acid_mmol_per_ml(acid, strength))
    assert mash_ph(after).ph == pytest.approx(target, abs=1e-6)


def test_half_is_given_first():
    dose = acid_dose_ml(PALE, 5.40, Acid.LACTIC, 88.0)
    assert dose.first == pytest.approx(dose.total / 2.0)


def test_a_mash_below_its_target_takes_no_acid_and_one_above_no_base():
    assert acid_dose_ml(DARK, 5.6, Acid.LACTIC, 88.0).total == 0.0
    assert base_dose_g(PALE, 5.4, salt("baking soda")).total == 0.0


def test_the_whole_dose_of_baking_soda_brings_the_mash_to_its_target():
    dose = base_dose_g(DARK, 5.5, salt("baking soda"))
    assert dose.total > 0.0
    brought = brought_by_g_per_l(salt("baking soda"))
    water = combine([(DARK.water, 1.0), (brought, dose.total / DARK.water_l)])
    assert mash_ph(replace(DARK, water=water)).ph == pytest.approx(5.5, abs=1e-6)


def test_base_of_each_salt_by_hand():
    # at pH 6.352 half stays bicarbonate: soda 11.904/2; lime 26.993 less 26.993/3.5;
    # chalk half of 19.983 (1 - 1/4 - 1/3.5)
    assert base_meq_per_g(salt("baking soda"), 6.352) == pytest.approx(5.952, abs=5e-4)
    assert base_meq_per_g(salt("slaked lime"), 6.352) == pytest.approx(19.281, abs=5e-3)
    assert base_meq_per_g(salt("chalk"), 6.352) == pytest.approx(4.639, abs=5e-3)


@pytest.mark.parametrize("name", ["gypsum", "NaCl"])
def test_a_salt_that_raises_no_ph_is_refused(name):
    with pytest.raises(UnknownSaltError, match="raises no pH"):
        base_dose_g(DARK, 5.6, salt(name))


def test_a_learnt_offset_counts_in_the_dose():
    reads_low = replace(PALE, offset_ph=-0.1)
    assert (
        acid_dose_ml(reads_low, 5.4, Acid.LACTIC, 88.0).total
        < acid_dose_ml(PALE, 5.4, Acid.LACTIC, 88.0).total
    )


@pytest.mark.parametrize("offset", [-0.3, 0.3])
def test_with_an_offset_too_the_whole_dose_brings_the_mash_to_its_target(offset):
    pale, dark = (replace(mash, offset_ph=offset) for mash in (PALE, DARK))
    acid = acid_dose_ml(pale, 5.2, Acid.PHOSPHORIC, 75.0).total
    soured = with_acid(pale, Acid.PHOSPHORIC, acid * acid_mmol_per_ml(Acid.PHOSPHORIC, 75.0))
    assert mash_ph(soured).ph == pytest.approx(5.2, abs=1e-6)
    soda = base_dose_g(dark, 5.8, salt("baking soda")).total
    brought = brought_by_g_per_l(salt("baking soda"))
    water = combine([(dark.water, 1.0), (brought, soda / dark.water_l)])
    assert mash_ph(replace(dark, water=water)).ph == pytest.approx(5.8, abs=1e-6)


@given(st.floats(0.5, 20.0), st.floats(0.05, 0.3), st.floats(0.01, 0.3))
def test_the_rest_follows_from_what_the_first_part_did(first, moved, wanting):
    before, after = 5.8, 5.8 - moved
    rest = rest_of_dose(first, before, after, after - wanting)
    assert rest == pytest.approx(min(first * wanting / moved, 2.0 * first), rel=1e-6)


def test_the_rest_is_nothing_once_the_target_is_passed():
    assert rest_of_dose(3.0, 5.8, 5.3, 5.4) == 0.0


def test_the_rest_of_a_base_goes_upwards():
    assert rest_of_dose(2.0, 5.1, 5.3, 5.4) == pytest.approx(1.0)


@pytest.mark.parametrize("after", [5.8, 5.9])
def test_a_first_part_that_did_nothing_is_told(after):
    with pytest.raises(DoseWithoutEffectError, match=r"5\.80"):
        rest_of_dose(3.0, 5.8, after, 5.4)


@pytest.mark.parametrize("target", [4.0, 7.0])
def test_a_target_that_no_mash_wants_is_refused(target):
    with pytest.raises(OutOfRangeError):
        acid_dose_ml(PALE, target, Acid.LACTIC, 88.0)
