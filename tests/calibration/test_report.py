from dataclasses import replace
from datetime import timedelta

import pytest

from calibration.invented import HUNG_BAG, session, usual_session
from wortwright.calibration import report as report_module
from wortwright.calibration.fit import fit_calibration
from wortwright.calibration.report import report
from wortwright.records.session import Stage
from wortwright.records.setup import Change, Changed


def brewed(*sessions):
    """Sessions by name, a day apart."""
    return [
        (f"s{day}", replace(one, brewed_at=one.brewed_at + timedelta(days=day)))
        for day, one in enumerate(sessions)
    ]


LIGHT = usual_session(1.0330, 1.0395, grain_kg=4.0, planned_preboil_l=26.0)
STRONG = usual_session(1.0590, 1.0710, grain_kg=8.5, planned_preboil_l=26.0)
MIXED = brewed(LIGHT, usual_session(), STRONG, usual_session(1.0407, 1.0488), LIGHT, STRONG)


def reported(sessions):
    return report(HUNG_BAG, sessions, fit_calibration(HUNG_BAG, sessions), preboil_l=26.0)


def test_the_curve_covers_the_loads_with_nested_intervals():
    curve = reported(MIXED).curve
    assert [point.grain_load_kg_per_l for point in curve][0::18] == [0.10, 0.46]
    for point in curve:
        (a, b), (c, d), (e, f) = point.intervals
        assert e < c < a < point.forecast.mean < b <= d <= f < 1.0
    assert curve[0].forecast.outside_seen_range > 0.0
    assert curve[6].forecast.outside_seen_range == 0.0


def test_without_sessions_there_is_a_curve_and_no_record():
    empty = reported([])
    assert len(empty.curve) == 19
    assert empty.sessions == ()
    assert empty.leave_one_out is None


def test_one_session_cannot_be_left_out():
    one = reported(MIXED[:1])
    assert len(one.sessions) == 1
    assert one.leave_one_out is None


def test_the_curve_beats_the_plain_average_over_mixed_strengths():
    # Invented readings of a brewhouse whose efficiency falls with the load: no average fits.
    record = reported(MIXED).leave_one_out
    assert record.session_count == 6
    assert record.model_points < 0.5 * record.average_points


def test_leaving_out_the_average_is_what_a_brewer_would_compute():
    # Two brews of 3.8 kg extract in 26 L, read 10 points apart: each is forecast by the other's.
    pair = brewed(usual_session(1.0400, 1.048), usual_session(1.0440, 1.0528))
    assert reported(pair).leave_one_out.average_points == pytest.approx(4.0, abs=0.01)


def test_the_newest_sessions_are_judged(monkeypatch):
    monkeypatch.setattr(report_module, "MOST_LEFT_OUT", 2)
    told = reported(MIXED)
    assert told.leave_one_out.session_count == 2
    judged = [one.session_id for one in told.sessions if one.influence is not None]
    assert judged == ["s5", "s4"]


def test_sessions_before_a_change_are_told_apart_and_not_judged():
    third = MIXED[2][1].brewed_at.date()
    setup = replace(HUNG_BAG, changes=(Change(on=third, what=Changed.MILL),))
    told = report(setup, MIXED, fit_calibration(setup, MIXED), preboil_l=26.0)
    before = {one.session_id for one in told.sessions if one.before_change}
    assert before == {"s0", "s1"}
    assert before == {one.session_id for one in told.sessions if one.influence is None}
    assert told.leave_one_out.session_count == 4


def test_that_nothing_was_changed_puts_no_session_before_a_change():
    last = MIXED[-1][1].brewed_at.date()
    setup = replace(HUNG_BAG, changes=(Change(on=last, what=Changed.NOTHING),))
    told = report(setup, MIXED, fit_calibration(setup, MIXED), preboil_l=26.0)
    assert not any(one.before_change for one in told.sessions)


def test_a_session_far_from_the_others_has_influence_and_a_blunder_a_finding():
    blunder = usual_session(1.0520, 1.0480)
    told = reported(brewed(usual_session(), usual_session(), usual_session(), blunder))
    by_id = {one.session_id: one for one in told.sessions}
    assert by_id["s3"].finding.weight < 0.5
    assert by_id["s0"].finding is None
    assert by_id["s3"].observed.mean > by_id["s3"].expected + 0.1
    assert abs(by_id["s3"].influence) < 0.02


@pytest.mark.parametrize("changes", [{"grain_kg": 46.0}, {"grain_kg": 0.5}, {"preboil_l": 260.0}])
def test_a_slip_of_the_pen_is_doubted_and_has_no_place_beside_the_curve(changes):
    """A comma in the wrong place: 4.6 kg as 46, 5 kg as 0.5, 26 L as 260."""
    slip = replace(usual_session(**changes), brewed_at=MIXED[-1][1].brewed_at)
    sessions = [*MIXED, ("slip", slip)]
    calibration = fit_calibration(HUNG_BAG, sessions)
    told = report(HUNG_BAG, sessions, calibration, preboil_l=26.0)
    assert [finding.session_id for finding in calibration.findings] == ["slip"]
    assert "slip" not in {one.session_id for one in told.sessions}
    assert told.leave_one_out.session_count == len(MIXED)


def test_a_session_that_tells_no_efficiency_is_not_shown():
    bare = session([(Stage.MASH_IN, {"temperature_c": 67.0})])
    assert [one.session_id for one in reported([*MIXED[:2], ("bare", bare)]).sessions] == [
        "s1",
        "s0",
    ]
