"""Where the extract of one session was lost: was it never dissolved, or left in the grain?

Conversion is what dissolved of the extract in the grain, whatever the reason; a poor lot of malt
looks the same. Washing is what the lauter then brings into the kettle. Both are set against what
the setup was expected to do with this mash, and the larger shortfall is where it was lost. Only
the first wort tells them apart: without it habit would speak, not the readings.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from statistics import NormalDist
from typing import NamedTuple

import numpy as np

from wortwright.calibration.balance import Balance
from wortwright.calibration.explanations import Explained, certain
from wortwright.calibration.figures import (
    LARGEST_LOGARITHM,
    PREBOIL,
    STRIKE,
    Figure,
    Name,
    figures_of,
    is_first_wort_told,
    natural,
)
from wortwright.calibration.history import GRAVITIES, Array, Row
from wortwright.calibration.intervals import SCORE_80
from wortwright.calibration.priors import (
    FIRST_WORT_RELATIVE_SD,
    GRAVITY_SD,
    VOLUME_RELATIVE_SD,
)

CLAIMED = 0.80
"""Less certain than this the readings cannot tell."""

SMALL = 0.05
"""A shortfall that is surely below this share of the extract in the grain is none."""

WORTH_READING = 0.8
"""A reading that was not taken is named if it would bring the spread below this share."""

USUAL_GRAVITY_ABOVE_1 = 0.045
"""Of a usual wort, for the size of the error of a gravity that was not read."""

_STANDARD = NormalDist()


class Place(StrEnum):
    """Where extract is lost."""

    CONVERSION = "conversion"
    WASHING = "washing"


class Verdict(StrEnum):
    """What the readings say of the extract."""

    AS_EXPECTED = "as_expected"
    LOST = "lost"
    CANNOT_TELL = "cannot_tell"


@dataclass(frozen=True, slots=True)
class Share:
    """A share of the extract in the grain: its mean and its 80 % interval."""

    mean: float
    low_80: float
    high_80: float


@dataclass(frozen=True, slots=True)
class ExtractLost:
    """Where the extract went.

    ``not_dissolved`` and ``left_in_grain`` are shares of what was in the grain. ``shortfall`` is
    how much less of it reached the kettle than expected, ``short`` the probability that any is
    missing, ``in_conversion`` the probability that conversion fell shorter than washing.
    ``would_tell`` is the reading that was not taken and would tell.
    """

    verdict: Verdict
    place: Place | None
    not_dissolved: Share
    left_in_grain: Share
    shortfall: Share
    short: float
    in_conversion: float
    would_tell: Name | None
    detail: str

    @property
    def certainty(self) -> float | None:
        """Certainty of the place, None without one."""
        if self.place is None:
            return None
        return max(self.in_conversion, 1.0 - self.in_conversion)


class _Shortfalls(NamedTuple):
    """Conversion and washing against what was expected, under one explanation.

    Both as logarithms, with their derivatives by the unknowns; below 0 where they fell short.
    """

    conversion: Array
    washing: Array
    conversion_mean: float
    washing_mean: float


def extract_lost(explained: Explained) -> ExtractLost:
    """Tell where the extract of a session was lost, as surely as its readings can."""
    short = _mixed(explained, lambda one: _below_zero(*_total(explained, one)))
    likely = _mixed(explained, lambda one: _below_zero(*_contrast(explained, one)))
    in_conversion = min(likely, 1.0)  # weights may add up to a hair more
    shares = _shares(explained)
    is_short = short >= CLAIMED
    place = _place(explained, in_conversion) if is_short else None
    verdict = Verdict.CANNOT_TELL if place is None else Verdict.LOST
    if not is_short and shares[-1].high_80 < SMALL and _is_told(explained):
        verdict = Verdict.AS_EXPECTED
    would_tell = None
    if verdict is Verdict.CANNOT_TELL:
        would_tell = _would_tell(explained, is_short=is_short)
    certainty = max(in_conversion, 1.0 - in_conversion)
    detail = _told(verdict, place, shares, certainty, would_tell, is_short=is_short)
    return ExtractLost(verdict, place, *shares, short, in_conversion, would_tell, detail)


def _place(explained: Explained, in_conversion: float) -> Place | None:
    if not is_first_wort_told(explained.evidence):
        return None
    if in_conversion >= CLAIMED:
        return Place.CONVERSION
    return Place.WASHING if in_conversion <= 1.0 - CLAIMED else None


def _is_told(explained: Explained) -> bool:
    """Whether a gravity tells what reached the kettle: else only the setup's habit is known."""
    return not bool(np.isnan(explained.history.read[0, list(GRAVITIES)]).all())


def _shortfalls(explained: Explained, balance: Balance) -> _Shortfalls:
    """Volumes and strike water are as they were: what is expected is expected of this mash."""
    figures = figures_of(explained, balance)
    conversion = figures[Name.CONVERSION].by.copy()
    washing = figures[Name.LAUTER_EFFICIENCY].by.copy()
    for by in (conversion, washing):
        by[[PREBOIL, STRIKE]] = 0.0
    moved = balance.unknowns - explained.known.mean
    return _Shortfalls(conversion, washing, float(conversion @ moved), float(washing @ moved))


def _total(explained: Explained, balance: Balance) -> tuple[float, float]:
    """Mean and sd of the logarithm of the efficiency by the one expected."""
    one = _shortfalls(explained, balance)
    mean = one.conversion_mean + one.washing_mean
    return mean, _sd(one.conversion + one.washing, balance)


def _contrast(explained: Explained, balance: Balance) -> tuple[float, float]:
    """Mean and sd of how much shorter conversion fell than washing; below 0 if it did."""
    one = _shortfalls(explained, balance)
    mean = one.conversion_mean - one.washing_mean
    return mean, _sd(one.conversion - one.washing, balance)


def _sd(by: Array, balance: Balance) -> float:
    return math.sqrt(max(float(by @ balance.covariance @ by), 1e-12))


def _below_zero(mean: float, sd: float) -> float:
    return _STANDARD.cdf(-mean / sd)


def _mixed(explained: Explained, figure: Callable[[Balance], float]) -> float:
    return sum(one.probability * figure(one.balance) for one in explained.explanations)


def _shares(explained: Explained) -> tuple[Share, Share, Share]:
    """What was not dissolved, what was left in the grain, what is missing."""
    rows = []
    for one in explained.explanations:
        figures, balance = figures_of(explained, one.balance), one.balance
        conversion, efficiency = figures[Name.CONVERSION], figures[Name.MASH_EFFICIENCY]
        converted = natural(Name.CONVERSION, conversion.mean)
        reached = natural(Name.MASH_EFFICIENCY, efficiency.mean)
        left_by = converted * conversion.by - reached * efficiency.by
        total, total_sd = _total(explained, balance)
        rows.append(
            (
                (1.0 - converted, _spread(conversion, balance) * converted),
                (converted - reached, _sd(left_by, balance)),
                (reached * math.expm1(min(-total, LARGEST_LOGARITHM)), reached * total_sd),
            )
        )
    weights = np.array([one.probability for one in explained.explanations])
    not_dissolved, left_in_grain, shortfall = np.array(rows).transpose(1, 0, 2)
    return (
        _share(weights, not_dissolved),
        _share(weights, left_in_grain),
        _share(weights, shortfall),
    )


def _spread(figure: Figure, balance: Balance) -> float:
    return _sd(figure.by, balance)


def _share(weights: Array, moments: Array) -> Share:
    means, sds = moments.T
    mean = float(weights @ means)
    sd = math.sqrt(float(weights @ (sds**2 + (means - mean) ** 2)))
    return Share(mean, mean - SCORE_80 * sd, mean + SCORE_80 * sd)


_UNREAD = {
    Row.FIRST_WORT: math.hypot(FIRST_WORT_RELATIVE_SD, VOLUME_RELATIVE_SD),
    Row.PREBOIL_GRAVITY: GRAVITY_SD / USUAL_GRAVITY_ABOVE_1,
    Row.PREBOIL: VOLUME_RELATIVE_SD,
    Row.POSTBOIL_GRAVITY: GRAVITY_SD / USUAL_GRAVITY_ABOVE_1,
    Row.POSTBOIL: VOLUME_RELATIVE_SD,
}
"""Readings that a brewer may still take next time, with their errors."""

_CALLED = {
    Row.FIRST_WORT: Name.FIRST_WORT_GRAVITY,
    Row.PREBOIL_GRAVITY: Name.PREBOIL_GRAVITY,
    Row.PREBOIL: Name.PREBOIL_VOLUME,
    Row.POSTBOIL_GRAVITY: Name.POSTBOIL_GRAVITY,
    Row.POSTBOIL: Name.POSTBOIL_VOLUME,
}


def _would_tell(explained: Explained, *, is_short: bool) -> Name | None:
    """The reading not taken that tells most; None if none tells much."""
    if is_short and not is_first_wort_told(explained.evidence):
        return Name.FIRST_WORT_GRAVITY
    balance, covariance = explained.best.balance, _covariance(explained)
    one = _shortfalls(explained, balance)
    by = one.conversion - one.washing if is_short else one.conversion + one.washing
    before = float(by @ covariance @ by)
    left = {}
    for row, noise in _UNREAD.items():
        if math.isnan(explained.history.read[0, row]):
            reading = balance.by[row].copy()
            if row is Row.FIRST_WORT:
                reading[STRIKE] = 0.0
            told = covariance @ reading
            share = float(by @ told) ** 2 / (float(reading @ told) + noise**2) / before
            left[row] = math.sqrt(max(1.0 - share, 0.0))
    if not left:
        return None
    best = min(left, key=left.__getitem__)
    return _CALLED[best] if left[best] < WORTH_READING else None


def _covariance(explained: Explained) -> Array:
    """Covariance of the unknowns over all explanations: they differ most where none can tell."""
    weights = [one.probability for one in explained.explanations]
    found = np.array([one.balance.unknowns for one in explained.explanations])
    apart = found - np.average(found, axis=0, weights=weights)
    within = np.array([one.balance.covariance for one in explained.explanations])
    mixed: Array = np.average(within, axis=0, weights=weights)
    mixed += (apart.T * weights) @ apart
    return mixed


_WOULD = {
    Name.FIRST_WORT_GRAVITY: "the gravity of the stirred mash, with the strike water",
    Name.PREBOIL_GRAVITY: "the gravity before the boil",
    Name.PREBOIL_VOLUME: "the volume before the boil",
    Name.POSTBOIL_GRAVITY: "the gravity after the boil",
    Name.POSTBOIL_VOLUME: "the volume after the boil",
}


def _told(
    verdict: Verdict,
    place: Place | None,
    shares: tuple[Share, Share, Share],
    certainty: float,
    would_tell: Name | None,
    *,
    is_short: bool,
) -> str:
    not_dissolved, left_in_grain, shortfall = (100.0 * share.mean for share in shares)
    went = (
        f"Of the extract in the grain {not_dissolved:.0f} % were not dissolved and "
        f"{left_in_grain:.0f} % stayed in the grain"
    )
    missing = f"{shortfall:.0f} % less than expected reached the kettle"
    if verdict is Verdict.AS_EXPECTED:
        return f"{went}: about what is expected of this setup."
    if place is not None:
        where, other = (
            ("conversion", "washing") if place is Place.CONVERSION else ("washing", "conversion")
        )
        return f"{went}: {missing}, lost in {where} rather than in {other} ({certain(certainty)})."
    what = f"{missing}, but where it was lost" if is_short else "whether any is missing"
    would = f"{_WOULD[would_tell]} would tell" if would_tell else "nor would one reading more tell"
    return f"{went}: {what}, the readings cannot tell; {would}."
