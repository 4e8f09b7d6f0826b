"""Bitterness put right with the hops that are still to come, against hand counts."""

from dataclasses import replace

import pytest

from planning.kettle_kit import KNOWN, PLAN, RATE, at, by_kind, carried_out, log, tinseth
from planning.kit import BITTER, hop, plan_for, pot_of
from wortwright.planning.kettle.corrections import CorrectionKind
from wortwright.records.grist import Moment, Purpose
from wortwright.records.session import Stage


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
