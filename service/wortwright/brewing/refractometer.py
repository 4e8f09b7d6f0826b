"""Gravity by refractometer. In beer it is an estimate, never a ground for bottling."""

from collections.abc import Sequence
from dataclasses import dataclass

from wortwright.brewing.errors import require_between
from wortwright.brewing.gravity import gravity_from_plato, plato_from_gravity

USUAL_FACTOR = 1.04
"""Reading over true extract of wort (common practice); brewers find 0.99 to 1.06."""

LEAST_HALF_WIDTH = 0.003
"""Spread of the published formulas at usual strength [SG]."""


@dataclass(frozen=True, slots=True)
class EstimatedGravity:
    """Gravity of fermenting beer [SG] and the half-width of what may be true [SG]."""

    gravity: float
    half_width: float


def correction_factor(readings_brix: Sequence[float], gravities: Sequence[float]) -> float:
    """Brewer's own wort correction factor.

    Parameters
    ----------
    readings_brix : sequence of float
        Readings of unfermented wort [degBx], 1 to 40, at least one.
    gravities : sequence of float
        Hydrometer gravity of the same worts [SG], above 1.

    Returns
    -------
    float
        Mean of reading over extract [-].

    Raises
    ------
    OutOfRangeError
        Without pairs, or if a single factor lies outside 0.9 to 1.2: one of the two
        instruments is wrong.
    ValueError
        If the sequences differ in length.

    References
    ----------
    The factor is that of S. Terrill, *Refractometer Estimates of Final Gravity*, 2010.
    """
    factors = [
        reading / plato_from_gravity(gravity)
        for reading, gravity in zip(readings_brix, gravities, strict=True)
    ]
    require_between("pairs of readings", len(factors), 1, 100_000)
    for factor in factors:
        _require_factor(factor)
    return sum(factors) / len(factors)


def wort_gravity(reading_brix: float, factor: float = USUAL_FACTOR) -> float:
    """Gravity of unfermented wort.

    Parameters
    ----------
    reading_brix : float
        Reading at 20 degC or temperature-compensated [degBx], 0 to 40.
    factor : float
        Wort correction factor [-], 0.9 to 1.2.

    Returns
    -------
    float
        Specific gravity 20/20 [SG].

    Raises
    ------
    OutOfRangeError
        For a value outside its range.
    """
    return gravity_from_plato(_corrected(reading_brix, factor))


def beer_gravity(
    original_brix: float, reading_brix: float, factor: float = USUAL_FACTOR
) -> EstimatedGravity:
    """Gravity of beer, whose alcohol bends light as sugar does.

    Parameters
    ----------
    original_brix : float
        Reading of the wort before fermentation [degBx], above 0 to 40.
    reading_brix : float
        Reading now [degBx], not above the first.
    factor : float
        Wort correction factor [-], 0.9 to 1.2.

    Returns
    -------
    EstimatedGravity
        By Terrill's line; at least 3 points either way, more where his formulas disagree.

    Raises
    ------
    OutOfRangeError
        For a value outside its range.
    """
    original, now = _pair(original_brix, reading_brix, factor)
    straight, cubic = beer_gravity_linear(original, now), beer_gravity_cubic(original, now)
    return EstimatedGravity(straight, max(LEAST_HALF_WIDTH, abs(cubic - straight)))


def beer_gravity_linear(original_brix: float, brix: float) -> float:
    """Terrill's straight line.

    Parameters
    ----------
    original_brix, brix : float
        Readings before fermentation and now, divided by the correction factor [degBx].

    Returns
    -------
    float
        Gravity of the beer [SG].

    References
    ----------
    S. Terrill, *Refractometer FG Results*, 7 April 2011.
    """
    return 1.0 - 0.00085683 * original_brix + 0.0034941 * brix


def beer_gravity_cubic(original_brix: float, brix: float) -> float:
    """Terrill's cubic, fitted to twelve points; it fails below 61 % attenuation.

    Parameters
    ----------
    original_brix, brix : float
        Readings before fermentation and now, divided by the correction factor [degBx].

    Returns
    -------
    float
        Gravity of the beer [SG].

    References
    ----------
    S. Terrill, *Refractometer FG Results*, 7 April 2011.
    """
    i, f = original_brix, brix
    of_original = i * (-0.0044993 + i * (0.00027581 - i * 7.2800e-6))
    of_now = f * (0.011774 + f * (-0.0012717 + f * 6.3293e-5))
    return 1.0 + of_original + of_now


def _pair(original_brix: float, reading_brix: float, factor: float) -> tuple[float, float]:
    require_between("reading", reading_brix, 0.0, original_brix, "degBx")
    return _corrected(original_brix, factor), _corrected(reading_brix, factor)


def _corrected(reading_brix: float, factor: float) -> float:
    require_between("reading", reading_brix, 0.0, 40.0, "degBx")
    _require_factor(factor)
    return reading_brix / factor


def _require_factor(factor: float) -> None:
    require_between("correction factor", factor, 0.9, 1.2)
