"""The lauter model of a setup: mash efficiency and its sensitivities to what is unknown.

Works on floats (one forecast) and on numpy arrays (all sessions at once).
"""

from typing import NamedTuple

from wortwright.brewing.continuous_sparge import (
    continuous_sparge_efficiency,
    continuous_sparge_slopes,
)
from wortwright.brewing.lautering import batch_sparge_efficiency, batch_sparge_slope
from wortwright.brewing.mash_water import EXTRACT_VOLUME_L_PER_KG, mash_wort_l, positive_part
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


def _between(value: float, low: float, high: float) -> float:
    return low + positive_part(value - low) - positive_part(value - high)


def usual_strike_water_l(
    theta: Parameters,
    method: LauterMethod,
    runnings: int,
    grain_kg: float,
    extract_yield: float,
    preboil_l: float,
) -> float:
    """Strike water that the lauter method usually takes: all, equal runnings, or 3 L/kg. [L]

    What is left of the water is sparged; where this takes all of it, nothing is.
    """
    all_l = strike_for_run_off_l(theta, grain_kg, extract_yield, preboil_l)
    if method is LauterMethod.NO_SPARGE:
        return all_l
    if method is LauterMethod.CONTINUOUS_SPARGE:
        wanted_l = CONTINUOUS_SPARGE_MASH_L_PER_KG * grain_kg
    else:
        thickest_l = THICKEST_BATCH_MASH_L_PER_KG * grain_kg
        equal_l = strike_for_run_off_l(theta, grain_kg, extract_yield, preboil_l / runnings)
        wanted_l = equal_l + positive_part(thickest_l - equal_l)
    return wanted_l - positive_part(wanted_l - all_l)


def strike_for_run_off_l(
    theta: Parameters, grain_kg: float, extract_yield: float, run_off_l: float
) -> float:
    """Mash water of which that much runs off, by the conversion at its own thickness. [L]

    Dissolved extract swells the wort, and less is dissolved in a thicker mash: where thickness
    costs conversion the balance is a quadratic in the mash water.
    """
    swelling_l = EXTRACT_VOLUME_L_PER_KG * grain_kg * extract_yield
    held_l = run_off_l + theta.true_absorption_l_per_kg * grain_kg + theta.dead_space_l
    thin_l = held_l - swelling_l * theta.conversion
    by_thickness_l = swelling_l * theta.conversion_loss_per_kg_per_l
    linear_l = thin_l - by_thickness_l * THIN_MASH_KG_PER_L
    thick_l = (linear_l + (linear_l**2 + 4.0 * by_thickness_l * grain_kg) ** 0.5) / 2.0
    strike_l = thin_l + positive_part(thick_l - thin_l)
    return strike_l - positive_part(strike_l - (held_l - swelling_l * LEAST_CONVERSION))


def thickness_excess(thickness_kg_per_l: float) -> float:
    """How much thicker than a thin mash, in kg of grain per litre of mash water. [kg/L]"""
    return positive_part(thickness_kg_per_l - THIN_MASH_KG_PER_L)


def conversion_at(theta: Parameters, thickness_kg_per_l: float) -> float:
    """Conversion at a mash thickness: constant while thin, then falling. [fraction]"""
    lost = theta.conversion_loss_per_kg_per_l * thickness_excess(thickness_kg_per_l)
    return LEAST_CONVERSION + positive_part(theta.conversion - lost - LEAST_CONVERSION)


def mash_efficiency(theta: Parameters, method: LauterMethod, runnings: int, mash: Mash) -> float:
    """Mash efficiency of the lauter model. [fraction]"""
    conversion = conversion_at(theta, mash.grain_kg / mash.strike_water_l)
    retained_l = _retained_l(theta, mash)
    if method is LauterMethod.CONTINUOUS_SPARGE:
        return conversion * continuous_sparge_efficiency(
            _wort_l(mash, conversion), mash.preboil_l, retained_l, theta.bypass, theta.washing
        )
    shares_l = _runnings_l(method, runnings, mash, conversion, retained_l)
    return conversion * batch_sparge_efficiency(shares_l, retained_l)


def log_sensitivities(
    theta: Parameters, method: LauterMethod, runnings: int, mash: Mash
) -> tuple[float, ...]:
    """Derivatives of log mash efficiency by the parameters, in the order of ``PARAMETERS``.

    The strike water is a decision of the brewer, so it is held fixed; so is the first running.
    """
    thickness = mash.grain_kg / mash.strike_water_l
    conversion = conversion_at(theta, thickness)
    retained_l = _retained_l(theta, mash)
    lauter = mash_efficiency(theta, method, runnings, mash) / conversion
    if method is LauterMethod.CONTINUOUS_SPARGE:
        by_wort, by_retained, by_bypass, by_washing = continuous_sparge_slopes(
            _wort_l(mash, conversion), mash.preboil_l, retained_l, theta.bypass, theta.washing
        )
    else:
        shares_l = _runnings_l(method, runnings, mash, conversion, retained_l)
        by_retained = batch_sparge_slope(shares_l, retained_l)
        by_wort = by_bypass = by_washing = 0.0
    swelling_l = EXTRACT_VOLUME_L_PER_KG * mash.grain_kg * mash.extract_yield
    by_conversion = 1.0 / conversion + by_wort * swelling_l / lauter
    return (
        by_conversion,
        -thickness_excess(thickness) * by_conversion,
        mash.grain_kg * by_retained / lauter,
        by_retained / lauter,
        by_bypass / lauter,
        by_washing / lauter,
    )


def _retained_l(theta: Parameters, mash: Mash) -> float:
    return theta.true_absorption_l_per_kg * mash.grain_kg + theta.dead_space_l


def _wort_l(mash: Mash, conversion: float) -> float:
    return mash_wort_l(mash.strike_water_l, mash.grain_kg * mash.extract_yield * conversion)


def _runnings_l(
    method: LauterMethod, runnings: int, mash: Mash, conversion: float, retained_l: float
) -> list[float]:
    """Wort of each run-off: the first is what the strike water gives, the others are equal."""
    if method is LauterMethod.NO_SPARGE or runnings == 1:
        return [mash.preboil_l]
    first_l = _between(
        _wort_l(mash, conversion) - retained_l,
        LEAST_FIRST_RUNNING * mash.preboil_l,
        mash.preboil_l,
    )
    return [first_l, *[(mash.preboil_l - first_l) / (runnings - 1)] * (runnings - 1)]
