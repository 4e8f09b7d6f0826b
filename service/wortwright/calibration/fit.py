"""From sessions to the calibration of a setup."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from wortwright.calibration.beside import beside_the_curve
from wortwright.calibration.constants import shared_estimates
from wortwright.calibration.corrected import Brew, brew_of
from wortwright.calibration.curve import PARAMETERS
from wortwright.calibration.doubted_notes import together
from wortwright.calibration.eras import (
    eras_of,
    touched_by,
    unchanged_until,
    widened,
)
from wortwright.calibration.evidence import Evidence, Observed, evidence_of_brew, is_data_error
from wortwright.calibration.evidence import mash_efficiency_by_readings as by_readings
from wortwright.calibration.findings import findings_of
from wortwright.calibration.history import VOLUMES, History, history_of
from wortwright.calibration.pooling import club_belief, own_word
from wortwright.calibration.posterior import (
    Calibration,
    EfficiencyPosterior,
    Finding,
    OwnWord,
    SeenRange,
    SuspectedChange,
)
from wortwright.calibration.priors import (
    MALT_LOT_LOG_SD,
    Prior,
    efficiency_priors,
    plain_priors,
)
from wortwright.calibration.regression import (
    Belief,
    Fit,
    prior_belief,
    regress,
    shared_at,
    slopes_at,
)
from wortwright.calibration.suspicion import Shift, suspected_shift
from wortwright.records.session import Session, SessionState
from wortwright.records.setup import Setup

USUAL_EFFICIENCY = 0.75
"""Where brews told no efficiency of their own, to say how large a change is; common practice."""


@dataclass(frozen=True, slots=True)
class _Stretch:
    """Brews fitted together, because nothing changed between them.

    ``shift`` is the suspected change that they began with.
    """

    evidence: tuple[Evidence, ...]
    history: History
    fit: Fit
    shift: Shift | None = None


@dataclass(frozen=True, slots=True)
class _Fitter:
    """How one setup's brews are fitted; up to a day, its brewer says, nothing else changed."""

    setup: Setup
    priors: tuple[Prior, ...]
    unchanged_until: date

    def eras(self, start: Belief, evidence: Sequence[Evidence]) -> list[_Stretch]:
        """Stretches of all brews, each from what was believed after the one before."""
        found: list[_Stretch] = []
        for era in eras_of(self.setup.changes, evidence):
            belief = found[-1].fit.belief if found else start
            found += self._era(widened(belief, touched_by(era.changed)), era.evidence)
        return found

    def _era(self, start: Belief, evidence: tuple[Evidence, ...]) -> list[_Stretch]:
        """Stretches of one era: several where an unrecorded change is suspected."""
        method = self.setup.lauter_method
        history = history_of(evidence, method, shared_at(self.priors, start.scores))
        fit = regress(self.priors, history, method, self.setup.runnings, start)
        floor = sum(one.brewed_on <= self.unchanged_until for one in evidence)
        shift = suspected_shift(start, fit, floor)
        if shift is None:
            return [_Stretch(evidence, history, fit)]
        before = self._era(start, evidence[: shift.first])
        belief = widened(before[-1].fit.belief, (shift.constant,))
        after, *later = self._era(belief, evidence[shift.first :])
        return [*before, replace(after, shift=shift), *later]


def fit_calibration(
    setup: Setup, sessions: Sequence[tuple[str, Session]], club: Sequence[OwnWord] = ()
) -> Calibration:
    """Calibration of a setup from its sessions, each with its id.

    Only closed sessions teach. Without any the result is the prior, by the same way. The
    order in which sessions are given does not matter. ``club`` is what the setups that share
    with this one say.
    """
    plain = plain_priors(setup)
    kettle_loss_l = plain.pop("kettle_loss_l")
    priors = (
        *efficiency_priors(setup),
        Prior(*plain.pop("boil_off_l_per_h"), low=0.0),
        Prior(*kettle_loss_l, low=0.0),
    )
    brews = _closed(sessions)
    evidence = _evidence(brews)
    beside = beside_the_curve(plain, brews, poured=setup.vessels.mash_tun is not None)
    observed = {one.session_id: by_readings(one, kettle_loss_l) for one in evidence}
    start = club_belief(club) or prior_belief(len(priors))
    stretches = _Fitter(setup, priors, unchanged_until(setup.changes)).eras(start, evidence)
    belief = stretches[-1].fit.belief
    average = _average(stretches, observed)
    return Calibration(
        efficiency=_efficiency(setup, priors, belief),
        constants=shared_estimates(priors, belief, evidence, setup.lauter_method)
        | beside.constants,
        session_count=len(evidence),
        average_efficiency=average,
        seen=_seen(stretches),
        findings=together(
            [
                *(finding for stretch in stretches for finding in _findings(stretch, observed)),
                *beside.findings,
            ]
        ),
        suspected=_suspected(stretches, average),
        own_word=own_word(start, belief) if setup.shares_with_club else None,
        attenuation=beside.attenuation,
    )


def _closed(sessions: Sequence[tuple[str, Session]]) -> list[Brew]:
    """Give the sessions that teach, in the order of the brews."""
    closed = sorted(
        (pair for pair in sessions if pair[1].state is SessionState.CLOSED),
        key=lambda pair: (pair[1].brewed_at, pair[0]),
    )
    return [brew_of(session_id, session) for session_id, session in closed]


def _evidence(brews: Sequence[Brew]) -> list[Evidence]:
    found = (evidence_of_brew(brew) for brew in brews)
    return [one for one in found if one is not None]


def _findings(stretch: _Stretch, observed: dict[str, Observed | None]) -> tuple[Finding, ...]:
    figures = [observed[one.session_id] for one in stretch.evidence]
    return findings_of(stretch.evidence, figures, stretch.history, stretch.fit)


def _efficiency(setup: Setup, priors: tuple[Prior, ...], belief: Belief) -> EfficiencyPosterior:
    count = len(PARAMETERS)
    slopes = slopes_at(priors, belief.scores)
    covariance = belief.covariance * np.outer(slopes, slopes)
    return EfficiencyPosterior(
        method=setup.lauter_method,
        runnings=setup.runnings,
        names=PARAMETERS,
        mean=tuple(shared_at(priors, belief.scores).theta),
        covariance=tuple(tuple(row) for row in covariance[:count, :count].tolist()),
        brew_log_sd=float(np.hypot(np.sqrt(belief.brew_variance), MALT_LOT_LOG_SD)),
    )


def _average(stretches: Sequence[_Stretch], observed: dict[str, Observed | None]) -> float | None:
    """Plain average of past efficiencies, but of those that no brewhouse reaches."""
    figures = (
        (one, observed[one.session_id])
        for stretch in stretches
        for one, possible in zip(stretch.evidence, stretch.fit.possible, strict=True)
        if possible
    )
    means = [
        figure.mean
        for one, figure in figures
        if figure is not None and not is_data_error(one, figure)
    ]
    return sum(means) / len(means) if means else None


def _seen(stretches: Sequence[_Stretch]) -> SeenRange | None:
    """Range of all brews, before a change or after it: the physics holds across it."""
    loads, potentials = [], []
    for stretch in stretches:
        history = stretch.history
        known = ~np.isnan(history.read[:, list(VOLUMES)]).all(axis=1) & stretch.fit.possible
        load = (history.grain_kg / history.preboil_l)[known]
        loads += load.tolist()
        potentials += (load * history.extract_yield[known]).tolist()
    if not loads:
        return None
    return SeenRange((min(loads), max(loads)), (min(potentials), max(potentials)))


def _suspected(stretches: Sequence[_Stretch], average: float | None) -> tuple[SuspectedChange, ...]:
    usual = average or USUAL_EFFICIENCY
    return tuple(
        SuspectedChange(
            session_id=stretch.evidence[0].session_id,
            on=stretch.evidence[0].brewed_on,
            constant=stretch.shift.constant,
            efficiency_change=usual * math.expm1(stretch.shift.log_efficiency),
            efficiency_change_sd=usual * stretch.shift.log_efficiency_sd,
            evidence=stretch.shift.evidence,
        )
        for stretch in stretches
        if stretch.shift is not None
    )
