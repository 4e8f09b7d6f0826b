"""From sessions to the calibration of a setup."""

from collections.abc import Sequence

import numpy as np

from wortwright.calibration.constants import plain_estimates, shared_estimates
from wortwright.calibration.curve import PARAMETERS
from wortwright.calibration.evidence import Evidence, Observed, evidence_of
from wortwright.calibration.evidence import mash_efficiency_by_readings as by_readings
from wortwright.calibration.findings import findings_of
from wortwright.calibration.history import VOLUMES, History, history_of
from wortwright.calibration.posterior import Calibration, EfficiencyPosterior, SeenRange
from wortwright.calibration.priors import (
    MALT_LOT_LOG_SD,
    Prior,
    efficiency_priors,
    plain_priors,
)
from wortwright.calibration.regression import Fit, regress, shared_at, slopes_at
from wortwright.records.session import Session, SessionState
from wortwright.records.setup import Setup


def fit_calibration(setup: Setup, sessions: Sequence[tuple[str, Session]]) -> Calibration:
    """Calibration of a setup from its sessions, each with its id.

    Only closed sessions teach. Without any the result is the prior, by the same way. The
    order of the sessions does not matter.
    """
    plain = plain_priors(setup)
    kettle_loss_l = plain.pop("kettle_loss_l")
    priors = (
        *efficiency_priors(setup),
        Prior(*plain.pop("boil_off_l_per_h"), low=0.0),
        Prior(*kettle_loss_l, low=0.0),
    )
    evidence = _evidence(sessions)
    observed = [by_readings(one, kettle_loss_l) for one in evidence]
    at_prior = shared_at(priors, np.zeros(len(priors)))
    history = history_of(evidence, setup.lauter_method, at_prior)
    fit = regress(priors, history, setup.lauter_method, setup.runnings)
    constants = shared_estimates(priors, fit.belief.scores, fit.belief.covariance, evidence, setup.lauter_method)
    return Calibration(
        efficiency=_efficiency(setup, priors, fit),
        constants=constants | plain_estimates(plain, evidence),
        session_count=len(evidence),
        average_efficiency=_average(observed),
        seen=_seen(history),
        findings=findings_of(evidence, observed, history, fit),
    )


def _evidence(sessions: Sequence[tuple[str, Session]]) -> list[Evidence]:
    closed = sorted(
        (pair for pair in sessions if pair[1].state is SessionState.CLOSED),
        key=lambda pair: pair[0],
    )
    found = (evidence_of(session_id, session) for session_id, session in closed)
    return [one for one in found if one is not None]


def _efficiency(setup: Setup, priors: tuple[Prior, ...], fit: Fit) -> EfficiencyPosterior:
    count = len(PARAMETERS)
    slopes = slopes_at(priors, fit.belief.scores)
    covariance = fit.belief.covariance * np.outer(slopes, slopes)
    return EfficiencyPosterior(
        method=setup.lauter_method,
        runnings=setup.runnings,
        names=PARAMETERS,
        mean=tuple(shared_at(priors, fit.belief.scores).theta),
        covariance=tuple(tuple(row) for row in covariance[:count, :count].tolist()),
        brew_log_sd=float(np.hypot(np.sqrt(fit.belief.brew_variance), MALT_LOT_LOG_SD)),
    )


def _average(observed: Sequence[Observed | None]) -> float | None:
    means = [figure.mean for figure in observed if figure is not None]
    return sum(means) / len(means) if means else None


def _seen(history: History) -> SeenRange | None:
    known = ~np.isnan(history.read[:, list(VOLUMES)]).all(axis=1)
    if not known.any():
        return None
    load = (history.grain_kg / history.preboil_l)[known]
    potential = load * history.extract_yield[known]
    return SeenRange(
        (float(load.min()), float(load.max())),
        (float(potential.min()), float(potential.max())),
    )
