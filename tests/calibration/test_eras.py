"""A change of equipment begins an era; what was known before is kept, less sure."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchmarks.brewhouse import USUAL, draw_house
from benchmarks.changes import dated, remilled
from benchmarks.recorded_sessions import draw_session
from calibration.invented import HUNG_BAG, usual_session
from wortwright.calibration.efficiency import forecast_mash_efficiency, mean_mash_efficiency
from wortwright.calibration.fit import fit_calibration
from wortwright.calibration.posterior import MashPlan
from wortwright.records.setup import Change, Changed

PLAN = MashPlan(5.0, 0.76, 26.0)
DAY = datetime(2026, 1, 10, tzinfo=UTC)


def brews(*gravities, first=DAY):
    """Usual brews, two weeks apart; the gravity after the boil goes with that before it."""
    return [
        (
            f"{first:%Y-%m-%d}-{place:02d}",
            replace(
                usual_session(gravity, 1.0 + 1.2 * (gravity - 1.0)),
                brewed_at=first + timedelta(days=14 * place),
            ),
        )
        for place, gravity in enumerate(gravities)
    ]


def on(day, what):
    return replace(HUNG_BAG, changes=(Change(day, what),))


BEFORE = brews(1.040, 1.041, 1.039, 1.040, 1.040, 1.041, 1.039, 1.040)
AFTER_DAY = DAY + timedelta(days=200)
AFTER = brews(1.043, 1.044, 1.0435, first=AFTER_DAY)
CHANGED = AFTER_DAY.date()


def test_a_new_era_starts_where_the_old_one_ended_and_less_sure():
    before = forecast_mash_efficiency(fit_calibration(HUNG_BAG, BEFORE), PLAN)
    changed = forecast_mash_efficiency(fit_calibration(on(CHANGED, Changed.MILL), BEFORE), PLAN)
    fresh = forecast_mash_efficiency(fit_calibration(HUNG_BAG, []), PLAN)
    assert changed.mean == pytest.approx(before.mean, abs=1e-3)
    assert before.curve_log_sd < changed.curve_log_sd < 1.2 * fresh.curve_log_sd


def test_after_a_recorded_change_the_brews_since_then_carry_the_forecast():
    recorded = fit_calibration(on(CHANGED, Changed.MILL), [*BEFORE, *AFTER])
    since = fit_calibration(HUNG_BAG, AFTER)
    until = fit_calibration(HUNG_BAG, BEFORE)
    found, new, old = (mean_mash_efficiency(one, PLAN) for one in (recorded, since, until))
    assert abs(found - new) < 0.25 * abs(new - old)


@pytest.mark.parametrize(
    ("what", "kept", "loosened"),
    [
        (Changed.MILL, "boil_off_l_per_h", "conversion"),
        (Changed.BAG, "boil_off_l_per_h", "true_absorption_l_per_kg"),
        (Changed.KETTLE, "conversion", "boil_off_l_per_h"),
        (Changed.METHOD, "boil_off_l_per_h", "true_absorption_l_per_kg"),
    ],
)
def test_a_change_loosens_what_it_touches_and_keeps_the_rest(what, kept, loosened):
    before = fit_calibration(HUNG_BAG, BEFORE).constants
    changed = fit_calibration(on(CHANGED, what), BEFORE).constants
    assert changed[kept].sd == pytest.approx(before[kept].sd, rel=1e-3)
    assert changed[loosened].sd > 1.2 * before[loosened].sd


def test_that_nothing_changed_changes_nothing():
    said = fit_calibration(on(CHANGED, Changed.NOTHING), BEFORE)
    assert said == fit_calibration(HUNG_BAG, BEFORE)


def test_brews_of_the_day_of_the_change_are_of_the_new_era():
    that_day = fit_calibration(on(CHANGED, Changed.MILL), [*BEFORE, *AFTER])
    day_before = on(CHANGED - timedelta(days=1), Changed.MILL)
    day_after = on(CHANGED + timedelta(days=1), Changed.MILL)
    assert that_day == fit_calibration(day_before, [*BEFORE, *AFTER])
    assert that_day != fit_calibration(day_after, [*BEFORE, *AFTER])


def test_two_changes_of_one_day_begin_one_era():
    changes = (Change(CHANGED, Changed.MILL), Change(CHANGED, Changed.BAG))
    both = fit_calibration(replace(HUNG_BAG, changes=changes), BEFORE).constants
    mill = fit_calibration(on(CHANGED, Changed.MILL), BEFORE).constants
    bag = fit_calibration(on(CHANGED, Changed.BAG), BEFORE).constants
    assert both["conversion"].sd == pytest.approx(mill["conversion"].sd)
    assert both["true_absorption_l_per_kg"].sd == pytest.approx(bag["true_absorption_l_per_kg"].sd)


@settings(max_examples=15)
@given(st.integers(0, 10_000), st.randoms(use_true_random=False))
def test_the_order_in_which_sessions_are_given_does_not_matter(seed, shuffler):
    rng = np.random.default_rng(seed)
    house = draw_house(rng)
    new = remilled(rng, house)
    brewed = dated([draw_session(rng, one, USUAL) for one in (*[house] * 4, *[new] * 3)])
    changes = (Change(brewed[4][1].brewed_at.date(), Changed.MILL),)
    setup = replace(house.setup, changes=changes)
    known = fit_calibration(setup, brewed).efficiency
    shuffler.shuffle(brewed)
    again = fit_calibration(setup, brewed).efficiency
    assert again.mean == pytest.approx(known.mean, rel=1e-9)
    assert np.array(again.covariance) == pytest.approx(np.array(known.covariance), rel=1e-9)


@settings(max_examples=10)
@given(st.integers(0, 10_000), st.randoms(use_true_random=False))
def test_the_days_of_the_brews_of_one_era_do_not_matter(seed, shuffler):
    """Within an era no brew is before another, however they are dated."""
    rng = np.random.default_rng(seed)
    house = draw_house(rng)
    brewed = dated([draw_session(rng, house, USUAL) for _ in range(6)])
    # So that no change is looked for between them.
    changes = (Change(date(2030, 1, 1), Changed.NOTHING),)
    setup = replace(house.setup, changes=changes)
    known = fit_calibration(setup, brewed).efficiency
    days = [session.brewed_at for _, session in brewed]
    shuffler.shuffle(days)
    redated = [
        (session_id, replace(session, brewed_at=day))
        for (session_id, session), day in zip(brewed, days, strict=True)
    ]
    again = fit_calibration(setup, redated).efficiency
    assert again.mean == pytest.approx(known.mean, rel=1e-9)
    assert np.array(again.covariance) == pytest.approx(np.array(known.covariance), rel=1e-9)
