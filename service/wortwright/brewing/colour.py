"""Colour of malt and of beer, and the three scales it is written in.

Base unit is EBC. On a malt sheet "degL" is ambiguous: many print the SRM number under that
name. A colour in degL is read here as true degrees Lovibond, see `ebc_from_lovibond`.
"""

from collections.abc import Iterable

from wortwright.brewing.errors import require_between, require_positive

EBC_PER_SRM = 1.97
"""EBC and ASBC methods; 25/12.7 = 1.9685 by their definitions (from memory), printed as 1.97."""

POUND_PER_GALLON_FROM_KG_PER_L = 8.3454
"""lb/US gal in one kg/L: 3.785411784 / 0.45359237 (NIST SP 811, appendix B)."""

DARKEST_SUPPORTED_SRM = 50.0
"""Morey's formula was fitted below this colour; above it a colour is an extrapolation."""

# Where 2.65 L - 1.2 meets 1.97 L.
_CROSSING_LOVIBOND = 1.2 / (2.65 - EBC_PER_SRM)
_CROSSING_EBC = EBC_PER_SRM * _CROSSING_LOVIBOND


def ebc_from_srm(colour_srm: float) -> float:
    """Colour in EBC from SRM.

    Parameters
    ----------
    colour_srm : float
        Colour [SRM].

    Returns
    -------
    float
        Colour [EBC].
    """
    return EBC_PER_SRM * colour_srm


def srm_from_ebc(colour_ebc: float) -> float:
    """Colour in SRM from EBC.

    Parameters
    ----------
    colour_ebc : float
        Colour [EBC].

    Returns
    -------
    float
        Colour [SRM].
    """
    return colour_ebc / EBC_PER_SRM


def ebc_from_lovibond(colour_lovibond: float) -> float:
    """Colour in EBC of a malt given in degrees Lovibond.

    Parameters
    ----------
    colour_lovibond : float
        Colour, matched by eye or stated so [degL], 0 to about 700.

    Returns
    -------
    float
        Colour [EBC].

    Notes
    -----
    Two relations are in print: EBC = 2.65 L - 1.2 [1]_, negative for very pale sugars, and
    EBC = 1.97 L, for sheets that print SRM under the name of Lovibond [2]_. They cross at
    1.765 degL; the first is used above, the second below, so that the scale is continuous, can
    be inverted and passes through zero. A sheet that prints SRM should be entered as SRM: at
    60 degL the two relations are 34 % apart.

    References
    ----------
    .. [1] Noonan, *New Brewing Lager Beer*, and a maltster's sheet: EBC = 2.65 L - 1.2, the same
       line as SRM = 1.3546 L - 0.76.
    .. [2] Master Brewers Association of the Americas, community thread on malt colour, 2022.
    """
    if colour_lovibond < _CROSSING_LOVIBOND:
        return EBC_PER_SRM * colour_lovibond
    return 2.65 * colour_lovibond - 1.2


def lovibond_from_ebc(colour_ebc: float) -> float:
    """Colour in degrees Lovibond from EBC, the inverse of `ebc_from_lovibond`.

    Parameters
    ----------
    colour_ebc : float
        Colour [EBC].

    Returns
    -------
    float
        Colour [degL].
    """
    if colour_ebc < _CROSSING_EBC:
        return colour_ebc / EBC_PER_SRM
    return (colour_ebc + 1.2) / 2.65


def malt_colour_units(
    masses_kg: Iterable[float], colours_ebc: Iterable[float], volume_l: float
) -> float:
    """Malt colour units: colour-weighted mass of the whole grist per volume.

    Parameters
    ----------
    masses_kg : iterable of float
        Mass of each fermentable [kg].
    colours_ebc : iterable of float
        Colour of each, in the same order [EBC].
    volume_l : float
        Volume of wort at the end of the boil, at 20 degC [L], above 0.

    Returns
    -------
    float
        Malt colour units [MCU], pounds times SRM per US gallon.

    Raises
    ------
    OutOfRangeError
        For no volume.

    Notes
    -----
    The unit is defined with degrees Lovibond in the sense of SRM, hence EBC / 1.97. Colours
    do not add after Morey's curve, so all of the grist goes into one sum.

    References
    ----------
    Morey, "Beer's Law" (letter), *BrewingTechniques*.
    """
    require_positive("volume", volume_l, "L")
    weighted = sum(
        mass * srm_from_ebc(colour) for mass, colour in zip(masses_kg, colours_ebc, strict=True)
    )
    return POUND_PER_GALLON_FROM_KG_PER_L * weighted / volume_l


def beer_colour_ebc(malt_colour_units: float) -> float:
    """Colour of beer from malt colour units, after Morey.

    Parameters
    ----------
    malt_colour_units : float
        Malt colour units [MCU], 0 or more; an extrapolation above 167 (98 EBC, 50 SRM).

    Returns
    -------
    float
        Colour [EBC].

    Raises
    ------
    OutOfRangeError
        For negative malt colour units.

    Notes
    -----
    SRM = 1.4922 MCU^0.6859, a power curve through three older straight lines, not through
    measured beers. Length of boil, pH, oxidation and yeast are not in it.

    References
    ----------
    Morey, "Beer's Law" (letter), *BrewingTechniques*.
    """
    require_between("malt colour", malt_colour_units, 0.0, 1e6, "MCU")
    return ebc_from_srm(1.4922 * malt_colour_units**0.6859)
