"""A reading is corrected to 20 degC and to a true instrument."""

import math
from dataclasses import replace

import pytest

from planning.kettle_kit import at, log
from planning.kit import BAG
from wortwright.planning.kettle.kettle_reading import (
    Instrument,
    InstrumentKind,
    KettleReading,
    ReadingError,
    as_volume_and_gravity,
    kettle_reading,
)
from wortwright.records.session import Reading, Stage


def test_a_depth_is_a_volume_in_a_round_kettle():
    # 200 mm in a kettle of 350 mm: pi/4 x 3.5 dm x 3.5 dm x 2 dm.
    found = log(at(Stage.PRE_BOIL, depth_mm=200.0))
    assert found.volume_l.mean == pytest.approx(19.242, abs=5e-4)
    bare = replace(
        BAG,
        vessels=replace(BAG.vessels, kettle=replace(BAG.vessels.kettle, inner_diameter_mm=None)),
    )
    with pytest.raises(ReadingError) as refused:
        log(at(Stage.PRE_BOIL, depth_mm=200.0), setup=bare)
    assert refused.value.field == "depth"


def test_hot_wort_is_less_wort_than_it_looks():
    reading = Reading(Stage.PRE_BOIL, volume_l=28.12, volume_temperature_c=100.0)
    # 28.12 L at the boil are 27.00 L cold (densities of water, Kell 1975).
    assert log(KettleReading(reading)).volume_l.mean == pytest.approx(27.00, abs=0.02)


def test_a_volume_before_the_boil_without_temperature_raises_a_doubt():
    found = log(at(Stage.PRE_BOIL, 24.0))
    assert "volume_taken_as_cold" in [finding.code for finding in found.findings]


def test_a_scalding_sample_is_not_read():
    reading = Reading(Stage.PRE_BOIL, gravity=1.030, gravity_temperature_c=75.0)
    found = log(KettleReading(reading))
    assert "gravity_not_usable" in [finding.code for finding in found.findings]
    assert found.on_target


@pytest.mark.parametrize(
    ("readings", "field"),
    [
        ([at(Stage.MID_BOIL, 22.0, 1.044)], "boiled"),
        ([at(Stage.PRE_BOIL, 40.0, 1.044)], "volume"),
        ([KettleReading(Reading(Stage.PRE_BOIL, gravity=1.040), brix=10.0)], "brix"),
        ([at(Stage.PRE_BOIL, 22.0, depth_mm=200.0)], "depth"),
        ([at(Stage.FERMENTER, depth_mm=200.0)], "depth"),
        ([at(Stage.PRE_BOIL, depth_mm=0.0)], "depth"),
        ([at(Stage.POST_BOIL, 36.0, 1.044)], "volume"),
    ],
)
def test_readings_that_cannot_be_are_refused(readings, field):
    with pytest.raises(ReadingError) as refused:
        log(*readings)
    assert refused.value.field == field


@pytest.mark.parametrize("gravity", [0.98, 1.0, 1.0001])
@pytest.mark.parametrize("stage", [Stage.FIRST_WORT, Stage.PRE_BOIL, Stage.FERMENTER])
def test_the_gravity_of_water_is_that_of_no_wort(stage, gravity):
    """A sample of plain water, a hydrometer read from the wrong end."""
    found = log(at(stage, gravity=gravity))
    (said,) = found.corrected[0].findings
    assert said.code == "gravity_not_usable"
    assert found.corrected[0].gravity is None
    assert found.outlook.original_gravity.mean == pytest.approx(
        log().outlook.original_gravity.mean, abs=1e-9
    )


def gravity_of(reading, **more):
    return log(KettleReading(reading, **more)).corrected[0].gravity


def test_warm_sample_is_corrected_to_twenty_degrees():
    # 1.050 at 30 degC on an instrument for 20 degC: +2.84 points (balance of the float).
    warm = Reading(Stage.PRE_BOIL, gravity=1.050, gravity_temperature_c=30.0)
    assert gravity_of(warm) == pytest.approx(1.05284, abs=5e-6)
    # The same at 25 degC on one for 60 degF: +2.30 points on its own scale, which at 12.8 degP
    # stands 0.24 points above that of 20 degC (0.19 at 10 degP, 0.38 at 20).
    warm = Reading(Stage.PRE_BOIL, gravity=1.050, gravity_temperature_c=25.0)
    made_for_60f = Instrument(calibrated_c=15.556)
    assert gravity_of(warm, instrument=made_for_60f) == pytest.approx(1.05206, abs=3e-5)


def test_what_a_hydrometer_shows_in_water_is_taken_off():
    off = Instrument(reads_in_water=1.002)
    reading = Reading(Stage.PRE_BOIL, gravity=1.050)
    assert gravity_of(reading, instrument=off) == pytest.approx(1.048, abs=1e-6)


def test_refractometer_is_divided_by_its_wort_factor():
    # 12.5 degBx over 1.04 are 12.02 degP, 1.0484 by the sucrose tables.
    brix = KettleReading(Reading(Stage.PRE_BOIL), brix=12.5)
    assert log(brix).corrected[0].gravity == pytest.approx(1.0484, abs=1e-4)


def test_a_stored_reading_tells_its_instrument():
    stored = Reading(
        Stage.PRE_BOIL, depth_mm=250.0, brix=12.0, wort_correction_factor=1.05, boiled_min=0.0
    )
    read = kettle_reading(stored)
    assert (read.depth_mm, read.brix, read.boiled_min) == (250.0, 12.0, 0.0)
    assert read.instrument.kind is InstrumentKind.REFRACTOMETER
    assert read.instrument.wort_correction_factor == 1.05
    plain = kettle_reading(Reading(Stage.PRE_BOIL, gravity=1.04, calibrated_c=15.6))
    assert plain.instrument == Instrument(calibrated_c=15.6)


def test_what_is_a_volume_and_a_gravity_already_teaches_as_it_was_read():
    stored = Reading(Stage.PRE_BOIL, volume_l=27.0, volume_temperature_c=65.0, gravity=1.04)
    assert as_volume_and_gravity(stored, BAG.vessels.kettle) is stored


def test_a_depth_and_degrees_brix_teach_as_volume_and_gravity():
    stored = Reading(
        Stage.POST_BOIL, depth_mm=200.0, brix=11.44, wort_correction_factor=1.04, ph=5.2
    )
    taught = as_volume_and_gravity(stored, BAG.vessels.kettle)
    # A cylinder of 350 mm; 11.44 / 1.04 is 11.0 degP, 1.0442 by the extract tables.
    assert taught.volume_l == pytest.approx(math.pi * 3.5**2 / 4.0 * 2.0)
    assert taught.gravity == pytest.approx(1.0442, abs=2e-4)
    assert taught.ph == 5.2
    assert taught == as_volume_and_gravity(taught, BAG.vessels.kettle)


def test_what_contradicts_itself_teaches_nothing():
    stored = Reading(Stage.POST_BOIL, volume_l=20.0, depth_mm=200.0, gravity=1.050)
    taught = as_volume_and_gravity(stored, BAG.vessels.kettle)
    assert (taught.volume_l, taught.gravity, taught.depth_mm) == (None, None, None)


def test_degrees_brix_of_beer_stay_for_what_the_wort_was():
    stored = Reading(Stage.FINAL, brix=6.0)
    assert as_volume_and_gravity(stored, BAG.vessels.kettle) == stored
