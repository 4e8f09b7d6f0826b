"""Whether a fermentation has finished, from gravity readings in time."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from wortwright.brewing.attenuation import FinalGravity
from wortwright.brewing.errors import require_between

USUAL_DAYS_TO_STAY = 3.0
SAME_GRAVITY = 0.001
"""The same within one point over three days at fermentation temperature (common practice);
`days_to_stay` of a yeast's class is longer where dextrins are eaten slowly."""


class FermentationState(StrEnum):
    """What the readings say."""

    TOO_FEW_READINGS = "too_few_readings"
    FALLING = "falling"
    NOT_LONG_ENOUGH = "not_long_enough"
    STUCK = "stuck"
    FINISHED = "finished"


@dataclass(frozen=True, slots=True)
class GravityReading:
    """A hydrometer reading at 20 degC [SG] and the day of fermentation it was taken on [d]."""

    day: float
    gravity: float


@dataclass(frozen=True, slots=True)
class Progress:
    """State, the gravity now [SG], and how long it has stayed [d]."""

    state: FermentationState
    gravity: float | None
    days_stable: float


def progress(
    readings: Sequence[GravityReading],
    forecast: FinalGravity,
    days_to_stay: float = USUAL_DAYS_TO_STAY,
) -> Progress:
    """Judge a fermentation.

    Parameters
    ----------
    readings : sequence of GravityReading
        By hydrometer, in any order; a refractometer does not do.
    forecast : FinalGravity
        What was expected.
    days_to_stay : float
        How long gravity must stay [d], 1 to 60.

    Returns
    -------
    Progress
        Finished only if the gravity has stayed and lies within or below the forecast; stayed
        above it is stuck, and may wake up in the bottle.

    Raises
    ------
    OutOfRangeError
        For days outside the range.
    """
    require_between("days to stay", days_to_stay, 1.0, 60.0, "days")
    ordered = sorted(readings, key=lambda reading: reading.day)
    if len(ordered) < 2:
        last = ordered[-1].gravity if ordered else None
        return Progress(FermentationState.TOO_FEW_READINGS, last, 0.0)
    gravity, stable = ordered[-1].gravity, _days_stable(ordered)
    return Progress(_state(gravity, stable, forecast, days_to_stay), gravity, stable)


def gravity_to_expect(now: Progress, forecast: FinalGravity) -> float:
    """Gravity that bottling has to reckon with.

    Parameters
    ----------
    now : Progress
        What the readings say.
    forecast : FinalGravity
        What was expected.

    Returns
    -------
    float
        The gravity now if fermentation has finished, else the low end of the forecast, or the
        gravity now where that is lower still [SG].
    """
    if now.gravity is None:
        return forecast.low_80
    if now.state is FermentationState.FINISHED:
        return now.gravity
    return min(now.gravity, forecast.low_80)


def _state(
    gravity: float, stable: float, forecast: FinalGravity, days_to_stay: float
) -> FermentationState:
    if stable == 0.0:
        return FermentationState.FALLING
    if stable < days_to_stay:
        return FermentationState.NOT_LONG_ENOUGH
    if gravity > forecast.high_80 + SAME_GRAVITY:
        return FermentationState.STUCK
    return FermentationState.FINISHED


def _days_stable(ordered: Sequence[GravityReading]) -> float:
    last = ordered[-1]
    lowest = highest = last.gravity
    since = last.day
    for reading in reversed(ordered):
        lowest, highest = min(lowest, reading.gravity), max(highest, reading.gravity)
        # readings carry three decimals; the hair is for their binary form
        if highest - lowest > SAME_GRAVITY + 1e-9:
            break
        since = reading.day
    return last.day - since
