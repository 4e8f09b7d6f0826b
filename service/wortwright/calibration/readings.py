"""What the model expects every reading of every session to be.

The difference of each reading to its expectation, and its derivatives by what the sessions
share (the constants of the setup) and by what is one session's own (pre-boil volume, boil,
kettle loss, lot of malt, error of the strike water, luck of the brew).

A measured gravity is only ever a *reading*, explained by what was known before the brew, so an
error in it cannot pass for a stronger beer. The pre-boil volume is each session's own unknown,
told by the plan and by every volume read, so an error in one of them cannot pass for a lighter
grain load; nor can an error of the strike water, which is in the mash thickness *and* in the
conversion told by the first wort, pass for a loss with thickness.
"""

import math
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from wortwright.brewing.mash_water import EXTRACT_VOLUME_L_PER_KG
from wortwright.calibration.curve import (
    PARAMETERS,
    Mash,
    conversion_at,
    log_sensitivities,
    mash_efficiency,
    thickness_excess,
    usual_strike_water_l,
)
from wortwright.calibration.habit import Column
from wortwright.calibration.history import (
    GRAVITIES,
    SHARED,
    VOLUMES,
    Array,
    History,
    Own,
    Row,
    Shared,
    first_known,
    held_l,
)
from wortwright.records.setup import LauterMethod

_BOIL_OFF, _KETTLE_LOSS = len(PARAMETERS), len(PARAMETERS) + 1
_ORIGINAL_GRAVITIES = (Row.POSTBOIL_GRAVITY, Row.FERMENTER_GRAVITY)
_STEP = 1.01
_LEAST_BOILED_DOWN = 0.3


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


class _Brews(NamedTuple):
    """All brews as the model makes them; ``by_`` are derivatives of log efficiency.

    ``mash_share`` is how much of the extract after the boil comes from the mash.
    """

    strike_l: Column
    conversion: Column
    efficiency: Column
    postboil_l: Column
    mash_share: Column
    by_parameter: tuple[Column, ...]
    by_preboil: Column
    by_strike: Column
    conversion_by_strike: Column


def expect(history: History, method: LauterMethod, runnings: int, shared: Shared) -> Expectation:
    """Expectation of every reading, and its derivatives, at one set of constants."""
    brews = _brew(history, method, runnings, shared)
    by_luck = np.zeros_like(history.read)
    by_luck[:, Row.PREBOIL_GRAVITY] = 1.0
    for row in _ORIGINAL_GRAVITIES:
        by_luck[:, row] = brews.mash_share
    return Expectation(
        history.read - _levels(history, shared, brews),
        _by_shared(history, brews, by_luck),
        _by_own(history, brews, by_luck),
        by_luck,
    )


def _brew(history: History, method: LauterMethod, runnings: int, shared: Shared) -> _Brews:
    theta = shared.theta
    known = (history.grain_kg, history.extract_yield, history.preboil_l)
    usual_l = usual_strike_water_l(theta, method, runnings, *known)
    mash = Mash(*known, first_known(history.strike_l, usual_l))

    def log_change(changed: Mash) -> Column:
        other: Column = mash_efficiency(theta, method, runnings, changed)
        return np.log(other / efficiency) / math.log(_STEP)

    efficiency: Column = mash_efficiency(theta, method, runnings, mash)
    mashed_kg = history.grain_kg * history.extract_yield * efficiency
    boiled_l = shared.boil_off_l_per_h * history.boil_h
    left_l = history.preboil_l - boiled_l + history.added_l
    thickness = history.grain_kg / mash.strike_water_l
    conversion: Column = conversion_at(theta, thickness)
    thicker: Column = conversion_at(theta, _STEP * thickness)
    return _Brews(
        strike_l=mash.strike_water_l,
        conversion=conversion,
        efficiency=efficiency,
        postboil_l=np.maximum(left_l, _LEAST_BOILED_DOWN * history.preboil_l),
        mash_share=mashed_kg / (mashed_kg + history.kettle_extract_kg),
        by_parameter=log_sensitivities(theta, method, runnings, mash),
        by_preboil=log_change(mash._replace(preboil_l=_STEP * mash.preboil_l)),
        by_strike=log_change(mash._replace(strike_water_l=mash.strike_water_l / _STEP)),
        conversion_by_strike=np.log(thicker / conversion) / math.log(_STEP),
    )


def _levels(history: History, shared: Shared, brews: _Brews) -> Array:
    preboil_l, postboil_l = history.preboil_l, brews.postboil_l
    mashed_kg = history.grain_kg * history.extract_yield * brews.efficiency
    lost_l = shared.kettle_loss_l + history.hop_uptake_l
    kept_l = held_l(shared.theta, brews.conversion, history.grain_kg, history.extract_yield)
    original = np.log((mashed_kg + history.kettle_extract_kg) / postboil_l)
    levels = np.empty_like(history.read)
    levels[:, Row.PLANNED] = levels[:, Row.PREBOIL] = 1.0
    levels[:, Row.POSTBOIL] = postboil_l / preboil_l
    levels[:, Row.FERMENTER] = (postboil_l - lost_l) / preboil_l
    levels[:, Row.WATER] = 1.0 + kept_l / preboil_l
    levels[:, Row.PREBOIL_GRAVITY] = np.log(mashed_kg / preboil_l)
    levels[:, Row.POSTBOIL_GRAVITY] = levels[:, Row.FERMENTER_GRAVITY] = original
    levels[:, Row.FIRST_WORT] = np.log(brews.conversion)
    return levels


def _by_shared(history: History, brews: _Brews, by_luck: Array) -> Array:
    by = np.zeros((*history.read.shape, len(SHARED)))
    preboil_l = history.preboil_l
    load = history.grain_kg / preboil_l
    excess: Column = thickness_excess(history.grain_kg / brews.strike_l)
    by[:, Row.POSTBOIL, _BOIL_OFF] = by[:, Row.FERMENTER, _BOIL_OFF] = -history.boil_h / preboil_l
    by[:, Row.FERMENTER, _KETTLE_LOSS] = -1.0 / preboil_l
    swelling = EXTRACT_VOLUME_L_PER_KG * history.extract_yield * load
    for parameter, slope in enumerate((-swelling, excess * swelling, load, 1.0 / preboil_l)):
        by[:, Row.WATER, parameter] = slope
    for parameter, slope in enumerate(brews.by_parameter):
        for row in GRAVITIES:
            by[:, row, parameter] = slope * by_luck[:, row]
    for row in _ORIGINAL_GRAVITIES:
        by[:, row, _BOIL_OFF] = history.boil_h / brews.postboil_l
    by[:, Row.FIRST_WORT, PARAMETERS.index("conversion")] = 1.0 / brews.conversion
    by[:, Row.FIRST_WORT, PARAMETERS.index("conversion_loss_per_kg_per_l")] = (
        -excess / brews.conversion
    )
    return by


def _by_own(history: History, brews: _Brews, by_luck: Array) -> Array:
    by = np.zeros((*history.read.shape, len(Own)))
    preboil_l, postboil_l = history.preboil_l, brews.postboil_l
    for row in VOLUMES:
        by[:, row, Own.PREBOIL] = 1.0
    by[:, Row.POSTBOIL, Own.BOIL] = by[:, Row.FERMENTER, Own.BOIL] = -1.0 / preboil_l
    by[:, Row.FERMENTER, Own.KETTLE] = -1.0 / preboil_l
    by[:, :, Own.PREBOIL] += by_luck * brews.by_preboil[:, None]
    by[:, Row.PREBOIL_GRAVITY, Own.PREBOIL] -= 1.0
    for row in _ORIGINAL_GRAVITIES:
        by[:, row, Own.PREBOIL] -= preboil_l / postboil_l
        by[:, row, Own.BOIL] = 1.0 / postboil_l
    by[:, :, Own.LOT] = by_luck
    by[:, Row.FIRST_WORT, Own.LOT] = 1.0
    by[:, :, Own.STRIKE] = by_luck * brews.by_strike[:, None]
    by[:, Row.WATER, Own.STRIKE] = brews.strike_l / preboil_l
    by[:, Row.FIRST_WORT, Own.STRIKE] = 1.0 + brews.conversion_by_strike
    return by
