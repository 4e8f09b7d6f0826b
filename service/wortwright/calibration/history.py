"""All sessions of a setup as arrays: what was read, how surely, and what is each session's own.

Volumes are relative to a first guess of the pre-boil volume, gravities the logarithm of extract
per litre, so that all are near 1 and every error is a relative one.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import IntEnum
from operator import attrgetter
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from wortwright.brewing.gravity import extract_kg_per_l
from wortwright.brewing.mash_water import EXTRACT_VOLUME_L_PER_KG, apparent_absorption_l_per_kg
from wortwright.calibration.curve import PARAMETERS, Parameters
from wortwright.calibration.evidence import LEAST_WORT_L_PER_KG, Evidence
from wortwright.calibration.habit import Column, meant_strike_l
from wortwright.calibration.priors import (
    BOIL_OFF_SD_L_PER_H,
    FIRST_WORT_RELATIVE_SD,
    GRAVITY_SD,
    HOP_UPTAKE_RELATIVE_SD,
    KETTLE_LOSS_SD_L,
    LEAST_WATER_RELATIVE_SD,
    MALT_LOT_LOG_SD,
    PLANNED_RELATIVE_SD,
    PREBOIL_GUESS_RELATIVE_SD,
    UNKNOWN_BOIL_SD_L,
    UNKNOWN_STRIKE_RELATIVE_SD,
    USUAL_LOAD_KG_PER_L,
    VOLUME_RELATIVE_SD,
)
from wortwright.records.setup import LauterMethod

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]

SHARED = (*PARAMETERS, "boil_off_l_per_h", "kettle_loss_l")


class Shared(NamedTuple):
    """What all sessions of a setup share, in the order of ``SHARED``."""

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
GRAVITIES = (Row.PREBOIL_GRAVITY, Row.POSTBOIL_GRAVITY, Row.FERMENTER_GRAVITY)


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

    ``preboil_l`` is the first guess of each pre-boil volume, ``strike_l`` the strike water as
    meant (nan where the usual one is to be taken), ``added_l`` what went into the kettle after
    the pre-boil reading. ``own_sd`` is session by :class:`Own`. ``trusted`` tells of which
    sessions no reading is doubted.
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
    trusted: Array


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


def history_of(evidence: Sequence[Evidence], method: LauterMethod, prior: Shared) -> History:
    """Columns of all sessions, each pre-boil volume guessed from what was written down."""
    table = np.array([attrgetter(*_COLUMNS)(one) for one in evidence], dtype=float)
    column: dict[str, Column] = dict(zip(_COLUMNS, table.reshape(-1, len(_COLUMNS)).T, strict=True))
    column["water_in_l"] = np.array([one.water_in_l(method) for one in evidence], dtype=float)
    column["extract_yield"] = column["potential_kg"] / column["grain_kg"]
    added_l = column["top_up_l"] + EXTRACT_VOLUME_L_PER_KG * column["kettle_extract_kg"]
    boil_h = np.where(np.isnan(column["boil_h"]), 1.0, column["boil_h"])
    boiled_l = prior.boil_off_l_per_h * boil_h - added_l
    preboil_l = _guessed_preboil_l(column, boiled_l, prior)
    read, sd = _read(column, preboil_l)
    return History(
        grain_kg=column["grain_kg"],
        extract_yield=column["extract_yield"],
        preboil_l=preboil_l,
        strike_l=meant_strike_l(column["strike_l"], column["grain_kg"], preboil_l, method),
        kettle_extract_kg=column["kettle_extract_kg"],
        hop_uptake_l=column["hop_uptake_l"],
        boil_h=boil_h,
        added_l=added_l,
        own_sd=_own_sd(column, boil_h),
        read=read,
        sd=sd,
        trusted=np.array([one.trusted for one in evidence], dtype=bool),
    )


def held_l(theta: Parameters, conversion: float, grain_kg: Column, extract_yield: Column) -> Column:
    """Water that does not come back as wort. [L]"""
    apparent = apparent_absorption_l_per_kg(
        theta.true_absorption_l_per_kg, extract_yield, conversion
    )
    return apparent * grain_kg + theta.dead_space_l


def first_known(*columns: Column) -> Column:
    """The first of several columns that is known, session by session."""
    known = columns[0]
    for column in columns[1:]:
        known = np.where(np.isnan(known), column, known)
    return known


def _guessed_preboil_l(column: dict[str, Column], boiled_l: Column, prior: Shared) -> Column:
    lost_l = prior.kettle_loss_l + column["hop_uptake_l"]
    kept_l = held_l(
        prior.theta, prior.theta.conversion, column["grain_kg"], column["extract_yield"]
    )
    guessed_l = first_known(
        column["planned_preboil_l"],
        column["preboil_l"],
        column["postboil_l"] + boiled_l,
        column["fermenter_l"] + boiled_l + lost_l,
        column["water_in_l"] - kept_l,
        column["grain_kg"] / USUAL_LOAD_KG_PER_L,
    )
    # What was topped up or kept may be a slip of the pen.
    return np.maximum(guessed_l, LEAST_WORT_L_PER_KG * column["grain_kg"])


def _read(column: dict[str, Column], preboil_l: Column) -> tuple[Array, Array]:
    """Readings and their standard deviations in the scale of the model."""
    read = np.full((len(preboil_l), len(Row)), np.nan)
    sd = np.full_like(read, np.nan)
    volumes = ("planned_preboil_l", "preboil_l", "postboil_l", "fermenter_l", "water_in_l")
    for row, name in zip(VOLUMES, volumes, strict=True):
        read[:, row] = column[name] / preboil_l
        sd[:, row] = VOLUME_RELATIVE_SD * read[:, row]
    sd[:, Row.PLANNED] = PLANNED_RELATIVE_SD * read[:, Row.PLANNED]
    # The error of the strike water is the session's own, so only that of the sparge is left.
    sparge = (column["water_in_l"] - column["strike_l"]) / preboil_l
    sd[:, Row.WATER] = np.maximum(VOLUME_RELATIVE_SD * sparge, LEAST_WATER_RELATIVE_SD)
    gravities = ("preboil_gravity", "postboil_gravity", "fermenter_gravity")
    for row, name in zip(GRAVITIES, gravities, strict=True):
        gravity = column[name]
        for session in np.flatnonzero(~np.isnan(gravity)):
            read[session, row] = math.log(extract_kg_per_l(float(gravity[session])))
        sd[:, row] = GRAVITY_SD / (gravity - 1.0)
    read[:, Row.FIRST_WORT] = np.log(column["conversion"])
    sd[:, Row.FIRST_WORT] = FIRST_WORT_RELATIVE_SD
    return read, sd


def _own_sd(column: dict[str, Column], boil_h: Column) -> Array:
    own_sd = np.empty((len(boil_h), len(Own)))
    own_sd[:, Own.PREBOIL] = PREBOIL_GUESS_RELATIVE_SD
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
