"""What a calibration is worth: its curve with intervals, its sessions, and its own record.

The record is kept by leaving one out: each session is forecast from all others, and so is it
by the plain average of their efficiencies, so that a brewer sees whether to trust the curve.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from wortwright.brewing.gravity import (
    HIGHEST_GRAVITY,
    extract_kg_per_l,
    gravity_from_extract_kg_per_l,
)
from wortwright.calibration.efficiency import (
    EfficiencyForecast,
    forecast_mash_efficiency,
    mean_mash_efficiency,
)
from wortwright.calibration.evidence import Evidence, Observed, evidence_of, is_data_error
from wortwright.calibration.evidence import mash_efficiency_by_readings as by_readings
from wortwright.calibration.fit import fit_calibration
from wortwright.calibration.posterior import Calibration, Finding, MashPlan, OwnWord
from wortwright.calibration.priors import USUAL_EXTRACT_YIELD
from wortwright.records.session import Session, SessionState
from wortwright.records.setup import Changed, Setup

LOADS_KG_PER_L = tuple(round(0.10 + 0.02 * step, 2) for step in range(19))
GRID_LOADS_KG_PER_L = LOADS_KG_PER_L[::2]
GRID_YIELDS = (0.62, 0.69, 0.76, 0.83)
"""Extract of the grain as weighed, from a grist with much unmalted or roasted grain to the best
malt: with the grain load it makes the potential."""

PROBABILITIES = (0.50, 0.80, 0.95)
MOST_LEFT_OUT = 40
"""Leaving one out refits for each session: only the newest are judged, to bound the time."""

POINTS = 1000.0

MOST_KG_PER_L = extract_kg_per_l(HIGHEST_GRAVITY)
"""More extract than any wort holds is a slip of the pen: it has no place beside a curve."""


@dataclass(frozen=True, slots=True)
class CurvePoint:
    """Forecast at one grain load and potential; ``intervals`` in the order of ``PROBABILITIES``.

    ``potential_gravity`` is what the wort before the boil would have with all extract of the
    grain in it.
    """

    grain_load_kg_per_l: float
    potential_kg_per_l: float
    potential_gravity: float
    forecast: EfficiencyForecast
    intervals: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class SessionPoint:
    """One session beside the curve.

    ``influence`` is how far the curve at its grain load would move without it [fraction];
    None if it was not left out in turn. The curve is that of the setup as it is now: it speaks no
    more of a brew ``before_change``, the last one, recorded or suspected.
    """

    session_id: str
    grain_load_kg_per_l: float
    observed: Observed
    expected: float
    influence: float | None
    before_change: bool
    finding: Finding | None


@dataclass(frozen=True, slots=True)
class LeaveOneOut:
    """Mean error of forecast pre-boil gravities in points, by the curve and by the average."""

    session_count: int
    model_points: float
    average_points: float


@dataclass(frozen=True, slots=True)
class CalibrationReport:
    """Curve over the grain load, sessions, and the record of both predictors if there is one.

    ``grid`` is over grain load and potential, load by load.
    """

    curve: tuple[CurvePoint, ...]
    grid: tuple[CurvePoint, ...]
    sessions: tuple[SessionPoint, ...]
    leave_one_out: LeaveOneOut | None


@dataclass(frozen=True, slots=True)
class _Told:
    """A session that tells a mash efficiency."""

    session: tuple[str, Session]
    mash_plan: MashPlan
    observed: Observed

    def is_since(self, day: date) -> bool:
        return self.session[1].brewed_at.date() >= day


def report(
    setup: Setup,
    sessions: Sequence[tuple[str, Session]],
    calibration: Calibration,
    preboil_l: float,
    club: Sequence[OwnWord] = (),
) -> CalibrationReport:
    """Report of a setup's calibration; the curve is that of ``preboil_l`` of wort.

    Only brews since the last change are left out in turn: the curve no longer speaks of others.
    """
    closed = [pair for pair in sessions if pair[1].state is SessionState.CLOSED]
    told = [one for one in (_told(pair, calibration) for pair in closed) if one is not None]
    told.sort(key=lambda one: (one.session[1].brewed_at, one.session[0]), reverse=True)
    since = _last_change(setup, calibration)
    judged = [one for one in told if one.is_since(since)][:MOST_LEFT_OUT]
    without = {
        one.session[0]: fit_calibration(
            setup, [pair for pair in closed if pair != one.session], club
        )
        for one in judged
    }
    findings = {finding.session_id: finding for finding in calibration.findings}
    return CalibrationReport(
        curve=tuple(curve_point(calibration, load, preboil_l) for load in LOADS_KG_PER_L),
        grid=tuple(
            curve_point(calibration, load, preboil_l, extract_yield)
            for load in GRID_LOADS_KG_PER_L
            for extract_yield in GRID_YIELDS
        ),
        sessions=tuple(_session_point(one, calibration, since, without, findings) for one in told),
        leave_one_out=_leave_one_out(judged, without),
    )


def points_beside(
    setup: Setup, sessions: Sequence[tuple[str, Session]], calibration: Calibration
) -> tuple[SessionPoint, ...]:
    """Give sessions that teach nothing as points beside the curve, if they tell an efficiency."""
    since = _last_change(setup, calibration)
    told = (_told(pair, calibration) for pair in sessions)
    return tuple(_session_point(one, calibration, since, {}, {}) for one in told if one is not None)


def _last_change(setup: Setup, calibration: Calibration) -> date:
    """Day of the last change, recorded or suspected."""
    recorded = [change.on for change in setup.changes if change.what is not Changed.NOTHING]
    return max([*recorded, *(change.on for change in calibration.suspected)], default=date.min)


def curve_point(
    calibration: Calibration,
    load_kg_per_l: float,
    preboil_l: float,
    extract_yield: float = USUAL_EXTRACT_YIELD,
) -> CurvePoint:
    """Forecast at one grain load, for so much wort before the boil."""
    mash_plan = MashPlan(load_kg_per_l * preboil_l, extract_yield, preboil_l)
    potential = mash_plan.potential_kg_per_l
    forecast = forecast_mash_efficiency(calibration, mash_plan)
    intervals = tuple(forecast.interval(probability) for probability in PROBABILITIES)
    gravity = gravity_from_extract_kg_per_l(potential)
    return CurvePoint(load_kg_per_l, potential, gravity, forecast, intervals)


def _told(pair: tuple[str, Session], calibration: Calibration) -> _Told | None:
    evidence = evidence_of(*pair)
    if evidence is None:
        return None
    kettle_loss = calibration.constants["kettle_loss_l"]
    observed = by_readings(evidence, (kettle_loss.mean, kettle_loss.sd))
    preboil_l = _preboil_l(evidence, calibration)
    if observed is None or math.isnan(preboil_l):
        return None
    strike_l = None if math.isnan(evidence.strike_l) else evidence.strike_l
    extract_yield = evidence.potential_kg / evidence.grain_kg
    mash_plan = MashPlan(evidence.grain_kg, extract_yield, preboil_l, strike_l)
    strongest = _strongest_kg_per_l(mash_plan, observed)
    if is_data_error(evidence, observed) or strongest > MOST_KG_PER_L:
        return None
    return _Told(pair, mash_plan, observed)


def _strongest_kg_per_l(mash_plan: MashPlan, observed: Observed) -> float:
    """Extract of the wort with all that is in the grain, or with as much as was read of it."""
    return mash_plan.potential_kg_per_l * max(1.0, observed.mean)


def _preboil_l(evidence: Evidence, calibration: Calibration) -> float:
    """Pre-boil volume as planned, else as read, else back from the volumes after the boil."""
    constants = calibration.constants
    boiled_l = constants["boil_off_l_per_h"].mean * evidence.boil_h
    lost_l = constants["kettle_loss_l"].mean + evidence.hop_uptake_l
    for volume_l in (
        evidence.planned_preboil_l,
        evidence.preboil_l,
        evidence.postboil_l + boiled_l,
        evidence.fermenter_l + lost_l + boiled_l,
    ):
        if not math.isnan(volume_l):
            return volume_l
    return math.nan


def _session_point(
    one: _Told,
    calibration: Calibration,
    since: date,
    without: dict[str, Calibration],
    findings: dict[str, Finding],
) -> SessionPoint:
    session_id = one.session[0]
    expected = mean_mash_efficiency(calibration, one.mash_plan)
    left_out = without.get(session_id)
    return SessionPoint(
        session_id=session_id,
        grain_load_kg_per_l=one.mash_plan.grain_load_kg_per_l,
        observed=one.observed,
        expected=expected,
        influence=expected - mean_mash_efficiency(left_out, one.mash_plan) if left_out else None,
        before_change=not one.is_since(since),
        finding=findings.get(session_id),
    )


def _leave_one_out(told: Sequence[_Told], without: dict[str, Calibration]) -> LeaveOneOut | None:
    model, average = [], []
    for one in told:
        others = without[one.session[0]]
        if others.average_efficiency is not None:
            model.append(_error(one, mean_mash_efficiency(others, one.mash_plan)))
            average.append(_error(one, others.average_efficiency))
    if not model:
        return None
    count = len(model)
    return LeaveOneOut(count, sum(model) / count, sum(average) / count)


def _error(one: _Told, efficiency: float) -> float:
    """Error of the forecast pre-boil gravity, in points."""
    potential = one.mash_plan.potential_kg_per_l
    forecast = gravity_from_extract_kg_per_l(efficiency * potential)
    return POINTS * abs(forecast - gravity_from_extract_kg_per_l(one.observed.mean * potential))
