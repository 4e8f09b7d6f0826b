from dataclasses import replace

import pytest

from factories import fermentable
from wortwright.brewing.acids import Acid
from wortwright.brewing.errors import OutOfRangeError
from wortwright.brewing.ions import PURE_WATER, Water
from wortwright.brewing.mash_ph_offset import PhInstrument, PhReading
from wortwright.brewing.tables.malt_acidity import MaltClass
from wortwright.planning.water.mash_acidity import FirstPart, correct_mash_ph, forecast_mash_ph
from wortwright.planning.water.mash_malts import MaltInMash, PhWanted, class_of
from wortwright.records.grist import Kind

WATER = Water(calcium_mg_l=60.0, magnesium_mg_l=10.0, alkalinity_meq_l=1.5)
PALE = MaltInMash("Pale malt", 4.0, MaltClass.PALE)
DARK = MaltInMash("Dark crystal", 0.5, MaltClass.CRYSTAL_DARK)
MALTS = (PALE, DARK)
METER, STRIP = PhInstrument.METER, PhInstrument.STRIP


def forecast(malts=MALTS, water=WATER, **wanted):
    return forecast_mash_ph(malts, water, 14.0, 66.0, PhWanted(**wanted))


def codes(found):
    return {each.code for each in found}


def test_one_malt_of_known_lot_in_distilled_water_has_its_own_ph():
    lot = MaltInMash("Lot", 5.0, None, 5.62, 38.0)
    made = forecast((lot,), PURE_WATER)
    assert made.ph == pytest.approx(5.62)
    assert made.half_width == 0.1
    assert "malt_acidity_assumed" not in codes(made.warnings)


def test_a_malt_of_which_nothing_is_known_is_left_out_and_told():
    husks = MaltInMash("Rice hulls", 0.3)
    made = forecast((*MALTS, husks))
    assert made.ph == forecast().ph
    assert "malts_not_counted" in codes(made.warnings)


def test_an_acidulated_malt_is_counted_by_the_acid_it_carries():
    acid = MaltInMash("Acid malt", 0.1, MaltClass.ACIDULATED)
    before, after = forecast().ph, forecast((*MALTS, acid)).ph
    # By hand: 2 g of lactic acid, 90.078 g/mol and 98 % dissociated; grist of 186.5 mEq to the
    # pH, of which the acid malt's own 4.0 start at 5.70, and 4 mEq to the pH of bicarbonate.
    protons_meq = 0.98 * 2.0 / 0.090078 - 4.0 * (5.70 - before)
    assert before - after == pytest.approx(protons_meq / (186.5 + 4.0), rel=0.05)


def test_without_a_mash_there_is_no_ph():
    with pytest.raises(OutOfRangeError):
        forecast((MaltInMash("Rice hulls", 0.3),))


@pytest.mark.parametrize(
    ("target", "acid", "base"), [(None, False, False), (5.3, True, False), (5.9, False, True)]
)
def test_a_dose_is_of_what_moves_the_mash_to_its_target(target, acid, base):
    dose = forecast(target_ph=target).dose
    assert (dose is not None) is (acid or base)
    if dose is not None:
        assert (dose.acid_ml is not None, dose.base_g is not None) == (acid, base)
        given = dose.acid_ml or dose.base_g
        assert given.first == pytest.approx(given.total / 2.0)


def test_a_mash_as_near_as_a_meter_reads_needs_no_dose():
    near = round(forecast().ph, 1)
    assert abs(near - forecast().ph) < 0.05
    assert forecast(target_ph=near).dose is None


def test_stronger_acid_takes_fewer_millilitres():
    weak, strong = (
        forecast(target_ph=5.3, acid=Acid.PHOSPHORIC, acid_strength=part).dose.acid_ml.total
        for part in (0.10, 0.75)
    )
    assert weak > 5.0 * strong


def test_much_lactic_acid_may_be_tasted():
    alkaline = replace(WATER, alkalinity_meq_l=8.0)
    assert "lactate_taste" in codes(forecast(water=alkaline, target_ph=5.2).warnings)
    assert "lactate_taste" not in codes(forecast(target_ph=5.3).warnings)
    other = forecast(water=alkaline, target_ph=5.2, acid=Acid.PHOSPHORIC, acid_strength=0.1)
    assert "lactate_taste" not in codes(other.warnings)


def test_more_chalk_than_is_advised_is_told():
    made = forecast((replace(DARK, mass_kg=4.0),), target_ph=5.6, base="chalk")
    assert "dose_beyond_advice" in codes(made.warnings)


def test_a_ph_outside_the_usual_range_is_told_where_no_dose_is_asked_for():
    assert "mash_ph_high" in codes(forecast((PALE,)).warnings)
    assert "mash_ph_low" in codes(forecast((DARK,)).warnings)


@pytest.mark.parametrize("read", [5.3, 5.6, 5.9])
def test_readings_draw_the_forecast_towards_the_meter(read):
    balance = forecast().ph_by_balance
    readings = (PhReading(balance, read, METER),) * 8
    made = forecast(readings=readings)
    assert abs(made.ph - read) < 0.1 * abs(balance - read) + 1e-9
    assert made.ph_by_balance == balance
    strips = tuple(replace(reading, instrument=STRIP) for reading in readings)
    assert forecast(readings=strips).ph == balance


@pytest.mark.parametrize(
    ("after", "rest", "again"), [(5.5, 4.0, True), (5.4, 1.0, False), (5.3, 0.0, False)]
)
def test_the_rest_follows_the_line_through_both_readings(after, rest, again):
    made = correct_mash_ph(FirstPart(acid_ml=2.0), 5.6, after, 5.3, METER)
    if after == 5.4:
        rest = 2.0 * (5.3 - 5.4) / (5.4 - 5.6)
    assert made.acid_ml == pytest.approx(rest)
    assert made.base_g is None
    assert ("measure_again" in codes(made.warnings)) is again


def test_a_correction_by_strip_is_doubted():
    made = correct_mash_ph(FirstPart(base_g=2.0), 5.0, 5.2, 5.4, STRIP)
    assert made.base_g == pytest.approx(2.0)
    assert "read_by_strip" in codes(made.warnings)


@pytest.mark.parametrize(
    ("changes", "expected"),
    [
        ({}, MaltClass.PALE),
        ({"colour_ebc": 3.0}, MaltClass.PILSNER),
        ({"name": "Wheat malt, pale"}, MaltClass.WHEAT),
        ({"kind": Kind.CRYSTAL_MALT, "colour_ebc": 200.0}, MaltClass.CRYSTAL_DARK),
        ({"kind": Kind.ROASTED_MALT, "colour_ebc": 1300.0}, MaltClass.BLACK),
        ({"kind": Kind.HUSKS, "colour_ebc": 0.0}, None),
        ({"kind": Kind.SUGAR, "colour_ebc": 0.0}, None),
    ],
)
def test_a_line_of_a_grist_has_the_class_of_its_kind_and_colour(changes, expected):
    assert class_of(fermentable(**changes)) is expected
