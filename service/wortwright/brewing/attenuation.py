"""Final gravity and alcohol before and after fermentation, with honest intervals."""

from dataclasses import dataclass
from math import hypot

import numpy as np

from wortwright.brewing.alcohol import alcohol_by_volume, apparent_attenuation, final_gravity
from wortwright.brewing.errors import require_between
from wortwright.brewing.gravity import LOWEST_GRAVITY
from wortwright.brewing.tables.yeast import YeastClass, attenuation_class

ALCOHOL_METHOD = "Balling, attenuation quotient rising with gravity"
ALCOHOL_ERROR = 0.025
"""Share of the value that biology leaves open. Cutaia, Reid & Speers, *J. Inst. Brew.* 115:318,
2009, table VI."""

SUCROSE_ATTENUATION = 1.22
"""Apparent attenuation of simple sugar: its beer is lighter than water (from memory)."""

MASH_TEMPERATURES_C = (62.0, 64.5, 67.0, 69.5, 72.0)
MASH_SHIFTS = (0.03, 0.03, 0.0, -0.05, -0.08)
"""Change of apparent attenuation by the temperature of a single rest (common practice)."""

STRONG_GRAVITIES = (1.080, 1.100)
STRONG_SHIFTS = (0.0, -0.035)
"""Change of apparent attenuation in strong wort: 2 to 5 points above 1.090 (common practice)."""

STATED_SPREAD, SHIFT_UNSURE = 0.04, 0.5
"""80 % half-width of what a maker states, and share of a shift that is unsure (no source)."""


@dataclass(frozen=True, slots=True)
class YeastAttenuation:
    """Apparent attenuation in an ordinary wort and its 80 % half-width [fraction]."""

    mean: float
    half_width: float
    alcohol_tolerance: float | None = None


@dataclass(frozen=True, slots=True)
class FinalGravity:
    """Forecast of the final gravity: mean and 80 % interval [SG].

    ``tolerance_passed`` says that the alcohol then would be more than the yeast bears, so it
    may stop higher.
    """

    mean: float
    low_80: float
    high_80: float
    apparent_attenuation: float
    tolerance_passed: bool


@dataclass(frozen=True, slots=True)
class Alcohol:
    """Alcohol by volume with the limits of any formula from two gravities [fraction]."""

    by_volume: float
    low: float
    high: float
    apparent_attenuation: float
    method: str = ALCOHOL_METHOD


def attenuation_of_class(yeast_class: YeastClass) -> YeastAttenuation:
    """Attenuation of a yeast of which only the class is known.

    Parameters
    ----------
    yeast_class : YeastClass
        The class.

    Returns
    -------
    YeastAttenuation
        The middle of the class; its ends are taken as the 80 % interval.
    """
    row = attenuation_class(yeast_class)
    return YeastAttenuation(
        mean=(row.least_attenuation + row.most_attenuation) / 2.0,
        half_width=(row.most_attenuation - row.least_attenuation) / 2.0,
        alcohol_tolerance=row.alcohol_tolerance,
    )


def attenuation_as_stated(apparent_attenuation: float) -> YeastAttenuation:
    """Attenuation of a yeast whose maker states it.

    Parameters
    ----------
    apparent_attenuation : float
        As stated [fraction], 0.3 to 1.1.

    Returns
    -------
    YeastAttenuation
        With four points either way, since makers measure in a wort of their own.

    Raises
    ------
    OutOfRangeError
        For an attenuation outside the range.
    """
    require_between("apparent attenuation", apparent_attenuation, 0.3, 1.1)
    return YeastAttenuation(apparent_attenuation, STATED_SPREAD)


def final_gravity_forecast(
    original_gravity: float,
    yeast: YeastAttenuation,
    mash_temperature_c: float | None = None,
    sugar_share: float = 0.0,
) -> FinalGravity:
    """Forecast of the final gravity.

    Parameters
    ----------
    original_gravity : float
        Gravity of the wort [SG], 1.001 to 1.160.
    yeast : YeastAttenuation
        By class or as stated.
    mash_temperature_c : float or None
        Temperature of the main rest [degC], 55 to 80; None if not mashed or not known.
    sugar_share : float
        Share of the extract that is simple sugar [fraction], 0 to 1.

    Returns
    -------
    FinalGravity
        Mean and 80 % interval; never below 0.970, the least that beer can be.

    Raises
    ------
    OutOfRangeError
        For a value outside its range.

    Notes
    -----
    Attenuation of the malt part is the yeast's, shifted by mash temperature and gravity; half
    of each shift is unsure. Sugar share s gives AA + s (1.22 - AA).
    """
    require_between("gravity", original_gravity, 1.001, 1.160, "SG")
    require_between("share of sugar", sugar_share, 0.0, 1.0)
    shifts = (_mash_shift(mash_temperature_c), _strong_shift(original_gravity))
    malt = yeast.mean + sum(shifts)
    unsure = hypot(yeast.half_width, *(SHIFT_UNSURE * shift for shift in shifts))
    mean = _with_sugar(malt, sugar_share)
    gravity, low, high = (
        _gravity(original_gravity, _with_sugar(attenuation, sugar_share))
        for attenuation in (malt, malt + unsure, malt - unsure)
    )
    tolerance = yeast.alcohol_tolerance
    return FinalGravity(
        mean=gravity,
        low_80=low,
        high_80=high,
        apparent_attenuation=mean,
        tolerance_passed=tolerance is not None
        and alcohol_by_volume(original_gravity, gravity) > tolerance,
    )


def alcohol(original_gravity: float, gravity: float) -> Alcohol:
    """Alcohol and attenuation from readings, with the method named.

    Parameters
    ----------
    original_gravity, gravity : float
        Before fermentation and now [SG], by hydrometer.

    Returns
    -------
    Alcohol
        By volume, 2.5 % of the value either way.

    Raises
    ------
    OutOfRangeError
        For gravities outside the range of the formula.
    """
    strength = alcohol_by_volume(original_gravity, gravity)
    return Alcohol(
        by_volume=strength,
        low=strength * (1.0 - ALCOHOL_ERROR),
        high=strength * (1.0 + ALCOHOL_ERROR),
        apparent_attenuation=apparent_attenuation(original_gravity, gravity),
    )


def _gravity(original_gravity: float, attenuation: float) -> float:
    return max(final_gravity(original_gravity, attenuation), LOWEST_GRAVITY)


def _with_sugar(malt_attenuation: float, sugar_share: float) -> float:
    of_malt = min(malt_attenuation, SUCROSE_ATTENUATION)
    return of_malt + sugar_share * (SUCROSE_ATTENUATION - of_malt)


def _mash_shift(temperature_c: float | None) -> float:
    if temperature_c is None:
        return 0.0
    require_between("mash temperature", temperature_c, 55.0, 80.0, "degC")
    return float(np.interp(temperature_c, MASH_TEMPERATURES_C, MASH_SHIFTS))


def _strong_shift(original_gravity: float) -> float:
    return float(np.interp(original_gravity, STRONG_GRAVITIES, STRONG_SHIFTS))
