"""Corrections are carried out on a simulated kettle, by a balance of kilograms."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from planning.kit import BAG, BITTER, bag_calibration, hop, mash, pale, plan_for, pot_of
from wortwright.planning.kettle.corrections import CorrectionKind
from wortwright.planning.kettle.kettle_log import read_kettle
from wortwright.planning.kettle.kettle_reading import (
    Instrument,
    InstrumentKind,
    KettleReading,
    ReadingError,
    as_volume_and_gravity,
    kettle_reading,
)
from wortwright.planning.limits import Limits
from wortwright.records.grist import AddedTo, Kind, Moment, Purpose, Role
from wortwright.records.session import Reading, Stage
from wortwright.records.setup import LauterMethod

KNOWN = bag_calibration()
PLAN = plan_for(known=KNOWN)
RATE = 3.2
DRY_EXTRACT = 0.98 * 0.97
ON_TARGET = 0.0003


def at(stage, volume_l=None, gravity=None, **more):
    reading = Reading(stage, volume_l=volume_l, gravity=gravity)
    return KettleReading(reading, **more)


def log(*readings, plan=PLAN, limits=None, setup=BAG):
    return read_kettle(plan, setup, KNOWN, readings, limits)


def carried_out(pot, correction):
    """Do to a pot of wort what a correction says; boil down to the mark, whatever the flame."""
    pot = pot.with_extract(correction.dry_extract_kg * DRY_EXTRACT)
    if correction.boil_down_to_l is not None:
        pot = bisect_boil(pot, lambda left: left.litres - correction.boil_down_to_l)
    return pot.with_water(correction.top_up_l)


def bisect_boil(pot, too_much):
    """Boil until what is still too much no longer is."""
    low, high = 0.0, pot.litres * 0.9
    for _ in range(50):
        middle = (low + high) / 2.0
        low, high = (middle, high) if too_much(pot.boiled(middle)) > 0.0 else (low, middle)
    return pot.boiled(low)


def by_kind(found):
    return {correction.kind: correction for correction in found.corrections}


def test_without_readings_the_brew_ends_as_planned():
    found = log()
    assert found.on_target
    assert found.outlook.original_gravity.mean == pytest.approx(
        PLAN.forecast.original_gravity.mean, abs=1e-6
    )
    assert found.outlook.fermenter_l.mean == pytest.approx(PLAN.water.fermenter_l, abs=1e-6)
    assert found.outlook.bitterness_ibu == pytest.approx(PLAN.forecast.bitterness_ibu, abs=0.1)
    assert found.outlook.colour_ebc == pytest.approx(PLAN.forecast.colour_ebc, rel=1e-9)
    assert found.outlook.alcohol_by_volume.mean == pytest.approx(
        PLAN.forecast.alcohol_by_volume.mean, abs=1e-5
    )
    assert found.corrections == ()
    assert found.cannot_be_mended == ()


@given(st.floats(-0.008, 0.008), st.floats(-1.5, 1.5))
def test_every_correction_before_the_boil_ends_on_target(gravity_off, volume_off):
    volume = PLAN.water.preboil_l + volume_off
    gravity = PLAN.forecast.preboil_gravity.mean + gravity_off
    found = log(at(Stage.PRE_BOIL, volume, gravity))
    pot = pot_of(gravity, volume)
    for correction in found.corrections:
        if correction.kind is not CorrectionKind.HOPS:
            end = carried_out(pot, correction)
            assert end.gravity == pytest.approx(PLAN.asked.gravity, abs=ON_TARGET)
            assert correction.end.original_gravity.mean == pytest.approx(end.gravity, abs=ON_TARGET)
            assert correction.end.postboil_l.mean == pytest.approx(end.litres, abs=0.05)


@given(st.floats(5.0, 55.0), st.floats(-0.006, 0.006), st.floats(-1.0, 1.0))
def test_every_correction_in_the_boil_ends_on_target(minutes, gravity_off, volume_off):
    started = pot_of(
        PLAN.forecast.preboil_gravity.mean + gravity_off, PLAN.water.preboil_l + volume_off
    )
    now = started.boiled(RATE * minutes / 60.0)
    found = log(
        at(Stage.PRE_BOIL, started.litres, started.gravity),
        at(Stage.MID_BOIL, now.litres, now.gravity, boiled_min=minutes),
    )
    assert found.boiled_min == minutes
    for correction in found.corrections:
        if correction.kind is not CorrectionKind.HOPS:
            end = carried_out(now, correction)
            assert end.gravity == pytest.approx(PLAN.asked.gravity, abs=ON_TARGET)


@given(st.floats(-0.006, 0.006), st.floats(-1.0, 1.0))
def test_every_correction_after_the_boil_ends_on_target(gravity_off, volume_off):
    pot = pot_of(PLAN.asked.gravity + gravity_off, PLAN.water.postboil_l + volume_off)
    found = log(at(Stage.POST_BOIL, pot.litres, pot.gravity))
    for correction in found.corrections:
        end = carried_out(pot, correction)
        assert end.gravity == pytest.approx(PLAN.asked.gravity, abs=ON_TARGET)
        assert correction.kind is not CorrectionKind.BOIL_SHORTER


@given(st.floats(-0.006, 0.006), st.floats(-1.0, 1.0))
def test_in_the_fermenter_nothing_is_boiled_and_every_correction_ends_on_target(off, volume_off):
    pot = pot_of(PLAN.asked.gravity + off, PLAN.water.fermenter_l + volume_off)
    found = log(at(Stage.FERMENTER, pot.litres, pot.gravity))
    for correction in found.corrections:
        assert correction.boil_min is None
        assert correction.hop_changes == ()
        assert carried_out(pot, correction).gravity == pytest.approx(
            PLAN.asked.gravity, abs=ON_TARGET
        )


def test_extract_and_volume_together_reach_both():
    pot = pot_of(PLAN.forecast.preboil_gravity.mean - 0.006, PLAN.water.preboil_l - 1.0)
    both = by_kind(log(at(Stage.PRE_BOIL, pot.litres, pot.gravity)))[
        CorrectionKind.DRY_EXTRACT_AND_TOP_UP
    ]
    end = carried_out(pot, both)
    assert end.gravity == pytest.approx(PLAN.asked.gravity, abs=ON_TARGET)
    assert end.litres == pytest.approx(PLAN.water.postboil_l, abs=0.03)


def test_minutes_lead_to_the_mark_at_the_rate_reckoned_with():
    found = log(
        at(Stage.PRE_BOIL, PLAN.water.preboil_l, PLAN.forecast.preboil_gravity.mean - 0.004)
    )
    longer = by_kind(found)[CorrectionKind.BOIL_LONGER]
    assert found.boil_off_l_per_h.mean == pytest.approx(RATE)
    boiled = pot_of(1.040, PLAN.water.preboil_l).boiled(RATE * longer.boil_min / 60.0)
    assert boiled.litres == pytest.approx(longer.boil_down_to_l, abs=0.02)


def test_a_kettle_that_boils_harder_than_known_is_noticed_in_part():
    started = pot_of(PLAN.forecast.preboil_gravity.mean, PLAN.water.preboil_l)
    now = started.boiled(6.0 * 0.75)
    found = log(
        at(Stage.PRE_BOIL, started.litres, started.gravity),
        at(Stage.MID_BOIL, now.litres, now.gravity, boiled_min=45.0),
    )
    assert RATE < found.boil_off_l_per_h.mean < 6.0


def test_a_weak_wort_is_offered_boil_and_extract_a_strong_one_water():
    weak = log(at(Stage.PRE_BOIL, PLAN.water.preboil_l, PLAN.forecast.preboil_gravity.mean - 0.005))
    assert {CorrectionKind.BOIL_LONGER, CorrectionKind.DRY_EXTRACT} <= set(by_kind(weak))
    assert CorrectionKind.TOP_UP not in by_kind(weak)
    strong = log(
        at(Stage.PRE_BOIL, PLAN.water.preboil_l, PLAN.forecast.preboil_gravity.mean + 0.005)
    )
    assert CorrectionKind.TOP_UP in by_kind(strong)
    assert CorrectionKind.DRY_EXTRACT not in by_kind(strong)
    assert "extract_stays" in [finding.code for finding in strong.cannot_be_mended]


def test_who_will_not_use_extract_is_offered_none_and_told_what_it_costs():
    found = log(
        at(Stage.PRE_BOIL, PLAN.water.preboil_l, PLAN.forecast.preboil_gravity.mean - 0.005),
        limits=Limits(no_extract=True),
    )
    assert all(correction.dry_extract_kg == 0.0 for correction in found.corrections)
    assert "less_beer" in [finding.code for finding in found.cannot_be_mended]


def test_a_boil_beyond_the_limit_is_not_offered():
    weak = at(Stage.PRE_BOIL, PLAN.water.preboil_l, PLAN.forecast.preboil_gravity.mean - 0.012)
    found = log(weak, limits=Limits(no_extract=True, max_boil_min=70.0))
    assert found.corrections == () or set(by_kind(found)) == {CorrectionKind.HOPS}
    assert "gravity_out_of_reach" in [finding.code for finding in found.cannot_be_mended]


def tinseth(minutes, gravity):
    """Tinseth 1997: the published pair of factors."""
    return 1.65 * 0.000125 ** (gravity - 1.0) * (1.0 - math.exp(-0.04 * minutes)) / 4.15


def test_hops_still_to_come_bring_the_bitterness_back():
    # Wort 20 points too strong for its hops: less is dissolved from the same mass.
    pot = pot_of(PLAN.forecast.preboil_gravity.mean + 0.008, PLAN.water.preboil_l)
    found = log(at(Stage.PRE_BOIL, pot.litres, pot.gravity))
    for correction in found.corrections:
        assert correction.hop_changes
        masses = {change.time_min: change.mass_kg for change in correction.hop_changes}
        assert correction.end.bitterness_ibu == pytest.approx(PLAN.asked.bitterness_ibu, abs=0.1)
        assert all(mass > 0.0 for mass in masses.values())


def test_bitterness_of_a_correction_agrees_with_a_hand_count():
    pot = pot_of(PLAN.forecast.preboil_gravity.mean - 0.006, PLAN.water.preboil_l)
    longer = by_kind(log(at(Stage.PRE_BOIL, pot.litres, pot.gravity)))[CorrectionKind.BOIL_LONGER]
    end = carried_out(pot, longer)
    mean_gravity = (pot.gravity + end.gravity) / 2.0
    weighed = {line.time_min: line.to_weigh_kg for line in PLAN.hop_bill if line.moment == "boil"}
    weighed |= {change.time_min: change.mass_kg for change in longer.hop_changes}
    counted = sum(
        kg * 1e6 * 0.08 * tinseth(minutes, mean_gravity) / end.litres
        for minutes, kg in weighed.items()
    )
    assert longer.end.bitterness_ibu == pytest.approx(counted, abs=0.3)


def test_hops_that_are_in_are_left_alone_and_boil_along():
    started = pot_of(PLAN.forecast.preboil_gravity.mean - 0.006, PLAN.water.preboil_l)
    now = started.boiled(RATE * 50.0 / 60.0)
    found = log(
        at(Stage.PRE_BOIL, started.litres, started.gravity),
        at(Stage.MID_BOIL, now.litres, now.gravity, boiled_min=50.0),
    )
    for correction in found.corrections:
        for change in correction.hop_changes:
            assert change.planned_kg == 0.0  # only something new may go in


def test_too_little_bitterness_in_the_fermenter_is_said_and_not_mended():
    # Twice the wort for the same hops.
    found = log(
        at(Stage.POST_BOIL, PLAN.water.postboil_l * 1.5, PLAN.asked.gravity),
        at(Stage.FERMENTER, PLAN.water.fermenter_l * 1.5, PLAN.asked.gravity),
    )
    assert "bitterness_out_of_reach" in [finding.code for finding in found.cannot_be_mended]
    assert all(correction.hop_changes == () for correction in found.corrections)


def test_no_room_for_water_is_said():
    small = replace(BAG, vessels=replace(BAG.vessels, fermenters=BAG.vessels.fermenters[:1]))
    volume = 21.6 + 1.5  # what the fermenter takes with its room for foam, and the kettle loss
    found = log(at(Stage.POST_BOIL, volume, 1.056), setup=small)
    assert CorrectionKind.TOP_UP not in by_kind(found)
    assert "gravity_out_of_reach" in [finding.code for finding in found.cannot_be_mended]


def test_sugar_still_to_come_counts_as_planned():
    sugared = replace(
        BITTER,
        grist=(
            *BITTER.grist,
            pale(0.5, name="Sugar", kind=Kind.SUGAR, extract_yield=1.0, moisture=0.0,
                 added_to=AddedTo.KETTLE, role=Role.BASE),
        ),
    )  # fmt: skip
    plan = plan_for(sugared, known=KNOWN)
    weighed = next(line.to_weigh_kg for line in plan.grist if line.name == "Sugar")
    pot = pot_of(plan.forecast.preboil_gravity.mean - 0.004, plan.water.preboil_l)
    found = log(at(Stage.PRE_BOIL, pot.litres, pot.gravity), plan=plan)
    assert log(plan=plan).on_target
    for correction in found.corrections:
        if correction.kind is not CorrectionKind.HOPS:
            end = carried_out(pot.with_extract(weighed), correction)
            assert end.gravity == pytest.approx(plan.asked.gravity, abs=ON_TARGET)


def test_first_wort_of_a_full_volume_mash_is_the_wort_in_the_kettle():
    gravity = PLAN.forecast.preboil_gravity.mean - 0.004
    first = log(at(Stage.FIRST_WORT, gravity=gravity))
    before = log(at(Stage.PRE_BOIL, PLAN.water.preboil_l, gravity))
    assert first.outlook.original_gravity.mean == pytest.approx(
        before.outlook.original_gravity.mean, abs=1e-6
    )
    assert {CorrectionKind.BOIL_LONGER, CorrectionKind.DRY_EXTRACT} <= set(by_kind(first))


def test_each_reading_narrows_the_outlook():
    def width(*readings):
        ahead = log(*readings).outlook.original_gravity
        return ahead.high_80 - ahead.low_80

    pot = pot_of(PLAN.forecast.preboil_gravity.mean, PLAN.water.preboil_l)
    end = pot.boiled(RATE)
    none = width()
    before = width(at(Stage.PRE_BOIL, pot.litres, pot.gravity))
    after = width(
        at(Stage.PRE_BOIL, pot.litres, pot.gravity), at(Stage.POST_BOIL, end.litres, end.gravity)
    )
    assert none > before > after


def brewed_with_errors(rng):
    """One brew with errors of reading; its truth, and the log before the boil."""
    pot = pot_of(
        PLAN.forecast.preboil_gravity.mean + rng.normal(0.0, 0.003),
        PLAN.water.preboil_l * (1.0 + rng.normal(0.0, 0.025)),
    )
    rate = RATE + math.hypot(0.1 * RATE, 0.3) * rng.normal()
    seen = at(
        Stage.PRE_BOIL,
        pot.litres * (1.0 + rng.normal(0.0, 0.025)),
        pot.gravity + rng.normal(0.0, 0.001),
    )
    return pot.boiled(rate), log(seen)


def test_the_interval_holds_what_it_says():
    rng = np.random.default_rng(7)
    inside = 0
    for _ in range(400):
        end, found = brewed_with_errors(rng)
        ahead = found.outlook.original_gravity
        inside += ahead.low_80 <= end.gravity <= ahead.high_80
    # Four binomial deviations either side of 80 %.
    assert 0.72 <= inside / 400 <= 0.88


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


def test_readings_that_contradict_one_another_are_said():
    found = log(at(Stage.PRE_BOIL, 24.0, 1.044), at(Stage.POST_BOIL, 21.0, 1.040))
    assert "readings_disagree" in [finding.code for finding in found.findings]


@pytest.mark.parametrize(
    ("readings", "field"),
    [
        ([at(Stage.MID_BOIL, 22.0, 1.044)], "boiled"),
        ([at(Stage.PRE_BOIL, 40.0, 1.044)], "volume"),
        ([KettleReading(Reading(Stage.PRE_BOIL, gravity=1.040), brix=10.0)], "brix"),
        ([at(Stage.PRE_BOIL, 22.0, depth_mm=200.0)], "depth"),
        ([at(Stage.FERMENTER, depth_mm=200.0)], "depth"),
        ([at(Stage.POST_BOIL, 36.0, 1.044)], "volume"),
    ],
)
def test_readings_that_cannot_be_are_refused(readings, field):
    with pytest.raises(ReadingError) as refused:
        log(*readings)
    assert refused.value.field == field


def test_the_pot_of_these_tests_keeps_its_extract():
    # 30 L of 1.072 boiled to 1.100 hold 21.539 L: mass balance of wort by ICUMSA densities.
    pot = pot_of(1.072, 30.0)
    boiled = bisect_boil(pot, lambda left: 1.100 - left.gravity)
    assert boiled.litres == pytest.approx(21.539, abs=0.03)


def test_hops_alone_are_offered_when_only_the_bitterness_is_off():
    plan = plan_for(replace(BITTER, hop_bill=(hop(0.045),)), known=KNOWN)
    pot = pot_of(plan.forecast.preboil_gravity.mean * 1.0, plan.water.preboil_l * 1.12)
    found = log(at(Stage.PRE_BOIL, pot.litres, pot.gravity), plan=plan)
    only = by_kind(found)[CorrectionKind.HOPS]
    assert only.end.bitterness_ibu == pytest.approx(plan.asked.bitterness_ibu, abs=0.1)
    assert only.hop_changes[0].moment is Moment.BOIL
    assert only.hop_changes[0].mass_kg > only.hop_changes[0].planned_kg


def test_aroma_hops_are_never_touched():
    found = log(
        at(Stage.PRE_BOIL, PLAN.water.preboil_l, PLAN.forecast.preboil_gravity.mean + 0.008)
    )
    aroma = {line.time_min for line in PLAN.hop_bill if line.purpose is Purpose.AROMA}
    for correction in found.corrections:
        assert not aroma & {change.time_min for change in correction.hop_changes}


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


def test_first_wort_of_a_sparged_mash_tells_the_conversion():
    sparged = replace(BAG, lauter_method=LauterMethod.BATCH_SPARGE)
    known = bag_calibration(method=LauterMethod.BATCH_SPARGE)
    plan = plan_for(setup=sparged, known=known)
    # The malt converts 0.86 instead of the 0.93 expected.
    water = plan.water
    first = mash(plan.grain_kg, 0.75, 0.86, 0.35, 1.0, water.strike_l).wort
    whole = mash(plan.grain_kg, 0.75, 0.86, 0.35, 1.0, water.strike_l, water.sparge_l).wort
    found = read_kettle(plan, sparged, known, [at(Stage.FIRST_WORT, gravity=first.gravity)])
    truth = whole.boiled(RATE)
    assert truth.gravity < plan.asked.gravity - 0.002
    assert found.outlook.original_gravity.mean == pytest.approx(truth.gravity, abs=0.0004)


def test_sugar_for_the_fermenter_counts_as_planned():
    primed = replace(
        BITTER,
        grist=(
            *BITTER.grist,
            pale(0.4, name="Sugar", kind=Kind.SUGAR, extract_yield=1.0, moisture=0.0,
                 added_to=AddedTo.FERMENTER, role=Role.BASE),
        ),
    )  # fmt: skip
    plan = plan_for(primed, known=KNOWN)
    ahead = log(plan=plan).outlook
    assert ahead.alcohol_by_volume.mean == pytest.approx(
        plan.forecast.alcohol_by_volume.mean, abs=1e-6
    )
    assert ahead.final_gravity.mean == pytest.approx(plan.forecast.final_gravity.mean, abs=1e-6)


@given(st.floats(-0.008, -0.001), st.floats(-1.0, 1.0))
def test_a_weak_wort_can_always_be_mended_with_extract(gravity_off, volume_off):
    found = log(
        at(
            Stage.PRE_BOIL,
            PLAN.water.preboil_l + volume_off,
            PLAN.forecast.preboil_gravity.mean + gravity_off,
        ),
    )
    weak = found.outlook.original_gravity.mean < PLAN.asked.gravity - 0.0005
    assert not weak or CorrectionKind.DRY_EXTRACT in by_kind(found)


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
    stored = Reading(Stage.FINAL, brix=6.0)
    taught = as_volume_and_gravity(stored, BAG.vessels.kettle)
    assert (taught.volume_l, taught.gravity, taught.brix) == (None, None, None)
