from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wortwright.brewing.acids import Acid
from wortwright.brewing.alkalinity import alkalinity_from_caco3
from wortwright.brewing.errors import OutOfRangeError
from wortwright.brewing.ions import PURE_WATER, Water
from wortwright.brewing.mash_ph import (
    Mash,
    MashedMalt,
    malt_of_class,
    mash_ph,
    mash_ph_linear,
    ph_at_room_temperature,
    ph_in_hot_mash,
    surplus_base_meq,
)
from wortwright.brewing.tables.malt_acidity import MaltClass, malt_acidities, malt_class_of
from wortwright.records.grist import Kind

# 80 % pale ale malt, 10 % dark crystal, 10 % roast at 3.15 L/kg
WATER = Water(60.0, 10.0, 55.0, 0.0, 100.0, 70.0, 0.0, alkalinity_from_caco3(75.0))
MALTS = tuple(
    malt_of_class(malt_class, mass_kg)
    for malt_class, mass_kg in (
        (MaltClass.PALE, 4.0),
        (MaltClass.CRYSTAL_DARK, 0.5),
        (MaltClass.BLACK, 0.5),
    )
)
MASH = Mash(MALTS, WATER, 3.15 * 5.0)

CASE_11 = Mash(
    (MashedMalt(4.5, 5.75, 40.0), MashedMalt(0.4, 4.75, 45.0), MashedMalt(0.1, 4.60, 40.0)),
    PURE_WATER,
    15.0,
)
mashes = st.builds(
    lambda masses, calcium, alkalinity, thickness: Mash(
        tuple(malt_of_class(c, m) for c, m in zip(MaltClass, masses, strict=True)),
        Water(calcium_mg_l=calcium, alkalinity_meq_l=alkalinity),
        thickness * sum(masses),
    ),
    st.lists(st.floats(0.1, 3.0), min_size=len(MaltClass), max_size=len(MaltClass)),
    st.floats(0.0, 200.0),
    st.floats(0.0, 5.0),
    st.floats(2.0, 6.0),
)


def balance_by_hand(calcium, magnesium, alkalinity_caco3, thickness, malts, lactic=0.0):
    """Bisection per kilogram of grist, every species written out, [mEq/kg]."""
    low, high = 4.0, 7.0
    carbon = alkalinity_caco3 / 50.043
    phosphate_protons = calcium / 20.039 / 3.5 + magnesium / 12.1525 / 7.0
    while high - low > 1e-7:
        ph = (low + high) / 2.0
        hydrogen = 10.0**-ph
        still_bicarbonate = carbon * 4.446e-7 / (4.446e-7 + hydrogen)
        protons_wanted = thickness * (carbon - still_bicarbonate - phosphate_protons)
        for share, distilled_ph, buffering in malts:
            protons_wanted += share * buffering * (distilled_ph - ph)
        protons_wanted -= lactic * 1.380e-4 / (1.380e-4 + hydrogen)
        low, high = (ph, high) if protons_wanted > 0.0 else (low, ph)
    return ph


GRIST_BY_HAND = ((0.8, 5.70, 40.0), (0.1, 4.70, 45.0), (0.1, 4.60, 40.0))


def test_the_dark_grist_agrees_with_a_balance_solved_by_hand():
    expected = balance_by_hand(60.0, 10.0, 75.0, 3.15, GRIST_BY_HAND)
    assert mash_ph(MASH).ph == pytest.approx(expected, abs=0.01)


@pytest.mark.parametrize("lactic_mmol_per_kg", [1.0, 5.0, 10.0])
def test_the_dark_grist_with_acid_agrees_with_a_balance_solved_by_hand(lactic_mmol_per_kg):
    mash = replace(MASH, acid_mmol=((Acid.LACTIC, 5.0 * lactic_mmol_per_kg),))
    expected = balance_by_hand(60.0, 10.0, 75.0, 3.15, GRIST_BY_HAND, lactic_mmol_per_kg)
    assert mash_ph(mash).ph == pytest.approx(expected, abs=0.01)


@pytest.mark.parametrize(
    ("change", "rises"),
    [
        ({"calcium_mg_l": 120.0}, False),
        ({"magnesium_mg_l": 40.0}, False),
        ({"alkalinity_meq_l": 3.0}, True),
    ],
)
def test_mash_ph_moves_the_right_way_with_each_ion(change, rises):
    changed = mash_ph(replace(MASH, water=replace(WATER, **change))).ph
    assert (changed > mash_ph(MASH).ph) is rises


@pytest.mark.parametrize("content", ["sodium_mg_l", "chloride_mg_l", "sulfate_mg_l"])
def test_ions_that_take_no_part_leave_mash_ph(content):
    water = replace(WATER, **{content: 200.0})
    assert mash_ph(replace(MASH, water=water)).ph == mash_ph(MASH).ph


@pytest.mark.parametrize("malt_class", [MaltClass.CRYSTAL_DARK, MaltClass.BLACK, MaltClass.WHEAT])
def test_mash_ph_moves_towards_the_malt_that_is_added(malt_class):
    malt = malt_of_class(malt_class, 0.5)
    before = mash_ph(MASH).ph
    after = mash_ph(replace(MASH, malts=(*MALTS, malt))).ph
    assert (after > before) is (malt.distilled_water_ph > before)


def test_more_of_an_alkaline_water_raises_mash_ph():
    assert mash_ph(replace(MASH, water_l=25.0)).ph > mash_ph(MASH).ph


@pytest.mark.parametrize("acid", list(Acid))
def test_acid_lowers_mash_ph(acid):
    assert mash_ph(replace(MASH, acid_mmol=((acid, 20.0),))).ph < mash_ph(MASH).ph


def test_acidulated_malt_lowers_mash_ph():
    # the maltsters' rule is 0.1 per percent of grist; the share taken here gives about half
    malts = (malt_of_class(MaltClass.PALE, 4.95), malt_of_class(MaltClass.ACIDULATED, 0.05))
    pale = Mash((malt_of_class(MaltClass.PALE, 5.0),), PURE_WATER, 15.0)
    fall = mash_ph(pale).ph - mash_ph(replace(pale, malts=malts)).ph
    assert 0.03 < fall < 0.12


@settings(max_examples=60, deadline=None)
@given(mashes)
def test_protons_balance_at_the_mash_ph(mash):
    ph = mash_ph(mash).ph
    assert surplus_base_meq(mash, ph) == pytest.approx(0.0, abs=1e-3)
    assert surplus_base_meq(mash, ph - 0.1) > 0.0 > surplus_base_meq(mash, ph + 0.1)


@settings(max_examples=60, deadline=None)
@given(mashes, st.floats(0.1, 10.0))
def test_mash_ph_does_not_depend_on_the_size_of_the_batch(mash, factor):
    malts = tuple(replace(malt, mass_kg=factor * malt.mass_kg) for malt in mash.malts)
    scaled = replace(mash, malts=malts, water_l=factor * mash.water_l)
    assert mash_ph(scaled).ph == pytest.approx(mash_ph(mash).ph, abs=1e-9)


def test_in_distilled_water_the_mash_is_the_buffered_mean_of_its_malts():
    # sum m B pHDI / sum m B by hand, 202.0 mEq/pH
    assert mash_ph(CASE_11).ph == pytest.approx(5.638, abs=5e-4)
    assert mash_ph_linear(CASE_11) == pytest.approx(5.638, abs=5e-4)


def test_the_straight_line_with_water_agrees_with_the_worked_case():
    water = Water(80.0, 5.0, alkalinity_meq_l=alkalinity_from_caco3(120.0))
    assert mash_ph_linear(replace(CASE_11, water=water)) == pytest.approx(5.727, abs=5e-4)


def test_the_straight_line_gives_kolbachs_slope():
    # 4 L/kg and 48 mEq/(kg pH): 0.084 pH per meq/L
    mash = Mash((MashedMalt(1.0, 5.7, 48.0),), Water(alkalinity_meq_l=1.0), 4.0)
    assert mash_ph_linear(mash) - 5.7 == pytest.approx(0.084, abs=1e-3)


@settings(max_examples=60, deadline=None)
@given(mashes)
def test_the_straight_line_without_carbon_dioxide_lies_above_the_balance(mash):
    malts = tuple(malt for malt in mash.malts if malt.lactic_share == 0.0)
    mash = replace(mash, malts=malts)
    assert 0.0 <= mash_ph_linear(mash) - mash_ph(mash).ph + 1e-9 < 0.25


def test_the_error_is_stated_and_smaller_with_data_of_the_lots():
    known = tuple(replace(malt, lot_data=True) for malt in MALTS)
    assert mash_ph(MASH).half_width == 0.2
    assert mash_ph(replace(MASH, malts=known)).half_width == 0.1


def test_a_learnt_offset_moves_the_forecast_by_itself():
    moved = mash_ph(replace(MASH, offset_ph=-0.08)).ph
    assert moved == pytest.approx(mash_ph(MASH).ph - 0.08, abs=1e-9)


@pytest.mark.parametrize(("temperature_c", "fall"), [(65.0, 0.35), (78.0, 0.45)])
def test_a_hot_mash_reads_lower(temperature_c, fall):
    # Briggs, Boulton, Brookes & Stevens 2004, p. 115, quoted
    assert 5.5 - ph_in_hot_mash(5.5, temperature_c) == pytest.approx(fall, abs=0.005)


@given(st.floats(4.5, 6.5), st.floats(0.0, 100.0))
def test_room_and_mash_temperature_convert_back(ph, temperature_c):
    hot = ph_in_hot_mash(ph, temperature_c)
    assert ph_at_room_temperature(hot, temperature_c) == pytest.approx(ph)


@pytest.mark.parametrize(
    "mash", [replace(MASH, malts=()), replace(MASH, water_l=0.0), replace(MASH, water_l=-1.0)]
)
def test_a_mash_without_malt_or_water_is_refused(mash):
    with pytest.raises(OutOfRangeError):
        mash_ph(mash)


@pytest.mark.parametrize("mmol", [-5000.0, 5000.0])
def test_a_balance_outside_every_mash_is_refused(mmol):
    with pytest.raises(OutOfRangeError):
        mash_ph(replace(MASH, acid_mmol=((Acid.LACTIC, mmol),)))


@pytest.mark.parametrize("row", malt_acidities(), ids=lambda row: row.malt_class)
def test_a_class_of_malt_is_possible(row):
    assert row.kind in {"", *Kind}
    assert 4.0 <= row.distilled_water_ph <= 6.1
    assert 20.0 <= row.buffering_meq_per_kg_ph <= 60.0


@pytest.mark.parametrize(
    ("kind", "colour", "expected"),
    [
        ("base_malt", 3.0, MaltClass.PILSNER),
        ("base_malt", 5.5, MaltClass.PALE),
        ("crystal_malt", 60.0, MaltClass.CRYSTAL_LIGHT),
        ("crystal_malt", 240.0, MaltClass.CRYSTAL_DARK),
        ("roasted_malt", 900.0, MaltClass.CHOCOLATE),
        ("roasted_malt", 1300.0, MaltClass.BLACK),
        ("kilned_malt", 15.0, MaltClass.MUNICH),
        ("acidulated_malt", 4.0, MaltClass.ACIDULATED),
        ("husks", 2.0, None),
        ("sugar", 0.0, None),
    ],
)
def test_the_class_follows_from_kind_and_colour(kind, colour, expected):
    assert malt_class_of(kind, colour) is expected
