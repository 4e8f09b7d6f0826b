"""Attenuation and alcohol from original and final gravity.

Original, apparent and real extract are in degrees Plato; alcohol is a fraction. Biology alone
makes any figure from two gravities uncertain by 2.5 % of its value (Cutaia, Reid & Speers,
*J. Inst. Brew.* 115:318, 2009, table VI).
"""

from wortwright.brewing.errors import require_between, require_positive
from wortwright.brewing.gravity import HIGHEST_GRAVITY, LOWEST_GRAVITY, plato_from_gravity

ETHANOL_GRAVITY = 0.7907
"""Specific gravity 20/20 of ethanol: 789.24 kg/m3 (Council Directive 76/766/EEC, annex) over
water."""


def real_extract_plato(original_plato: float, apparent_plato: float) -> float:
    """Real extract of beer from its original and apparent extract.

    Parameters
    ----------
    original_plato : float
        Extract of the wort [degP], 0 to 42.
    apparent_plato : float
        Apparent extract of the beer [degP], -8 up to the original extract.

    Returns
    -------
    float
        Real extract, without the lightness of alcohol [degP].

    Raises
    ------
    OutOfRangeError
        For an extract outside its range.

    Notes
    -----
    RE = (AE + q OE)/(1 + q) = OE - (OE - AE)/(1 + q), q = 0.22 + 0.001 OE. The form is
    Balling's attenuation quotient; the line for q (from memory) gives his table of apparent
    alcohol factors to 0.0001.
    The constant split 0.1808/0.8192 is that of nearly no gravity, 0.3 degP too low at 24 degP.

    References
    ----------
    Balling's tables, as compiled by F. Eckhardt, *Home Brew Digest*.
    """
    _require_extracts(original_plato, apparent_plato)
    quotient = 0.22 + 0.001 * original_plato
    return original_plato - (original_plato - apparent_plato) / (1.0 + quotient)


def alcohol_by_mass(original_plato: float, real_plato: float) -> float:
    """Alcohol by mass from original and real extract, after Balling.

    Parameters
    ----------
    original_plato : float
        Extract of the wort [degP], 0 to 42.
    real_plato : float
        Real extract of the beer [degP], up to the original extract.

    Returns
    -------
    float
        Alcohol by mass [fraction].

    Raises
    ------
    OutOfRangeError
        For an extract outside its range.

    Notes
    -----
    A = (OE - RE)/(2.0665 - 0.010665 OE) in per cent, the exact inverse of the equation for the
    extract of the original wort: 2.0665 g of extract give 1 g of alcohol.

    References
    ----------
    AOAC 935.20, *Extract of original wort*.
    """
    _require_extracts(original_plato, real_plato)
    return (original_plato - real_plato) / (2.0665 - 0.010665 * original_plato) / 100.0


def alcohol_by_volume(original_gravity: float, final_gravity: float) -> float:
    """Alcohol by volume at 20 degC from two gravities, after Balling.

    Parameters
    ----------
    original_gravity : float
        Specific gravity 20/20 of the wort [SG], 1.000 to 1.190.
    final_gravity : float
        Specific gravity 20/20 of the beer [SG], 0.970 up to the original gravity.

    Returns
    -------
    float
        Alcohol by volume [fraction]; 0.05 is 5 % vol.

    Raises
    ------
    OutOfRangeError
        For a gravity outside its range.

    Notes
    -----
    Within 0.0005 of the full mass balance (Tabarie's relation with OIML R 22 and ICUMSA
    densities) up to 1.110 when the final gravity is 1.010 or more.

    References
    ----------
    Balling; AOAC 935.20; Council Directive 76/766/EEC, annex.
    """
    original, apparent = _extracts(original_gravity, final_gravity)
    by_mass = alcohol_by_mass(original, real_extract_plato(original, apparent))
    return by_mass * final_gravity / ETHANOL_GRAVITY


def apparent_attenuation(original_gravity: float, final_gravity: float) -> float:
    """Apparent attenuation on the basis of points, as yeast makers state it.

    Parameters
    ----------
    original_gravity : float
        Specific gravity 20/20 of the wort [SG], above 1.000 to 1.190.
    final_gravity : float
        Specific gravity 20/20 of the beer [SG], 0.970 up to the original gravity.

    Returns
    -------
    float
        (OG - FG)/(OG - 1) [fraction]; above 1 when the beer is lighter than water.

    Raises
    ------
    OutOfRangeError
        For a gravity outside its range, or wort without extract.
    """
    _require_wort(original_gravity)
    _require_gravities(original_gravity, final_gravity)
    return (original_gravity - final_gravity) / (original_gravity - 1.0)


def apparent_attenuation_of_extract(original_gravity: float, final_gravity: float) -> float:
    """Apparent attenuation on the basis of extract, as laboratories state it.

    Parameters
    ----------
    original_gravity : float
        Specific gravity 20/20 of the wort [SG], above 1.000 to 1.190.
    final_gravity : float
        Specific gravity 20/20 of the beer [SG], 0.970 up to the original gravity.

    Returns
    -------
    float
        (OE - AE)/OE [fraction]; one to two points below that of points.

    Raises
    ------
    OutOfRangeError
        For a gravity outside its range, or wort without extract.
    """
    _require_wort(original_gravity)
    original, apparent = _extracts(original_gravity, final_gravity)
    return (original - apparent) / original


def real_attenuation(original_gravity: float, final_gravity: float) -> float:
    """Real attenuation: the share of the wort's extract that has gone.

    Parameters
    ----------
    original_gravity : float
        Specific gravity 20/20 of the wort [SG], above 1.000 to 1.190.
    final_gravity : float
        Specific gravity 20/20 of the beer [SG], 0.970 up to the original gravity.

    Returns
    -------
    float
        (OE - RE)/OE [fraction].

    Raises
    ------
    OutOfRangeError
        For a gravity outside its range, or wort without extract.
    """
    _require_wort(original_gravity)
    original, apparent = _extracts(original_gravity, final_gravity)
    return (original - real_extract_plato(original, apparent)) / original


def final_gravity(original_gravity: float, apparent_attenuation: float) -> float:
    """Gravity of the finished beer from its apparent attenuation, on the basis of points.

    Parameters
    ----------
    original_gravity : float
        Specific gravity 20/20 of the wort [SG], 1.000 to 1.190.
    apparent_attenuation : float
        (OG - FG)/(OG - 1) [fraction], 0 to 1.25.

    Returns
    -------
    float
        Specific gravity 20/20 of the beer [SG].

    Raises
    ------
    OutOfRangeError
        For a gravity or attenuation outside its range.

    Notes
    -----
    The inverse of `apparent_attenuation`.
    """
    require_between("original gravity", original_gravity, 1.0, HIGHEST_GRAVITY, "SG")
    require_between("apparent attenuation", apparent_attenuation, 0.0, 1.25)
    return original_gravity - apparent_attenuation * (original_gravity - 1.0)


def _extracts(original_gravity: float, final_gravity: float) -> tuple[float, float]:
    _require_gravities(original_gravity, final_gravity)
    return plato_from_gravity(original_gravity), plato_from_gravity(final_gravity)


def _require_gravities(original_gravity: float, final_gravity: float) -> None:
    require_between("original gravity", original_gravity, 1.0, HIGHEST_GRAVITY, "SG")
    require_between("final gravity", final_gravity, LOWEST_GRAVITY, original_gravity, "SG")


def _require_wort(original_gravity: float) -> None:
    require_positive("original gravity above water", original_gravity - 1.0, "SG")


def _require_extracts(original_plato: float, left_plato: float) -> None:
    require_between("original extract", original_plato, 0.0, 42.2, "degP")
    require_between("extract left", left_plato, -8.0, original_plato, "degP")
