"""What a brewer's own meter readings teach about the mash pH forecast."""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from math import sqrt

from wortwright.brewing.errors import require_between
from wortwright.brewing.mash_ph import ERROR_FROM_CLASSES, ph_at_room_temperature

OFFSET_SPREAD = 0.5 * ERROR_FROM_CLASSES
"""Standard deviation of the offset before any reading [pH]: half of the stated error."""

BREW_SPREAD = 0.06
"""Standard deviation of one reading about the offset [pH]: a meter's 0.025 and what differs from
brew to brew (no source)."""


class PhInstrument(StrEnum):
    """What pH was read with. A strip is right to 0.3 at best and teaches nothing.

    K. Troester's strip against meter test.
    """

    METER = "meter"
    STRIP = "strip"


@dataclass(frozen=True, slots=True)
class PhReading:
    """One mash: the forecast without offset and what was read, at the sample's temperature."""

    forecast_ph: float
    read_ph: float
    instrument: PhInstrument
    sample_temperature_c: float = 20.0


@dataclass(frozen=True, slots=True)
class PhOffset:
    """What to add to the balance [pH], half-width of the interval then [pH], readings used."""

    offset_ph: float
    half_width: float
    readings_used: int


def learn_ph_offset(readings: Iterable[PhReading]) -> PhOffset:
    """Offset between forecast and meter, drawn towards none while readings are few.

    Parameters
    ----------
    readings : iterable of PhReading
        Past mashes; strips are left out. pH 3 to 10, temperature 0 to 100 degC.

    Returns
    -------
    PhOffset
        Offset, about 95 % half-width of the next forecast, and how many readings it rests on.

    Raises
    ------
    OutOfRangeError
        For a pH or temperature outside the range.

    Notes
    -----
    Normal prior N(0, 0.1) and normal readings of spread 0.06: the posterior mean is
    sum(d) / (n + (0.06/0.1)^2).
    """
    misses = [
        _cooled(reading) - reading.forecast_ph
        for reading in readings
        if reading.instrument is PhInstrument.METER
    ]
    weight = len(misses) + (BREW_SPREAD / OFFSET_SPREAD) ** 2
    offset_variance = BREW_SPREAD**2 / weight
    half_width = 2.0 * sqrt(offset_variance + (BREW_SPREAD**2 if misses else 0.0))
    return PhOffset(sum(misses) / weight, half_width, len(misses))


def _cooled(reading: PhReading) -> float:
    require_between("pH", reading.read_ph, 3.0, 10.0)
    return ph_at_room_temperature(reading.read_ph, reading.sample_temperature_c)
