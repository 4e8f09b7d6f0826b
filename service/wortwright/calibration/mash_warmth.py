"""What the temperatures of the mash say: how far mash-ins miss, what the vessel takes, cooling."""

import math
from collections.abc import Sequence

from wortwright.brewing.errors import OutOfRangeError
from wortwright.brewing.heat import (
    cooled_temperature_c,
    cooling_rate_per_min,
    strike_temperature_c,
)
from wortwright.brewing.water_density import water_density_kg_per_l
from wortwright.calibration.corrected import Brew, or_nan
from wortwright.calibration.evidence import mashed_kg
from wortwright.calibration.linear import Row
from wortwright.records.session import Stage

USUAL_GRAIN_C, GRAIN_SD_C = 20.0, 4.0
"""Grain of which no temperature was written down; common practice, no source."""

MASH_IN_SD_C = 0.8
"""Error of a mash-in: two thermometers of 0.5 degC, uneven mashes; common practice, no source."""

THERMOMETERS_SD_C, COOLING_SD_C_PER_H = 0.7, 0.4
"""Two readings of 0.5 degC, and how the cooling differs from brew to brew with the room and the
batch; common practice, no source."""

USUAL_MASH_C, ROOM_C = 67.0, 20.0
"""The heat loss is what a mash loses in its first hour from there, in such a room; a mash that is
warmer, or that has cooled already, loses by its distance to the room (Newton)."""

MOST_LOSS_C_PER_H = 40.0
"""More would leave nothing to lose."""

UNKNOWN_MASH_H, UNKNOWN_MASH_RELATIVE_SD = 1.0, 0.25
"""A mash of unknown length: 45 to 90 minutes are usual; common practice, no source."""


def mash_in_rows(brews: Sequence[Brew], vessel_heat_kg: float, poured: bool) -> list[Row]:
    """Mash-ins by offset and vessel heat, told by strike water, its temperature and the mash's.

    The heat balance is linear in the vessel heat near enough to be taken as such about its
    prior mean. Water heated in the mash vessel has warmed it already (``poured`` is false), and
    nothing is told of it.
    """
    heat_kg = vessel_heat_kg if poured else 0.0
    rows = (_mash_in_row(brew, heat_kg, poured) for brew in brews)
    return [row for row in rows if row is not None]


def _mash_in_row(brew: Brew, vessel_heat_kg: float, poured: bool) -> Row | None:
    session_id, session, read = brew
    if not read.has(Stage.STRIKE_WATER, Stage.MASH_IN):
        return None
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
        session_id,
    )


def cooling_rows(brews: Sequence[Brew]) -> list[Row]:
    """Fall in temperature per hour of mashes of one rest."""
    rows = (_cooling_row(brew) for brew in brews)
    return [row for row in rows if row is not None]


def rest_end_c(loss_c_per_h: float, start_c: float, room_c: float, minutes: float) -> float:
    """Temperature at the end of a rest to which no heat is added. [degC]"""
    if loss_c_per_h <= 0.0 or start_c <= room_c:
        return start_c
    after_c = USUAL_MASH_C - min(loss_c_per_h, MOST_LOSS_C_PER_H)
    rate = cooling_rate_per_min(USUAL_MASH_C, after_c, ROOM_C, 60.0)
    return cooled_temperature_c(start_c, room_c, rate, minutes)


def _first_hour_c(start_c: float, end_c: float, hours: float) -> float:
    """What a mash that cooled like this loses in the first hour; warmth that was added counts."""
    if not ROOM_C < end_c < start_c:
        return (start_c - end_c) / hours
    rate = cooling_rate_per_min(start_c, end_c, ROOM_C, 60.0 * hours)
    return USUAL_MASH_C - cooled_temperature_c(USUAL_MASH_C, ROOM_C, rate, 60.0)


def _cooling_row(brew: Brew) -> Row | None:
    session_id, session, read = brew
    if not read.has(Stage.MASH_IN, Stage.MASH_END):
        return None
    start_c, end_c = read.temperature_c(Stage.MASH_IN), read.temperature_c(Stage.MASH_END)
    rests = session.mash
    if math.isnan(start_c + end_c) or len({rest.temperature_c for rest in rests}) > 1:
        return None
    hours = sum(rest.time_min for rest in rests) / 60.0
    sd_of_hours = 0.0 if hours else UNKNOWN_MASH_RELATIVE_SD
    hours = hours or UNKNOWN_MASH_H
    loss_c = _first_hour_c(start_c, end_c, hours)
    sd = math.hypot(THERMOMETERS_SD_C / hours, COOLING_SD_C_PER_H, sd_of_hours * loss_c)
    return Row((1.0,), loss_c, sd, session.trusted_because is not None, session_id)
