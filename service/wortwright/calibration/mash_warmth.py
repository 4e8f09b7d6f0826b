"""What the temperatures of the mash say: how far mash-ins miss, what the vessel takes, cooling."""

import math
from collections.abc import Sequence

from wortwright.brewing.errors import OutOfRangeError
from wortwright.brewing.heat import strike_temperature_c
from wortwright.brewing.water_density import water_density_kg_per_l
from wortwright.calibration.corrected import CorrectedReadings, or_nan
from wortwright.calibration.evidence import mashed_kg
from wortwright.calibration.linear import Row
from wortwright.records.session import Session, Stage

USUAL_GRAIN_C, GRAIN_SD_C = 20.0, 4.0
"""Grain of which no temperature was written down; common practice, no source."""

MASH_IN_SD_C = 0.8
"""Error of a mash-in: two thermometers of 0.5 degC, uneven mashes; common practice, no source."""

THERMOMETERS_SD_C, COOLING_SD_C_PER_H = 0.7, 0.4
"""Two readings of 0.5 degC, and how the cooling differs from brew to brew with the room and the
batch; common practice, no source."""

UNKNOWN_MASH_H, UNKNOWN_MASH_RELATIVE_SD = 1.0, 0.25
"""A mash of unknown length: 45 to 90 minutes are usual; common practice, no source."""


def mash_in_rows(sessions: Sequence[Session], vessel_heat_kg: float, poured: bool) -> list[Row]:
    """Mash-ins by offset and vessel heat, told by strike water, its temperature and the mash's.

    The heat balance is linear in the vessel heat near enough to be taken as such about its
    prior mean. Water heated in the mash vessel has warmed it already (``poured`` is false), and
    nothing is told of it.
    """
    rows = (
        _mash_in_row(session, vessel_heat_kg if poured else 0.0, poured) for session in sessions
    )
    return [row for row in rows if row is not None]


def _mash_in_row(session: Session, vessel_heat_kg: float, poured: bool) -> Row | None:
    read = CorrectedReadings(session.readings)
    mash_c, strike_c = read.temperature_c(Stage.MASH_IN), read.temperature_c(Stage.STRIKE_WATER)
    water_kg = or_nan(session.water.strike_l) * water_density_kg_per_l(20.0)
    grain_kg = mashed_kg(session)
    known_grain_c = session.grain_temperature_c
    grain_c = USUAL_GRAIN_C if known_grain_c is None else known_grain_c
    if math.isnan(mash_c * strike_c * water_kg):
        return None

    def balanced_c(mash_c: float, grain_c: float, vessel_heat_kg: float) -> float:
        return strike_temperature_c(mash_c, grain_kg, grain_c, water_kg, vessel_heat_kg, grain_c)

    try:
        needed_c = balanced_c(mash_c, grain_c, vessel_heat_kg)
        per_degree = balanced_c(mash_c + 1.0, grain_c, vessel_heat_kg) - needed_c
        by_heat = (needed_c - balanced_c(mash_c, grain_c, vessel_heat_kg + 1.0)) / per_degree
        by_grain = (needed_c - balanced_c(mash_c, grain_c + 1.0, vessel_heat_kg)) / per_degree
    except OutOfRangeError:
        return None
    missed_c = (needed_c - strike_c) / per_degree
    slope = by_heat if poured else 0.0
    unsure_c = by_grain * GRAIN_SD_C if known_grain_c is None else 0.0
    return Row(
        (1.0, slope),
        missed_c + slope * vessel_heat_kg,
        math.hypot(MASH_IN_SD_C, unsure_c),
        session.trusted_because is not None,
    )


def cooling_rows(sessions: Sequence[Session]) -> list[Row]:
    """Fall in temperature per hour of mashes of one rest."""
    rows = (_cooling_row(session) for session in sessions)
    return [row for row in rows if row is not None]


def _cooling_row(session: Session) -> Row | None:
    read = CorrectedReadings(session.readings)
    fall_c = read.temperature_c(Stage.MASH_IN) - read.temperature_c(Stage.MASH_END)
    rests = session.mash
    if math.isnan(fall_c) or len({rest.temperature_c for rest in rests}) > 1:
        return None
    hours = sum(rest.time_min for rest in rests) / 60.0
    sd_of_hours = 0.0 if hours else UNKNOWN_MASH_RELATIVE_SD
    hours = hours or UNKNOWN_MASH_H
    rate = fall_c / hours
    sd = math.hypot(THERMOMETERS_SD_C / hours, COOLING_SD_C_PER_H, sd_of_hours * rate)
    return Row((1.0,), rate, sd, session.trusted_because is not None)
