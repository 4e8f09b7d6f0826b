"""What the model expects every reading of every session to be.

All sessions at once, as arrays: the difference of each reading to its expectation, and its
derivatives by what the sessions share (the scores of the parameters) and by what is one
session's own (pre-boil volume, boil, kettle loss, malt lot). Volumes are relative to the
pre-boil volume, gravities enter as the logarithm of extract per litre, so that all are near 1.

A measured gravity is only ever a *reading* here, explained by what was known before the brew;
an error in it cannot pass for a stronger beer. The pre-boil volume is the session's own
unknown, told by the plan and by every volume read, so that an error in one of them does not
pass for a lighter grain load.
"""

from dataclasses import dataclass
from enum import IntEnum

import numpy as np
from numpy.typing import NDArray

from wortwright.brewing.gravity import extract_kg_per_l
from wortwright.brewing.lautering import EXTRACT_VOLUME_L_PER_KG
from wortwright.calibration.curve import (
    Mash,
    Parameters,
    conversion_at,
    mash_efficiency,
    mash_point,
    usual_strike_water_l,
    THIN_MASH_KG_PER_L,
)
from wortwright.calibration.evidence import (
    FIRST_WORT_RELATIVE_SD,
    GRAVITY_SD,
    VOLUME_RELATIVE_SD,
    Evidence,
)
from wortwright.calibration.priors import MALT_LOT_LOG_SD
from wortwright.records.setup import LauterMethod

Array = NDArray[np.float64]

PLANNED_RELATIVE_SD = 0.02
BOIL_SD_L_PER_H = 0.3
UNKNOWN_BOIL_SD_L = 1.5
KETTLE_SD_L = 0.25
HOP_UPTAKE_RELATIVE_SD = 0.25
"""How far a session strays from its plan and from its setup's constants; common practice."""


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


class Own(IntEnum):
    """What is one session's own, in the order of the arrays."""

    PREBOIL = 0
    BOIL = 1
    KETTLE = 2
    LOT = 3


@dataclass(frozen=True, slots=True)
class History:
    """All sessions as arrays: session by session, or session by reading; nan where not read."""

    mash: Mash
    potential_kg: Array
    kettle_extract_kg: Array
    hop_uptake_l: Array
    boil_h: Array
    boil_sd_l: Array
    added_l: Array
    strike_l: Array
    read: Array
    sd: Array

    @property
    def size(self) -> int:
        """Number of sessions."""
        return len(self.potential_kg)


@dataclass(frozen=True, slots=True)
class Expectation:
    """Readings less their expectation, and the derivatives of the expectation.

    ``difference`` is session by reading; ``shared`` adds an axis over the parameters,
    ``own`` one over :class:`Own`; ``brew`` is the derivative by the luck of the brew.
    """

    difference: Array
    shared: Array
    own: Array
    own_sd: Array
    brew: Array


def history_of(evidence: list[Evidence], method: LauterMethod, theta: Parameters, boil_off_l_per_h: float, kettle_loss_l: float) -> History:
    """Arrays of all sessions, with a first guess of every pre-boil volume."""
    column = {
        name: np.array([getattr(one, name) for one in evidence], dtype=float)
        for name in (
            "grain_kg", "potential_kg", "kettle_extract_kg", "hop_uptake_l", "boil_h",
            "planned_preboil_l", "strike_l", "top_up_l", "preboil_l", "postboil_l",
            "fermenter_l", "first_wort_gravity", "preboil_gravity", "postboil_gravity", "fermenter_gravity",
        )
    }
    water_in_l = np.array([one.water_in_l(method) for one in evidence], dtype=float)
    grain_kg = column["grain_kg"]
    extract_yield = column["potential_kg"] / grain_kg
    boil_h = np.where(np.isnan(column["boil_h"]), 1.0, column["boil_h"])
    boil_sd = np.where(np.isnan(column["boil_h"]), UNKNOWN_BOIL_SD_L, BOIL_SD_L_PER_H * boil_h)
    added_l = column["top_up_l"] + EXTRACT_VOLUME_L_PER_KG * column["kettle_extract_kg"]
    boiled_l = boil_off_l_per_h * boil_h - added_l
    apparent = theta.true_absorption_l_per_kg - EXTRACT_VOLUME_L_PER_KG * extract_yield * theta.conversion
    preboil_l = _first_known(
        column["planned_preboil_l"],
        column["preboil_l"],
        column["postboil_l"] + boiled_l,
        column["fermenter_l"] + boiled_l + kettle_loss_l + column["hop_uptake_l"],
        water_in_l - apparent * grain_kg - theta.dead_space_l,
    )
    read = np.empty((len(evidence), len(Row)))
    read[:, Row.PLANNED] = column["planned_preboil_l"]
    read[:, Row.PREBOIL] = column["preboil_l"]
    read[:, Row.POSTBOIL] = column["postboil_l"]
    read[:, Row.FERMENTER] = column["fermenter_l"]
    read[:, Row.WATER] = water_in_l
    sd = np.empty_like(read)
    sd[:, Row.PLANNED] = PLANNED_RELATIVE_SD
    for row in (Row.PREBOIL, Row.POSTBOIL, Row.FERMENTER, Row.WATER):
        sd[:, row] = VOLUME_RELATIVE_SD * read[:, row] / preboil_l
    read[:, :Row.PREBOIL_GRAVITY] /= preboil_l[:, None]
    for row, name in ((Row.PREBOIL_GRAVITY, "preboil_gravity"), (Row.POSTBOIL_GRAVITY, "postboil_gravity"), (Row.FERMENTER_GRAVITY, "fermenter_gravity")):
        read[:, row] = [np.log(extract_kg_per_l(g)) if g == g else np.nan for g in column[name]]
        sd[:, row] = GRAVITY_SD / (column[name] - 1.0)
    read[:, Row.FIRST_WORT] = np.log([one.conversion for one in evidence])
    sd[:, Row.FIRST_WORT] = FIRST_WORT_RELATIVE_SD
    return History(
        mash=Mash(grain_kg, extract_yield, preboil_l, column["strike_l"]),
        potential_kg=column["potential_kg"],
        kettle_extract_kg=column["kettle_extract_kg"],
        hop_uptake_l=column["hop_uptake_l"],
        boil_h=boil_h,
        boil_sd_l=boil_sd,
        added_l=added_l,
        strike_l=column["strike_l"],
        read=read,
        sd=sd,
    )


def _first_known(*columns: Array) -> Array:
    known = columns[0]
    for column in columns[1:]:
        known = np.where(np.isnan(known), column, known)
    return known


def expect(history: History, method: LauterMethod, runnings: int, theta: Parameters, boil_off_l_per_h: float, kettle_loss_l: float) -> Expectation:
    """Expectation of every reading at a set of parameters."""
    n = history.size
    grain_kg, extract_yield, u, _ = history.mash
    strike = history.mash.strike_water_l
    strike = np.where(np.isnan(strike), usual_strike_water_l(theta, method, runnings, grain_kg, extract_yield, u), strike)
    mash = history.mash._replace(strike_water_l=strike)
    point = mash_point(theta, method, runnings, mash)
    eff, sens = point.efficiency, np.stack(np.broadcast_arrays(*point.sensitivities), axis=-1)
    more = mash_efficiency(theta, method, runnings, mash._replace(preboil_l=1.01 * u))
    by_u = np.log(more / eff) / 0.01
    extract = history.potential_kg * eff
    total = extract + history.kettle_extract_kg
    share = extract / total
    postboil = u - boil_off_l_per_h * history.boil_h + history.added_l
    postboil = np.maximum(postboil, 0.3 * u)
    loss = kettle_loss_l + history.hop_uptake_l
    thickness = grain_kg / strike
    conversion = conversion_at(theta, thickness)
    excess = np.maximum(thickness - THIN_MASH_KG_PER_L, 0.0)
    held = (theta.true_absorption_l_per_kg - EXTRACT_VOLUME_L_PER_KG * extract_yield * conversion) * grain_kg + theta.dead_space_l

    e = np.empty((n, 9))
    e[:, Row.PLANNED] = e[:, Row.PREBOIL] = 1.0
    e[:, Row.POSTBOIL] = postboil / u
    e[:, Row.FERMENTER] = (postboil - loss) / u
    e[:, Row.WATER] = 1.0 + held / u
    e[:, Row.PREBOIL_GRAVITY] = np.log(extract / u)
    e[:, Row.POSTBOIL_GRAVITY] = e[:, Row.FERMENTER_GRAVITY] = np.log(total / postboil)
    e[:, Row.FIRST_WORT] = np.log(conversion)

    G = np.zeros((n, 9, 8))
    G[:, Row.POSTBOIL, 6] = G[:, Row.FERMENTER, 6] = -history.boil_h / u
    G[:, Row.FERMENTER, 7] = -1.0 / u
    G[:, Row.WATER, 0] = -EXTRACT_VOLUME_L_PER_KG * extract_yield * grain_kg / u
    G[:, Row.WATER, 1] = -excess * G[:, Row.WATER, 0]
    G[:, Row.WATER, 2] = grain_kg / u
    G[:, Row.WATER, 3] = 1.0 / u
    G[:, Row.PREBOIL_GRAVITY, :6] = sens
    for r in (Row.POSTBOIL_GRAVITY, Row.FERMENTER_GRAVITY):
        G[:, r, :6] = sens * share[:, None]
        G[:, r, 6] = history.boil_h / postboil
    G[:, Row.FIRST_WORT, 0] = 1.0 / conversion
    G[:, Row.FIRST_WORT, 1] = -excess / conversion

    H = np.zeros((n, 9, 4))
    H[:, :5, Own.PREBOIL] = 1.0
    H[:, Row.POSTBOIL, Own.BOIL] = H[:, Row.FERMENTER, Own.BOIL] = -1.0 / u
    H[:, Row.FERMENTER, Own.KETTLE] = -1.0 / u
    H[:, Row.PREBOIL_GRAVITY, Own.PREBOIL] = by_u - 1.0
    brew = np.zeros((n, 9))
    brew[:, Row.PREBOIL_GRAVITY] = 1.0
    for r in (Row.POSTBOIL_GRAVITY, Row.FERMENTER_GRAVITY):
        H[:, r, Own.PREBOIL] = share * by_u - u / postboil
        H[:, r, Own.BOIL] = 1.0 / postboil
        brew[:, r] = share
    H[:, :, Own.LOT] = brew
    H[:, Row.FIRST_WORT, Own.LOT] = 1.0
    own_sd = np.empty((n, 4))
    own_sd[:, Own.PREBOIL] = 0.5
    own_sd[:, Own.BOIL] = history.boil_sd_l
    own_sd[:, Own.KETTLE] = np.hypot(KETTLE_SD_L, HOP_UPTAKE_RELATIVE_SD * history.hop_uptake_l)
    own_sd[:, Own.LOT] = MALT_LOT_LOG_SD
    return Expectation(history.read - e, G, H, own_sd, brew)
