"""What the model expects every reading of every session to be.

All sessions at once, as arrays: the difference of each reading to its expectation, and its
derivatives by what the sessions share (the constants of the setup) and by what is one
session's own (pre-boil volume, boil, kettle loss, lot of malt, error of the strike water, luck of
the brew). Volumes are
relative to the pre-boil volume, gravities the logarithm of extract per litre: all are near 1.

A measured gravity is only ever a *reading*, explained by what was known before the brew, so an
error in it cannot pass for a stronger beer. The pre-boil volume is each session's own unknown,
told by the plan and by every volume read, so an error in one of them cannot pass for a lighter
grain load; nor can an error of the strike water, which is in the mash thickness *and* in the
conversion told by the first wort, pass for a loss with thickness.
"""

import math
from dataclasses import dataclass
from enum import IntEnum
from operator import attrgetter
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from wortwright.brewing.gravity import extract_kg_per_l
from wortwright.brewing.lautering import EXTRACT_VOLUME_L_PER_KG, apparent_absorption_l_per_kg
from wortwright.calibration.curve import (
    PARAMETERS,
    Mash,
    Parameters,
    conversion_at,
    log_sensitivities,
    mash_efficiency,
    thickness_excess,
    usual_strike_water_l,
)
from wortwright.calibration.evidence import Evidence
from wortwright.calibration.habit import Column, meant_strike_l
from wortwright.calibration.priors import (
    BOIL_OFF_SD_L_PER_H,
    FIRST_WORT_RELATIVE_SD,
    GRAVITY_SD,
    HOP_UPTAKE_RELATIVE_SD,
    KETTLE_LOSS_SD_L,
    MALT_LOT_LOG_SD,
    PLANNED_RELATIVE_SD,
    UNKNOWN_BOIL_SD_L,
    USUAL_LOAD_KG_PER_L,
    VOLUME_RELATIVE_SD,
)
from wortwright.records.setup import LauterMethod

Array = NDArray[np.float64]


SHARED = (*PARAMETERS, "boil_off_l_per_h", "kettle_loss_l")
UNKNOWN_STRIKE_RELATIVE_SD = 0.10
LEAST_WATER_SD = 0.005

_BOIL_OFF, _KETTLE_LOSS = len(PARAMETERS), len(PARAMETERS) + 1


class Shared(NamedTuple):
    """What all sessions of a setup share."""

    theta: Parameters
    boil_off_l_per_h: float
    kettle_loss_l: float


class Row(IntEnum):
    """The readings of one session, in the order of the arrays."""

    PLANNED = 0
    PREBOIL = 1
    POSTBOIL = 2
    FERMENTER = 3
    WATER = 4
    PREBOIL_GRAVITY = 5
    POSTBOIL_GRAVITY = 6
    FERMENTER_GRAVITY = 7
    FIRST_WORT = 8


VOLUMES = (Row.PLANNED, Row.PREBOIL, Row.POSTBOIL, Row.FERMENTER, Row.WATER)
ORIGINAL_GRAVITIES = (Row.POSTBOIL_GRAVITY, Row.FERMENTER_GRAVITY)


class Own(IntEnum):
    """What is one session's own, in the order of the arrays."""

    PREBOIL = 0
    BOIL = 1
    KETTLE = 2
    LOT = 3
    STRIKE = 4


@dataclass(frozen=True, slots=True)
class History:
    """All sessions as columns; ``read`` and its ``sd`` are session by reading, nan if missing.

    ``preboil_l`` is the first guess of each pre-boil volume, ``strike_l`` nan where unknown,
    ``added_l`` what went into the kettle after the pre-boil reading.
    """

    grain_kg: Column
    extract_yield: Column
    preboil_l: Column
    strike_l: Column
    kettle_extract_kg: Column
    hop_uptake_l: Column
    boil_h: Column
    added_l: Column
    own_sd: Array
    read: Array
    sd: Array


@dataclass(frozen=True, slots=True)
class Expectation:
    """Readings less their expectation, and the derivatives of the expectation.

    ``difference`` is session by reading; ``by_shared`` adds an axis over ``SHARED``, ``by_own``
    one over :class:`Own`; ``by_luck`` is the derivative by the luck of the brew.
    """

    difference: Array
    by_shared: Array
    by_own: Array
    by_luck: Array


_COLUMNS = (
    "grain_kg",
    "potential_kg",
    "kettle_extract_kg",
    "hop_uptake_l",
    "boil_h",
    "planned_preboil_l",
    "strike_l",
    "top_up_l",
    "preboil_l",
    "postboil_l",
    "fermenter_l",
    "preboil_gravity",
    "postboil_gravity",
    "fermenter_gravity",
    "conversion",
)


def history_of(evidence: list[Evidence], method: LauterMethod, prior: Shared) -> History:
    """Columns of all sessions, each pre-boil volume guessed from what was written down."""
    table = np.array([attrgetter(*_COLUMNS)(one) for one in evidence], dtype=float)
    column: dict[str, Column] = dict(zip(_COLUMNS, table.reshape(-1, len(_COLUMNS)).T, strict=True))
    water_in_l: Column = np.array([one.water_in_l(method) for one in evidence], dtype=float)
    extract_yield = column["potential_kg"] / column["grain_kg"]
    added_l = column["top_up_l"] + EXTRACT_VOLUME_L_PER_KG * column["kettle_extract_kg"]
    boil_h = np.where(np.isnan(column["boil_h"]), 1.0, column["boil_h"])
    boiled_l = prior.boil_off_l_per_h * boil_h - added_l
    lost_l = prior.kettle_loss_l + column["hop_uptake_l"]
    held_l = _held_l(prior.theta, prior.theta.conversion, column["grain_kg"], extract_yield)
    preboil_l = _first_known(
        column["planned_preboil_l"],
        column["preboil_l"],
        column["postboil_l"] + boiled_l,
        column["fermenter_l"] + boiled_l + lost_l,
        water_in_l - held_l,
        column["grain_kg"] / USUAL_LOAD_KG_PER_L,
    )
    read, sd = _read(column, water_in_l, preboil_l)
    return History(
        grain_kg=column["grain_kg"],
        extract_yield=extract_yield,
        preboil_l=preboil_l,
        strike_l=meant_strike_l(column["strike_l"], column["grain_kg"], preboil_l, method),
        kettle_extract_kg=column["kettle_extract_kg"],
        hop_uptake_l=column["hop_uptake_l"],
        boil_h=boil_h,
        added_l=added_l,
        own_sd=_own_sd(column, boil_h),
        read=read,
        sd=sd,
    )


def expect(history: History, method: LauterMethod, runnings: int, shared: Shared) -> Expectation:
    """Expectation of every reading, and its derivatives, at one set of constants."""
    theta = shared.theta
    grain_kg, extract_yield, preboil_l = (
        history.grain_kg,
        history.extract_yield,
        history.preboil_l,
    )
    usual_l = usual_strike_water_l(theta, method, runnings, grain_kg, extract_yield, preboil_l)
    strike_l = _first_known(history.strike_l, usual_l)
    mash = Mash(grain_kg, extract_yield, preboil_l, strike_l)
    efficiency: Column = mash_efficiency(theta, method, runnings, mash)
    more_wort = mash._replace(preboil_l=1.01 * preboil_l)
    with_more: Column = mash_efficiency(theta, method, runnings, more_wort)
    slopes = log_sensitivities(theta, method, runnings, mash)
    mashed_kg = grain_kg * extract_yield * efficiency
    total_kg = mashed_kg + history.kettle_extract_kg
    boiled_l = shared.boil_off_l_per_h * history.boil_h
    postboil_l = np.maximum(preboil_l - boiled_l + history.added_l, 0.3 * preboil_l)
    lost_l = shared.kettle_loss_l + history.hop_uptake_l
    conversion: Column = conversion_at(theta, grain_kg / strike_l)
    held_l = _held_l(theta, conversion, grain_kg, extract_yield)
    levels: dict[Row, Column] = {
        Row.PLANNED: 1.0,
        Row.PREBOIL: 1.0,
        Row.POSTBOIL: postboil_l / preboil_l,
        Row.FERMENTER: (postboil_l - lost_l) / preboil_l,
        Row.WATER: 1.0 + held_l / preboil_l,
        Row.PREBOIL_GRAVITY: np.log(mashed_kg / preboil_l),
        Row.POSTBOIL_GRAVITY: np.log(total_kg / postboil_l),
        Row.FERMENTER_GRAVITY: np.log(total_kg / postboil_l),
        Row.FIRST_WORT: np.log(conversion),
    }
    difference = np.empty_like(history.read)
    for row, level in levels.items():
        difference[:, row] = history.read[:, row] - level
    share = mashed_kg / total_kg
    by_preboil = np.log(with_more / efficiency) / math.log(1.01)
    less_water = mash._replace(strike_water_l=strike_l / 1.01)
    with_less: Column = mash_efficiency(theta, method, runnings, less_water)
    by_strike = np.log(with_less / efficiency) / math.log(1.01)
    thinned: Column = conversion_at(theta, 1.01 * grain_kg / strike_l)
    told_by_strike = 1.0 + np.log(thinned / conversion) / math.log(1.01)
    return Expectation(
        difference,
        _by_shared(history, strike_l, postboil_l, conversion, slopes, share),
        _by_own(history, strike_l, postboil_l, by_preboil, by_strike, told_by_strike, share),
        _by_luck(share),
    )


def _by_shared(
    history: History,
    strike_l: Column,
    postboil_l: Column,
    conversion: Column,
    sensitivities: tuple[Column, ...],
    share: Column,
) -> Array:
    by = np.zeros((*history.read.shape, len(SHARED)))
    preboil_l, grain_kg = history.preboil_l, history.grain_kg
    excess: Column = thickness_excess(grain_kg / strike_l)
    by[:, Row.POSTBOIL, _BOIL_OFF] = by[:, Row.FERMENTER, _BOIL_OFF] = -history.boil_h / preboil_l
    by[:, Row.FERMENTER, _KETTLE_LOSS] = -1.0 / preboil_l
    swelling = EXTRACT_VOLUME_L_PER_KG * history.extract_yield * grain_kg / preboil_l
    held = (-swelling, excess * swelling, grain_kg / preboil_l, 1.0 / preboil_l)
    for parameter, slope in enumerate(held):
        by[:, Row.WATER, parameter] = slope
    for parameter, slope in enumerate(sensitivities):
        by[:, Row.PREBOIL_GRAVITY, parameter] = slope
        for row in ORIGINAL_GRAVITIES:
            by[:, row, parameter] = slope * share
    for row in ORIGINAL_GRAVITIES:
        by[:, row, _BOIL_OFF] = history.boil_h / postboil_l
    by[:, Row.FIRST_WORT, 0] = 1.0 / conversion
    by[:, Row.FIRST_WORT, 1] = -excess / conversion
    return by


def _by_own(
    history: History,
    strike_l: Column,
    postboil_l: Column,
    by_preboil: Column,
    by_strike: Column,
    told_by_strike: Column,
    share: Column,
) -> Array:
    by = np.zeros((*history.read.shape, len(Own)))
    for row in VOLUMES:
        by[:, row, Own.PREBOIL] = 1.0
    by[:, Row.POSTBOIL, Own.BOIL] = by[:, Row.FERMENTER, Own.BOIL] = -1.0 / history.preboil_l
    by[:, Row.FERMENTER, Own.KETTLE] = -1.0 / history.preboil_l
    by[:, Row.PREBOIL_GRAVITY, Own.PREBOIL] = by_preboil - 1.0
    for row in ORIGINAL_GRAVITIES:
        by[:, row, Own.PREBOIL] = share * by_preboil - history.preboil_l / postboil_l
        by[:, row, Own.BOIL] = 1.0 / postboil_l
    by[:, Row.WATER, Own.STRIKE] = strike_l / history.preboil_l
    by[:, :, Own.STRIKE] += _by_luck(share) * by_strike[:, None]
    by[:, Row.FIRST_WORT, Own.STRIKE] = told_by_strike
    by[:, :, Own.LOT] = _by_luck(share)
    by[:, Row.FIRST_WORT, Own.LOT] = 1.0
    return by


def _by_luck(share: Column) -> Array:
    by = np.zeros((len(share), len(Row)))
    by[:, Row.PREBOIL_GRAVITY] = 1.0
    for row in ORIGINAL_GRAVITIES:
        by[:, row] = share
    return by


def _held_l(
    theta: Parameters, conversion: float, grain_kg: Column, extract_yield: Column
) -> Column:
    """Water that does not come back as wort."""
    apparent = apparent_absorption_l_per_kg(
        theta.true_absorption_l_per_kg, extract_yield, conversion
    )
    return apparent * grain_kg + theta.dead_space_l


def _first_known(*columns: Column) -> Column:
    known = columns[0]
    for column in columns[1:]:
        known = np.where(np.isnan(known), column, known)
    return known


def _read(column: dict[str, Column], water_in_l: Column, preboil_l: Column) -> tuple[Array, Array]:
    """Readings and their standard deviations in the scale of the model."""
    read = np.full((len(preboil_l), len(Row)), np.nan)
    sd = np.full_like(read, np.nan)
    names = ("planned_preboil_l", "preboil_l", "postboil_l", "fermenter_l")
    volumes = (*(column[name] for name in names), water_in_l)
    for row, volume_l in zip(VOLUMES, volumes, strict=True):
        read[:, row] = volume_l / preboil_l
        sd[:, row] = VOLUME_RELATIVE_SD * read[:, row]
    sd[:, Row.WATER] = np.maximum(
        VOLUME_RELATIVE_SD * (water_in_l - column["strike_l"]) / preboil_l, LEAST_WATER_SD
    )
    sd[:, Row.PLANNED] = PLANNED_RELATIVE_SD * read[:, Row.PLANNED]
    gravities = {
        Row.PREBOIL_GRAVITY: column["preboil_gravity"],
        Row.POSTBOIL_GRAVITY: column["postboil_gravity"],
        Row.FERMENTER_GRAVITY: column["fermenter_gravity"],
    }
    for row, gravity in gravities.items():
        for session in np.flatnonzero(~np.isnan(gravity)):
            read[session, row] = math.log(extract_kg_per_l(float(gravity[session])))
        sd[:, row] = GRAVITY_SD / (gravity - 1.0)
    read[:, Row.FIRST_WORT] = np.log(column["conversion"])
    sd[:, Row.FIRST_WORT] = FIRST_WORT_RELATIVE_SD
    return read, sd


def _own_sd(column: dict[str, Column], boil_h: Column) -> Array:
    own_sd = np.empty((len(boil_h), len(Own)))
    own_sd[:, Own.PREBOIL] = 0.5
    own_sd[:, Own.BOIL] = np.where(
        np.isnan(column["boil_h"]), UNKNOWN_BOIL_SD_L, BOIL_OFF_SD_L_PER_H * boil_h
    )
    own_sd[:, Own.KETTLE] = np.hypot(
        KETTLE_LOSS_SD_L, HOP_UPTAKE_RELATIVE_SD * column["hop_uptake_l"]
    )
    own_sd[:, Own.LOT] = MALT_LOT_LOG_SD
    own_sd[:, Own.STRIKE] = np.where(
        np.isnan(column["strike_l"]), UNKNOWN_STRIKE_RELATIVE_SD, VOLUME_RELATIVE_SD
    )
    return own_sd
