"""What explains the readings of one session: all is well, the mash went wrong, or a reading did.

Each explanation is a weighted least-squares fit of its own, and is as likely as its share among
brews and the density of the readings under it say. A wrong reading is left out, and may be off by
anything from a blunder's usual size upwards.
"""

import math
from dataclasses import dataclass, replace

import numpy as np

from wortwright.calibration.balance import (
    LUCK,
    Balance,
    Known,
    Places,
    balanced,
    known_of,
    own_place,
)
from wortwright.calibration.curve import PARAMETERS, Parameters
from wortwright.calibration.evidence import Evidence
from wortwright.calibration.history import Array, History, Own, Row, Shared, history_of
from wortwright.calibration.posterior import Calibration
from wortwright.calibration.regression import BLUNDER_FACTOR, BLUNDER_SHARE

FAULT_SHARE = 0.05
FAULT_LOG_SD = 0.08
"""How many mashes convert, or wash, beyond the usual scatter, and by how much; an assumption of
this project: a coarse crush or a mash far too cold costs 5 to 15 % of the extract."""

MOST_CERTAIN = 0.99
"""Nothing is said to be more certain than this: the model is none the wiser."""

NO_BREW = "its readings are those of no brew"

_FAULTS = (own_place(Own.LOT), LUCK)


@dataclass(frozen=True, slots=True)
class Explanation:
    """One explanation with its probability; ``wrong`` is the reading that it takes for wrong."""

    probability: float
    balance: Balance
    wrong: Row | None = None


@dataclass(frozen=True, slots=True)
class Explained:
    """One session with all that may explain it, the most probable first.

    ``known`` is what was known beforehand.
    """

    evidence: Evidence
    history: History
    known: Known
    explanations: tuple[Explanation, ...]

    @property
    def best(self) -> Explanation:
        """The most probable explanation."""
        return self.explanations[0]

    def doubt(self, row: Row) -> float:
        """Probability that a reading is wrong."""
        return sum(one.probability for one in self.explanations if one.wrong is row)


def certain(probability: float) -> str:
    """Say how certain something is."""
    return f"{100.0 * min(probability, MOST_CERTAIN):.0f} % certain"


class NothingToReconcileError(ValueError):
    """The session tells nothing that could be balanced."""

    def __init__(self, needed: str) -> None:
        super().__init__(f"There is nothing to balance: {needed}.")


def explain(evidence: Evidence, calibration: Calibration) -> Explained:
    """Weigh what may explain a session, given the calibration from the others."""
    efficiency, constants = calibration.efficiency, calibration.constants
    theta = Parameters(*efficiency.mean[: len(PARAMETERS)])
    plain = (constants["boil_off_l_per_h"].mean, constants["kettle_loss_l"].mean)
    history = history_of([evidence], efficiency.method, Shared(theta, *plain))
    if not history.preboil_l[0] > 0.0:
        raise NothingToReconcileError(NO_BREW)
    known = known_of(calibration, history)
    fitted = [one for one in _Fits(history, calibration, known).all() if _is_sound(*one[:2])]
    if not fitted:
        raise NothingToReconcileError(NO_BREW)
    most = max(weight for weight, _, _ in fitted)
    total = sum(math.exp(weight - most) for weight, _, _ in fitted)
    found = [
        Explanation(math.exp(weight - most) / total, balance, wrong)
        for weight, balance, wrong in fitted
    ]
    found.sort(key=lambda one: one.probability, reverse=True)
    return Explained(evidence, history, known, tuple(found))


_Weighed = tuple[float, Balance, Row | None]


@dataclass(frozen=True, slots=True)
class _Fits:
    """All fits of one session; the weights are logarithms."""

    history: History
    calibration: Calibration
    known: Known

    def all(self) -> list[_Weighed]:
        used = np.flatnonzero(np.isfinite(self.history.read[0]))
        usual = self._fit(self.known, used)
        start = usual.unknowns
        found: list[_Weighed] = [(usual.log_evidence, usual, None)]
        for place in _FAULTS:
            faulty = self._fit(_looser(self.known, place), used, start)
            found.append((math.log(FAULT_SHARE) + faulty.log_evidence, faulty, None))
        if not self.history.trusted[0]:
            found += [self._without(Row(int(row)), used, start) for row in used]
        return found

    def _fit(self, known: Known, used: Places, start: Array | None = None) -> Balance:
        efficiency = self.calibration.efficiency
        return balanced(self.history, efficiency.method, efficiency.runnings, known, used, start)

    def _without(self, wrong: Row, used: Places, start: Array) -> _Weighed:
        """Leave a reading out; what it is off by may be anything."""
        balance = self._fit(self.known, used[used != wrong], start)
        off, variance = unexpected(self.history, balance, wrong)
        own_variance = self.history.sd[0, wrong] ** 2
        variance += max(own_variance * BLUNDER_FACTOR[wrong] ** 2, off**2)
        density = -0.5 * (off**2 / variance + math.log(2.0 * math.pi * variance))
        share = BLUNDER_SHARE[wrong] / (1.0 - BLUNDER_SHARE[wrong])
        return math.log(share) + balance.log_evidence + density, balance, wrong


def unexpected(history: History, balance: Balance, row: Row) -> tuple[float, float]:
    """What a reading is off from its level, and the variance of that level."""
    by = balance.by[row]
    return float(history.read[0, row] - balance.level[row]), float(by @ balance.covariance @ by)


def _is_sound(weight: float, balance: Balance) -> bool:
    told = (balance.unknowns, balance.covariance, balance.level, balance.by)
    if not (math.isfinite(weight) and balance.preboil_l > 0.0):
        return False
    return all(np.isfinite(one).all() for one in told)


def _looser(known: Known, place: int) -> Known:
    covariance = known.covariance.copy()
    covariance[place, place] += FAULT_LOG_SD**2
    return replace(known, covariance=covariance)
