"""Where a brew under way will end, by what was read so far."""

import math
from dataclasses import fields, is_dataclass, replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from planning.kettle_kit import (
    KNOWN,
    ON_TARGET,
    PLAN,
    RATE,
    at,
    by_kind,
    carried_out,
    log,
)
from planning.kit import BAG, BITTER, bag_calibration, mash, pale, plan_for, pot_of
from wortwright.api.sentences import told
from wortwright.brewing.errors import OutOfRangeError
from wortwright.planning.kettle.corrections import CorrectionKind
from wortwright.planning.kettle.kettle_log import read_kettle
from wortwright.planning.kettle.kettle_reading import ReadingError, kettle_reading
from wortwright.records.grist import AddedTo, Kind, Role
from wortwright.records.session import Reading, Stage
from wortwright.records.setup import LauterMethod


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


def _of(*edges, least, most):
    return st.none() | st.sampled_from(edges) | st.floats(least, most)


ANY_READING = st.builds(
    Reading,
    st.sampled_from(Stage),
    volume_l=_of(1e-9, 20.0, 35.0, 5000.0, least=5.0, most=30.0),
    volume_temperature_c=_of(0.0, 100.0, 105.0, least=0.0, most=105.0),
    gravity=_of(0.98, 1.0, 1.0 + 1e-9, 1.002, 1.19, least=1.02, most=1.12),
    gravity_temperature_c=_of(0.0, 105.0, least=0.0, most=60.0),
    brix=st.none() | _of(0.0, 40.0, least=0.0, most=40.0),
    depth_mm=st.none() | _of(0.0, 3000.0, least=0.0, most=400.0),
    boiled_min=_of(0.0, 1e-9, 60.0, 360.0, least=0.0, most=90.0),
    reads_in_water=st.none() | _of(0.98, 1.02, least=0.99, most=1.01),
)


@given(st.lists(ANY_READING, min_size=1, max_size=4))
def test_whatever_is_read_there_is_an_outlook_in_numbers_or_it_is_said_why_not(readings):
    setup = replace(
        BAG, vessels=replace(BAG.vessels, kettle=replace(BAG.vessels.kettle, inner_diameter_mm=360))
    )
    try:
        found = log(*(kettle_reading(reading) for reading in readings), setup=setup)
    except (ReadingError, OutOfRangeError) as error:
        found = told(error)
    assert found
    assert all(math.isfinite(number) for number in numbers_in(found))


def numbers_in(thing):
    if is_dataclass(thing):
        thing = [getattr(thing, field.name) for field in fields(thing)]
    if isinstance(thing, (list, tuple)):
        return [number for part in thing for number in numbers_in(part)]
    return [thing] if isinstance(thing, float) else []


def test_the_unknown_boil_off_of_two_stretches_is_one_and_adds_up():
    """At one rate that is not known, an hour and half an hour are an hour and a half."""
    halfway = at(Stage.MID_BOIL, gravity=1.05, boiled_min=45.0)
    at_once = at(Stage.POST_BOIL, gravity=1.06)
    two, one = log(halfway, at_once), log(at_once)
    spreads = [
        found.outlook.fermenter_l.high_80 - found.outlook.fermenter_l.low_80 for found in (two, one)
    ]
    assert spreads[0] == pytest.approx(spreads[1], rel=1e-9)


def test_a_kettle_that_boils_harder_than_known_is_noticed_in_part():
    started = pot_of(PLAN.forecast.preboil_gravity.mean, PLAN.water.preboil_l)
    now = started.boiled(6.0 * 0.75)
    found = log(
        at(Stage.PRE_BOIL, started.litres, started.gravity),
        at(Stage.MID_BOIL, now.litres, now.gravity, boiled_min=45.0),
    )
    assert RATE < found.boil_off_l_per_h.mean < 6.0


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


def test_readings_that_contradict_one_another_are_said():
    found = log(at(Stage.PRE_BOIL, 24.0, 1.044), at(Stage.POST_BOIL, 21.0, 1.040))
    assert "readings_disagree" in [finding.code for finding in found.findings]


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
