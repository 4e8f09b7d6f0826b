"""The lauter model of a setup: mash efficiency and its sensitivities to what is unknown.

Works on floats (one forecast) and on numpy arrays (all sessions at once).
"""

from typing import NamedTuple

from wortwright.brewing.lautering import (
    EXTRACT_VOLUME_L_PER_KG,
    apparent_absorption_l_per_kg,
    mash_wort_l,
    unwashed_share,
    unwashed_share_slope,
)
from wortwright.records.setup import LauterMethod

PARAMETERS = (
    "conversion",
    "conversion_loss_per_kg_per_l",
    "true_absorption_l_per_kg",
    "dead_space_l",
    "bypass",
    "washing",
)

THIN_MASH_KG_PER_L = 0.30
"""Grain per litre of mash water up to which thickness costs no conversion."""

CONTINUOUS_SPARGE_MASH_L_PER_KG = 3.0
"""Usual mash water of a continuous sparge; common practice, no source."""

THICKEST_BATCH_MASH_L_PER_KG = 2.5
"""A batch sparge aims at equal runnings, but at no thicker mash than this: the optimum of the
runnings is flat, the loss of conversion is not. Common practice, no source."""

LEAST_CONVERSION = 0.30
LEAST_FIRST_RUNNING = 0.05


class Parameters(NamedTuple):
    """The unknowns of the lauter model, in the order of :data:`PARAMETERS`."""

    conversion: float
    conversion_loss_per_kg_per_l: float
    true_absorption_l_per_kg: float
    dead_space_l: float
    bypass: float
    washing: float


class Mash(NamedTuple):
    """What is known of a mash before it is made; floats, or arrays of one length."""

    grain_kg: float
    extract_yield: float
    preboil_l: float
    strike_water_l: float


class Point(NamedTuple):
    """Mash efficiency at one mash, and the derivatives of its logarithm."""

    efficiency: float
    sensitivities: tuple[float, ...]


def _positive_part(value: float) -> float:
    return (value + abs(value)) / 2.0


def _between(value: float, low: float, high: float) -> float:
    return low + _positive_part(value - low) - _positive_part(value - high)


def usual_strike_water_l(
    theta: Parameters,
    method: LauterMethod,
    runnings: int,
    grain_kg: float,
    extract_yield: float,
    preboil_l: float,
) -> float:
    """Strike water that the lauter method usually takes: all, equal runnings, or 3 L/kg. [L]"""
    apparent = apparent_absorption_l_per_kg(
        theta.true_absorption_l_per_kg, extract_yield, theta.conversion
    )
    held_l = apparent * grain_kg + theta.dead_space_l
    all_l = preboil_l + held_l
    if method is LauterMethod.NO_SPARGE:
        return all_l
    if method is LauterMethod.CONTINUOUS_SPARGE:
        wanted_l = CONTINUOUS_SPARGE_MASH_L_PER_KG * grain_kg
    else:
        thickest_l = THICKEST_BATCH_MASH_L_PER_KG * grain_kg
        equal_l = preboil_l / runnings + held_l
        wanted_l = equal_l + _positive_part(thickest_l - equal_l)
    return wanted_l - _positive_part(wanted_l - all_l)


def conversion_at(theta: Parameters, thickness_kg_per_l: float) -> float:
    """Conversion at a mash thickness: constant while thin, then falling. [fraction]"""
    excess = _positive_part(thickness_kg_per_l - THIN_MASH_KG_PER_L)
    lost = theta.conversion_loss_per_kg_per_l * excess
    return LEAST_CONVERSION + _positive_part(theta.conversion - lost - LEAST_CONVERSION)


def mash_efficiency(
    theta: Parameters, method: LauterMethod, runnings: int, mash: Mash
) -> float:
    """Mash efficiency of the lauter model. [fraction]"""
    return mash_point(theta, method, runnings, mash).efficiency


def mash_point(theta: Parameters, method: LauterMethod, runnings: int, mash: Mash) -> Point:
    """Mash efficiency with d log efficiency / d parameter.

    The strike water is a decision of the brewer, so it is held fixed.
    """
    thickness = mash.grain_kg / mash.strike_water_l
    conversion = conversion_at(theta, thickness)
    excess = _positive_part(thickness - THIN_MASH_KG_PER_L)
    if method is LauterMethod.CONTINUOUS_SPARGE:
        lauter, by_retained, by_conversion, by_bypass, by_washing = _continuous(theta, conversion, mash)
    else:
        count = 1 if method is LauterMethod.NO_SPARGE else runnings
        lauter, by_retained = _batch(theta, conversion, count, mash)
        by_conversion = by_bypass = by_washing = 0.0 * lauter
    by_converted = 1.0 / conversion + by_conversion
    sensitivities = (
        by_converted,
        -excess * by_converted,
        mash.grain_kg * by_retained,
        by_retained,
        by_bypass,
        by_washing,
    )
    return Point(conversion * lauter, sensitivities)


def _batch(
    theta: Parameters, conversion: float, runnings: int, mash: Mash
) -> tuple[float, float]:
    """Lauter efficiency and d log of it / d retained wort, first running from the strike."""
    retained_l = theta.true_absorption_l_per_kg * mash.grain_kg + theta.dead_space_l
    if runnings == 1:
        first_l = rest_l = mash.preboil_l
    else:
        wort_l = mash_wort_l(
            mash.strike_water_l, mash.grain_kg * mash.extract_yield * conversion
        )
        first_l = _between(
            wort_l - retained_l, LEAST_FIRST_RUNNING * mash.preboil_l, mash.preboil_l
        )
        rest_l = (mash.preboil_l - first_l) / (runnings - 1)
    after_first = retained_l / (retained_l + first_l)
    after_rest = retained_l / (retained_l + rest_l)
    left = after_first * after_rest ** (runnings - 1)
    growth = (1.0 - after_first + (runnings - 1) * (1.0 - after_rest)) / retained_l
    return 1.0 - left, -left * growth / (1.0 - left)


def _continuous(
    theta: Parameters, conversion: float, mash: Mash
) -> tuple[float, float, float, float, float]:
    """Lauter efficiency and d log of it / d retained wort, conversion, bypass, washing."""
    retained_l = theta.true_absorption_l_per_kg * mash.grain_kg + theta.dead_space_l
    extract_kg = mash.grain_kg * mash.extract_yield
    wort_l = mash_wort_l(mash.strike_water_l, extract_kg * conversion)
    sparge_l = _positive_part(mash.preboil_l + retained_l - wort_l)
    sparged = (sparge_l > 0.0) * 1.0
    wort_l = mash.preboil_l + retained_l - sparge_l
    displacements = theta.washing * sparge_l / retained_l
    share = unwashed_share(displacements)
    slope = (1.0 - theta.bypass) * unwashed_share_slope(displacements)
    left = theta.bypass + (1.0 - theta.bypass) * share
    lauter = 1.0 - retained_l / wort_l * left
    by_wort = sparged * (retained_l * left / wort_l + theta.washing * slope) / wort_l
    by_retained = -(
        sparged * (left + slope * (theta.washing - displacements)) / wort_l
        + (1.0 - sparged) * mash.preboil_l / wort_l**2
    )
    by_bypass = -retained_l / wort_l * (1.0 - share)
    by_washing = -sparge_l / wort_l * slope
    by_conversion = by_wort * EXTRACT_VOLUME_L_PER_KG * extract_kg
    by_each = (by_retained, by_conversion, by_bypass, by_washing)
    return lauter, *(each / lauter for each in by_each)
