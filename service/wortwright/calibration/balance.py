"""The readings of one session against each other: weighted least squares on its balances.

Extract before and after the boil, water in and wort out, first wort against strike water: all
of them are one model (`readings`), whose unknowns are the setup's constants, known as well as
its calibration knows them, and what is this session's own. The weights are the precisions of the
readings and of what is known beforehand. The steps follow the curvature of the balances.
"""

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from wortwright.calibration.curve import PARAMETERS, Parameters
from wortwright.calibration.history import (
    SHARED,
    VOLUMES,
    Array,
    History,
    Own,
    Row,
    Shared,
)
from wortwright.calibration.posterior import Calibration
from wortwright.calibration.readings import expect
from wortwright.records.setup import LauterMethod

MOST_STEPS = 12
SETTLED = 1e-6
"""Steps end when no unknown moved by more than this share of its prior spread."""

LEAST_PREBOIL, MOST_PREBOIL = -1.5, 1.5
"""Bounds of the logarithm of the pre-boil volume by its first guess, for a wild first step."""

LUCK = len(SHARED) + len(Own)
UNKNOWNS = LUCK + 1
"""The constants of the setup, what is the session's own, and the luck of its washing."""


Places = NDArray[np.intp]
"""Which readings are meant, by their places."""


def own_place(own: Own) -> int:
    """Place of a session's own among the unknowns."""
    return len(SHARED) + own


@dataclass(frozen=True, slots=True)
class Known:
    """What is known of the unknowns before this session: mean and covariance."""

    mean: Array
    covariance: Array


@dataclass(frozen=True, slots=True)
class Balance:
    """Unknowns that explain a session's readings best, and how surely.

    ``level`` is what each reading should have been, ``by`` its derivatives by the unknowns; of
    volumes relative to the history's first guess of the pre-boil volume. ``log_evidence`` is the
    logarithm of the density of the readings that were used. ``unlearnt`` is what of an error in
    what was known beforehand is left.
    """

    unknowns: Array
    covariance: Array
    level: Array
    by: Array
    preboil_l: float
    log_evidence: float
    unlearnt: Array


def known_of(calibration: Calibration, history: History) -> Known:
    """Mean and covariance of the unknowns of one session, from a calibration without it.

    ``history`` is that of the session alone.
    """
    efficiency, constants = calibration.efficiency, calibration.constants
    plain = [constants[name] for name in SHARED[len(PARAMETERS) :]]
    covariance = np.zeros((UNKNOWNS, UNKNOWNS))
    count = len(PARAMETERS)
    covariance[:count, :count] = efficiency.covariance
    own_sd = history.own_sd[0]
    luck_variance = efficiency.brew_log_sd**2 - own_sd[Own.LOT] ** 2
    places = np.arange(count, UNKNOWNS)
    variances = [one.sd**2 for one in plain] + [*own_sd**2] + [max(luck_variance, 1e-6)]
    covariance[places, places] = variances
    mean = np.zeros(UNKNOWNS)
    mean[: len(SHARED)] = [*efficiency.mean[:count], *(one.mean for one in plain)]
    return Known(mean, covariance)


def balanced(
    history: History,
    method: LauterMethod,
    runnings: int,
    known: Known,
    used: Places,
    start: Array | None = None,
) -> Balance:
    """Weighted least squares over the readings of one session that are ``used``.

    ``start`` is where the steps begin, if that is known better than beforehand.
    """
    noise = np.diag(history.sd[0, used] ** 2)
    at = known.mean if start is None else start
    spread = np.sqrt(np.maximum(known.covariance.diagonal(), 1e-12))
    for _ in range(MOST_STEPS):
        level, by = _linearised(history, method, runnings, at)
        told = by[used]
        # What the readings are off by, were the unknowns as known beforehand.
        off = history.read[0, used] - level[used] + told @ (at - known.mean)
        joint = told @ known.covariance @ told.T + noise
        gain = np.linalg.solve(joint, told @ known.covariance).T
        before, at = at, known.mean + gain @ off
        place = own_place(Own.PREBOIL)
        at[place] = min(max(at[place], LEAST_PREBOIL), MOST_PREBOIL)
        if (np.abs(at - before) < SETTLED * spread).all():
            break
    level, by = _linearised(history, method, runnings, at)
    unlearnt = np.eye(UNKNOWNS) - gain @ told
    return Balance(
        unknowns=at,
        covariance=unlearnt @ known.covariance,
        level=level,
        by=by,
        preboil_l=float(history.preboil_l[0] * math.exp(at[own_place(Own.PREBOIL)])),
        log_evidence=_log_density(off, joint),
        unlearnt=unlearnt,
    )


def _linearised(
    history: History, method: LauterMethod, runnings: int, at: Array
) -> tuple[Array, Array]:
    """Level of every reading at some unknowns, and its derivatives by them."""
    own, luck = at[len(SHARED) : LUCK], at[LUCK]
    ratio = math.exp(own[Own.PREBOIL])
    moved = replace(
        history,
        preboil_l=history.preboil_l * ratio,
        added_l=history.added_l - own[Own.BOIL],
        hop_uptake_l=history.hop_uptake_l + own[Own.KETTLE],
        read=np.zeros_like(history.read),
    )
    shared = Shared(Parameters(*at[: len(PARAMETERS)]), *at[len(PARAMETERS) : len(SHARED)])
    expectation = expect(moved, method, runnings, shared)
    by_own, by_luck = expectation.by_own[0], expectation.by_luck[0]
    by = np.concatenate((expectation.by_shared[0], by_own, by_luck[:, None]), axis=1)
    # Pre-boil volume, boil and kettle loss were moved above; the rest is linear in the model.
    linear = [Own.LOT, Own.STRIKE]
    level = by_own[:, linear] @ own[linear] + by_luck * luck - expectation.difference[0]
    scale = np.ones(len(Row))
    scale[list(VOLUMES)] = ratio
    return level * scale, by * scale[:, None]


def _log_density(off: Array, covariance: Array) -> float:
    sign_and_size = np.linalg.slogdet(2.0 * math.pi * covariance)
    return -0.5 * float(off @ np.linalg.solve(covariance, off) + sign_and_size[1])
