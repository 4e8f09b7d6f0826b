"""Two sessions side by side: which differences are real, and which are within the noise."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import NormalDist

from wortwright.calibration.balance import Balance
from wortwright.calibration.explanations import Explained, certain
from wortwright.calibration.figures import WORDS, Name, figures_of, natural
from wortwright.calibration.history import SHARED, Array
from wortwright.calibration.intervals import SCORE_80
from wortwright.calibration.posterior import Calibration
from wortwright.calibration.reconciliation import (
    POINTS,
    amount_of,
    explained_session,
    mixed_figures,
)
from wortwright.records.dimension import Dimension
from wortwright.records.sentence import Amount, Said, capitalised, say
from wortwright.records.session import Session

REAL = 0.975
"""A difference is real if its sign is surer than this: one in twenty would be by chance."""

STEP = 1e-4

_STANDARD = NormalDist()


@dataclass(frozen=True, slots=True)
class Compared:
    """One figure of two sessions and the second less the first.

    ``sure`` is the probability that the difference has the sign that it shows. What was written
    down without an error, as the grain, has no interval.
    """

    name: str
    first: Amount
    second: Amount
    difference: Amount
    low_80: Amount
    high_80: Amount
    sure: float
    is_real: bool
    detail: Said


@dataclass(frozen=True, slots=True)
class SessionComparison:
    """Two sessions, figure by figure, and what of it is real in a sentence."""

    figures: tuple[Compared, ...]
    detail: str


def compare_sessions(
    first: tuple[Session, Calibration], second: tuple[Session, Calibration], *, one_setup: bool
) -> SessionComparison:
    """Compare two sessions, each with the calibration from the others of its setup.

    What is not known of a setup is the same for two sessions of ``one_setup``, so that it cancels.
    """
    explained = explained_session(*first), explained_session(*second)
    compared = [*_written_down(first[0], second[0], explained), *_read(explained, one_setup)]
    return SessionComparison(tuple(compared), _told(compared))


_GRAIN, _POTENTIAL, _BOIL_TIME = "grain", "extract_in_grain", "boil_time"

_WORDS: dict[str, str] = {
    _GRAIN: "grain",
    _POTENTIAL: "extract in the grain",
    _BOIL_TIME: "boil time",
    **{str(name): words for name, words in WORDS.items()},
}


def _written_down(
    first: Session, second: Session, explained: tuple[Explained, Explained]
) -> list[Compared]:
    """What was weighed or timed and has no error to speak of."""
    evidence = [one.evidence for one in explained]
    pairs = [
        (_GRAIN, Dimension.MASS, [one.grain_kg for one in evidence]),
        (_POTENTIAL, Dimension.MASS, [one.potential_kg for one in evidence]),
    ]
    times = [first.boil_time_min, second.boil_time_min]
    known = [time for time in times if time is not None]
    if len(known) == len(times):
        pairs.append((_BOIL_TIME, Dimension.TIME, known))
    return [_compared(name, measures, *values, sd=0.0) for name, measures, values in pairs]


def _read(explained: tuple[Explained, Explained], one_setup: bool) -> list[Compared]:
    first, second = (mixed_figures(one) for one in explained)
    in_common = _in_common(explained) if one_setup else {}
    found = []
    for name in Name:
        if name in first and name in second:
            slopes = [_slope(name, one[name][0]) for one in (first, second)]
            sds = [slope * one[name][1] for slope, one in zip(slopes, (first, second), strict=True)]
            shared = in_common.get(name, 0.0) * slopes[0] * slopes[1]
            # The mixture of explanations is at least as wide as the best of them.
            variance = max(sds[0] ** 2 + sds[1] ** 2 - 2.0 * shared, 1e-12)
            values = [natural(name, one[name][0]) for one in (first, second)]
            measures = amount_of(name, 0.0).measures
            found.append(_compared(name, measures, *values, sd=math.sqrt(variance)))
    return found


def _slope(name: Name, value: float) -> float:
    return (natural(name, value + STEP) - natural(name, value - STEP)) / (2.0 * STEP)


def _in_common(explained: tuple[Explained, Explained]) -> dict[Name, float]:
    """Covariance of the errors of both sessions' figures, by what is not known of the setup."""
    one, other = explained
    shared = one.known.covariance.copy()
    shared[len(SHARED) :] = 0.0
    lefts, rights = (
        {name: _unlearnt(by, each.best.balance) for name, by in _by(each).items()}
        for each in (one, other)
    )
    return {
        name: float(lefts[name] @ shared @ rights[name]) for name in lefts.keys() & rights.keys()
    }


def _by(explained: Explained) -> dict[Name, Array]:
    figures = figures_of(explained, explained.best.balance)
    return {name: figure.by for name, figure in figures.items()}


def _unlearnt(by: Array, balance: Balance) -> Array:
    """How an error in what was known beforehand is left in a figure."""
    left: Array = by @ balance.unlearnt
    return left


def _compared(
    name: str, measures: Dimension, first: float, second: float, *, sd: float
) -> Compared:
    difference = second - first
    if sd > 0.0:
        sure = _STANDARD.cdf(abs(difference) / sd)
    else:
        sure = 1.0 if difference else 0.5
    noise = SCORE_80 * sd
    return Compared(
        name=name,
        first=Amount(first, measures),
        second=Amount(second, measures),
        difference=Amount(difference, measures),
        low_80=Amount(difference - noise, measures),
        high_80=Amount(difference + noise, measures),
        sure=sure,
        is_real=sure >= REAL,
        detail=_detail(name, measures, difference, sure),
    )


def _detail(name: str, measures: Dimension, difference: float, sure: float) -> Said:
    what = _WORDS[name]
    if sure < REAL:
        words = "no difference" if difference == 0.0 else "within the noise"
        return f"{what[0].upper()}{what[1:]}: {words}."
    by: Said | Amount = Amount(abs(difference), measures)
    if measures is Dimension.GRAVITY:
        by = f"{POINTS * abs(difference):.1f} gravity points"
    elif measures is Dimension.FRACTION:
        by = f"{100.0 * abs(difference):.1f} percentage points"
    more = "more" if difference > 0.0 else "less"
    surely = "" if sure == 1.0 else f" ({certain(sure)})"
    return capitalised(
        say("{what}: {by} {more}{surely}.", what=what, by=by, more=more, surely=surely)
    )


def _told(compared: Sequence[Compared]) -> str:
    real = [_WORDS[one.name] for one in compared if one.is_real]
    if not real:
        return "Nothing differs beyond the noise of the readings."
    listed = " and ".join([", ".join(real[:-1]), real[-1]] if len(real) > 1 else real)
    rest = "" if len(real) == len(compared) else " All else is within the noise of the readings."
    return f"Really different: {listed}.{rest}"
