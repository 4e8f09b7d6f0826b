"""A reading on the brew day, corrected to 20 degC and to a true instrument."""

import math
from dataclasses import dataclass
from enum import StrEnum

from wortwright.brewing.errors import OutOfRangeError, require_between
from wortwright.brewing.gravity import HIGHEST_GRAVITY
from wortwright.brewing.hydrometer import gravity_at_20
from wortwright.brewing.refractometer import USUAL_FACTOR, wort_gravity
from wortwright.brewing.water_density import volume_at_20_from_hot_l
from wortwright.calibration.corrected import LEAST_GRAVITY
from wortwright.planning.plan import Finding
from wortwright.records.sentence import Said, litres, say, told_range
from wortwright.records.session import Reading, Stage
from wortwright.records.setup import Vessel

HOT_STAGES = frozenset({Stage.PRE_BOIL, Stage.MID_BOIL})
IN_KETTLE = HOT_STAGES | {Stage.POST_BOIL}


class InstrumentKind(StrEnum):
    """What the gravity is read with."""

    HYDROMETER = "hydrometer"
    REFRACTOMETER = "refractometer"


@dataclass(frozen=True, slots=True)
class Instrument:
    """An instrument and its errors.

    ``reads_in_water`` is what a hydrometer shows in pure water at the temperature it was made
    for [SG]; ``wort_correction_factor`` is a refractometer's reading over true extract.
    """

    kind: InstrumentKind = InstrumentKind.HYDROMETER
    calibrated_c: float = 20.0
    reads_in_water: float = 1.0
    wort_correction_factor: float = USUAL_FACTOR


@dataclass(frozen=True, slots=True)
class KettleReading:
    """A reading, with what a brew-day reading needs beside.

    ``depth_mm`` is the depth of the wort in the kettle, instead of a volume; ``brix`` what a
    refractometer shows, instead of a gravity; ``boiled_min`` the minutes boiled so far, for a
    reading in the middle of the boil.
    """

    reading: Reading
    depth_mm: float | None = None
    brix: float | None = None
    boiled_min: float | None = None
    instrument: Instrument = Instrument()


@dataclass(frozen=True, slots=True)
class CorrectedReading:
    """What a reading says at 20 degC; None where nothing usable was read."""

    stage: Stage
    volume_l: float | None
    gravity: float | None
    boiled_min: float | None
    findings: tuple[Finding, ...] = ()


def kettle_reading(reading: Reading) -> KettleReading:
    """Take a stored reading apart.

    Parameters
    ----------
    reading : Reading
        As it was written down.

    Returns
    -------
    KettleReading
        With its instrument.
    """
    usual = Instrument()
    instrument = Instrument(
        InstrumentKind.HYDROMETER if reading.brix is None else InstrumentKind.REFRACTOMETER,
        usual.calibrated_c if reading.calibrated_c is None else reading.calibrated_c,
        usual.reads_in_water if reading.reads_in_water is None else reading.reads_in_water,
        reading.wort_correction_factor or usual.wort_correction_factor,
    )
    return KettleReading(reading, reading.depth_mm, reading.brix, reading.boiled_min, instrument)


class ReadingError(ValueError):
    """A reading that contradicts the setup or itself; ``field`` names the part of it."""

    def __init__(self, field: str, detail: Said) -> None:
        super().__init__(detail)
        self.field = field
        self.detail = detail


def volume_from_depth_l(depth_mm: float, inner_diameter_mm: float) -> float:
    """Volume of wort in an upright round kettle.

    Parameters
    ----------
    depth_mm : float
        Depth of the wort, 0 or more. [mm]
    inner_diameter_mm : float
        Inner diameter of the kettle, above 0. [mm]

    Returns
    -------
    float
        Volume as hot as it is. [L]
    """
    return math.pi / 4.0 * inner_diameter_mm**2 * depth_mm / 1e6


def correct(read: KettleReading, kettle: Vessel) -> CorrectedReading:
    """Correct a reading for temperature and instrument.

    Parameters
    ----------
    read : KettleReading
        As read.
    kettle : Vessel
        For a depth: the kettle with its inner diameter.

    Returns
    -------
    CorrectedReading
        A gravity that cannot be corrected, or is of no wort, is left out and said.

    Raises
    ------
    ReadingError
        For a depth without a diameter or outside the kettle, for two gravities or two volumes
        at once, for a refractometer in beer, or for a volume beyond the brim.
    """
    findings: list[Finding] = []
    volume_l = _volume_l(read, kettle, findings)
    return CorrectedReading(
        read.reading.stage, volume_l, _gravity(read, findings), read.boiled_min, tuple(findings)
    )


def as_volume_and_gravity(reading: Reading, kettle: Vessel) -> Reading:
    """Give a reading as the calibration takes it: a volume and a gravity.

    Parameters
    ----------
    reading : Reading
        As it was written down.
    kettle : Vessel
        For a depth: the kettle with its inner diameter.

    Returns
    -------
    Reading
        The same where it is both already; else corrected to 20 degC and to a true instrument,
        and without what cannot be corrected. Degrees Brix of beer stay: what they say depends
        on the wort.
    """
    if reading.stage is Stage.FINAL and reading.brix is not None:
        return reading
    special = (reading.depth_mm, reading.brix, reading.calibrated_c, reading.reads_in_water)
    if all(value is None for value in special):
        return reading
    try:
        corrected = correct(kettle_reading(reading), kettle)
    except ReadingError:
        corrected = CorrectedReading(reading.stage, None, None, None)
    return Reading(
        reading.stage,
        volume_l=corrected.volume_l,
        gravity=corrected.gravity,
        temperature_c=reading.temperature_c,
        ph=reading.ph,
        instrument=reading.instrument,
    )


def _volume_l(read: KettleReading, kettle: Vessel, findings: list[Finding]) -> float | None:
    reading, seen_l = read.reading, read.reading.volume_l
    if read.depth_mm is not None:
        if seen_l is not None:
            raise ReadingError("depth", "give a depth or a volume, not both")
        if reading.stage not in IN_KETTLE:
            raise ReadingError("depth", "a depth tells a volume only in the kettle")
        if kettle.inner_diameter_mm is None:
            raise ReadingError("depth", "a depth needs the kettle's inner_diameter in the setup")
        if read.depth_mm <= 0.0:
            raise ReadingError("depth", "there is no wort in the kettle at that depth")
        seen_l = volume_from_depth_l(read.depth_mm, kettle.inner_diameter_mm)
    if seen_l is None:
        return None
    if reading.stage in IN_KETTLE and seen_l > kettle.capacity_l:
        raise ReadingError(
            "volume",
            say(
                "{seen} is more than the kettle's {capacity}",
                seen=litres(seen_l),
                capacity=litres(kettle.capacity_l),
            ),
        )
    if reading.volume_temperature_c is None:
        if reading.stage in HOT_STAGES:
            findings.append(
                Finding(
                    "volume_taken_as_cold",
                    "No temperature was given with this volume, so it was taken as cold; wort "
                    "at the boil would read 4 % more than it is.",
                )
            )
        return seen_l
    return volume_at_20_from_hot_l(seen_l, reading.volume_temperature_c)


def _gravity(read: KettleReading, findings: list[Finding]) -> float | None:
    reading = read.reading
    if read.brix is not None and reading.gravity is not None:
        raise ReadingError("brix", "give a gravity or degrees Brix, not both")
    if read.brix is not None and reading.stage is Stage.FINAL:
        raise ReadingError("brix", "alcohol bends light as sugar does; read beer by hydrometer")
    if read.brix is None and reading.gravity is None:
        return None
    try:
        gravity = _gravity_at_20(read)
        if reading.stage is not Stage.FINAL:
            require_between("gravity of wort", gravity, LEAST_GRAVITY, HIGHEST_GRAVITY, "SG")
        return gravity
    except OutOfRangeError as error:
        why = told_range(error)[0]
        said = say("This gravity cannot be used: {why}. Cool the sample and read again.", why=why)
        findings.append(Finding("gravity_not_usable", said))
        return None


def _gravity_at_20(read: KettleReading) -> float:
    reading, instrument = read.reading, read.instrument
    if read.brix is not None:
        return wort_gravity(read.brix, instrument.wort_correction_factor)
    assert reading.gravity is not None
    true = reading.gravity - (instrument.reads_in_water - 1.0)
    sample_c = 20.0 if reading.gravity_temperature_c is None else reading.gravity_temperature_c
    return gravity_at_20(true, sample_c, instrument.calibrated_c)
