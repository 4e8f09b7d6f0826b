"""The readings of one session, corrected to 20 degC.

A reading that cannot be used is left out and named.
"""

import math
from collections.abc import Callable, Iterable
from typing import NamedTuple

from wortwright.brewing.errors import OutOfRangeError, require_between
from wortwright.brewing.gravity import HIGHEST_GRAVITY
from wortwright.brewing.hydrometer import gravity_at_20
from wortwright.brewing.refractometer import USUAL_FACTOR
from wortwright.brewing.water_density import volume_at_20_from_hot_l
from wortwright.records.sentence import Said, say, told_range
from wortwright.records.session import Reading, Session, Stage

LEAST_GRAVITY = 1.002


class CorrectedReadings:
    """Means of the readings of each stage; nan where nothing was read.

    ``unusable`` gathers, as figures are asked for, why a reading could not be used.
    """

    def __init__(self, readings: Iterable[Reading]) -> None:
        self.unusable: list[Said] = []
        self._readings = tuple(readings)

    def volume_l(self, stage: Stage) -> float:
        """Volume at 20 degC. [L]"""
        return self._mean(stage, _volume_at_20_l)

    def wort_gravity(self, stage: Stage) -> float:
        """Gravity of wort. [SG]"""
        return self._mean(stage, _wort_gravity)

    def beer_gravity(self, stage: Stage) -> float:
        """Gravity of beer, as a hydrometer shows it. [SG]"""
        return self._mean(stage, _gravity_at_20)

    def brix(self, stage: Stage) -> float:
        """What a refractometer shows, by its correction factor. [degBx]"""
        return self._mean(stage, _corrected_brix)

    def temperature_c(self, stage: Stage) -> float:
        """Temperature of the mash, or of its water. [degC]"""
        return self._mean(stage, lambda reading: reading.temperature_c)

    def has(self, *stages: Stage) -> bool:
        """Whether something was read at each of these stages."""
        read = [reading.stage for reading in self._readings]
        return all(stage in read for stage in stages)

    def _mean(self, stage: Stage, corrected: Callable[[Reading], float | None]) -> float:
        found = []
        for reading in self._readings:
            if reading.stage is not stage:
                continue
            try:
                value = corrected(reading)
            except OutOfRangeError as error:
                why, name = told_range(error)[0], stage.replace("_", "-")
                self.unusable.append(say("The {stage} reading: {why}.", stage=name, why=why))
                continue
            if value is not None:
                found.append(value)
        return sum(found) / len(found) if found else math.nan


class Brew(NamedTuple):
    """A session and its readings."""

    session_id: str
    session: Session
    read: CorrectedReadings


def brew_of(session_id: str, session: Session) -> Brew:
    """Correct the readings of a session."""
    return Brew(session_id, session, CorrectedReadings(session.readings))


def or_nan(value: float | None) -> float:
    """Give nan where nothing was written down."""
    return math.nan if value is None else value


def _volume_at_20_l(reading: Reading) -> float | None:
    if reading.volume_l is None or reading.volume_temperature_c is None:
        return reading.volume_l
    return volume_at_20_from_hot_l(reading.volume_l, reading.volume_temperature_c)


def _gravity_at_20(reading: Reading) -> float | None:
    if reading.gravity is None or reading.gravity_temperature_c is None:
        return reading.gravity
    return gravity_at_20(reading.gravity, reading.gravity_temperature_c)


def _corrected_brix(reading: Reading) -> float | None:
    if reading.brix is None:
        return None
    return reading.brix / (reading.wort_correction_factor or USUAL_FACTOR)


def _wort_gravity(reading: Reading) -> float | None:
    gravity = _gravity_at_20(reading)
    if gravity is not None:
        require_between("gravity of wort", gravity, LEAST_GRAVITY, HIGHEST_GRAVITY, "SG")
    return gravity
