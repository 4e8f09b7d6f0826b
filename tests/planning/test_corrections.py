"""Corrections are carried out on a simulated kettle, by a balance of kilograms."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planning.kettle_kit import (
    ON_TARGET,
    PLAN,
    RATE,
    at,
    bisect_boil,
    by_kind,
    carried_out,
    log,
)
from planning.kit import BAG, pot_of
from wortwright.planning.kettle.corrections import CorrectionKind
from wortwright.planning.limits import Limits
from wortwright.records.session import Stage


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


def test_no_room_for_water_is_said():
    small = replace(BAG, vessels=replace(BAG.vessels, fermenters=BAG.vessels.fermenters[:1]))
    volume = 21.6 + 1.5  # what the fermenter takes with its room for foam, and the kettle loss
    found = log(at(Stage.POST_BOIL, volume, 1.056), setup=small)
    assert CorrectionKind.TOP_UP not in by_kind(found)
    assert "gravity_out_of_reach" in [finding.code for finding in found.cannot_be_mended]


def test_the_pot_of_these_tests_keeps_its_extract():
    # 30 L of 1.072 boiled to 1.100 hold 21.539 L: mass balance of wort by ICUMSA densities.
    pot = pot_of(1.072, 30.0)
    boiled = bisect_boil(pot, lambda left: 1.100 - left.gravity)
    assert boiled.litres == pytest.approx(21.539, abs=0.03)


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
