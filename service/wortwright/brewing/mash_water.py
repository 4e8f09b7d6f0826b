"""Water and wort of a mash: what the grain holds, how much water it takes, how far it converted.

Volumes are litres at 20 degC. Every function takes floats and numpy arrays alike (the
operators used mean the same on both), so that one formula serves a forecast and a fit.

Two absorptions are kept apart. A brewer logs the *apparent* one, water in minus wort out; the
grain *truly* holds more wort than that, because dissolved extract swelled the wort. Water
volumes need the first, efficiency the second; mixing them up costs 5 to 10 points.
"""

from wortwright.brewing.gravity import WATER_DENSITY_20_KG_PER_L

EXTRACT_VOLUME_L_PER_KG = 0.617
"""Litres that a kilogram of dissolved extract adds to water.

Densities of sucrose solutions (ICUMSA SPS-4) give 0.615 in the weakest wort and 0.620 at
30 degP, the Plato relation the same to 0.001."""

GRAIN_DISPLACEMENT_L_PER_KG = 0.652
"""Litres that a kilogram of grain adds to the mash.

J. Palmer, Homebrew Digest 1792 (27 July 1995): 1 lb and 1 US qt fill 42 US fl oz."""


def positive_part(value: float) -> float:
    """Value if above 0, otherwise 0.

    Parameters
    ----------
    value : float
        Any quantity. [any]

    Returns
    -------
    float
        The same, or 0. [any]
    """
    return (value + abs(value)) / 2.0


def true_absorption_l_per_kg(apparent: float, extract_yield: float, conversion: float) -> float:
    """Wort really held by the grain, from what a brewer logs as absorption.

    Parameters
    ----------
    apparent : float
        Water in minus wort out, per kilogram of grain; -0.1 to 1.5. [L/kg]
    extract_yield : float
        Extract of the grain as weighed; 0 to 0.85. [kg/kg]
    conversion : float
        Share of that extract dissolved in the mash; 0 to 1. [fraction]

    Returns
    -------
    float
        Wort held per kilogram of grain. [L/kg]

    References
    ----------
    Volume balance: water in plus the volume of dissolved extract is wort out plus wort held.
    """
    return apparent + EXTRACT_VOLUME_L_PER_KG * extract_yield * conversion


def apparent_absorption_l_per_kg(true: float, extract_yield: float, conversion: float) -> float:
    """Water in minus wort out per kilogram of grain, from the wort really held.

    Parameters
    ----------
    true : float
        Wort held per kilogram of grain; 0.3 to 2. [L/kg]
    extract_yield : float
        Extract of the grain as weighed; 0 to 0.85. [kg/kg]
    conversion : float
        Share of that extract dissolved in the mash; 0 to 1. [fraction]

    Returns
    -------
    float
        Apparent absorption. [L/kg]

    References
    ----------
    Inverse of :func:`true_absorption_l_per_kg`.
    """
    return true - EXTRACT_VOLUME_L_PER_KG * extract_yield * conversion


def mash_wort_l(mash_water_l: float, dissolved_extract_kg: float) -> float:
    """Volume of wort in the mash, grain husks not counted.

    Parameters
    ----------
    mash_water_l : float
        Water in the mash; above 0. [L]
    dissolved_extract_kg : float
        Extract dissolved in it; 0 or more. [kg]

    Returns
    -------
    float
        Wort in the mash. [L]

    References
    ----------
    :data:`EXTRACT_VOLUME_L_PER_KG`.
    """
    return mash_water_l + EXTRACT_VOLUME_L_PER_KG * dissolved_extract_kg


def mash_volume_l(
    water_l: float,
    grain_kg: float,
    displacement_l_per_kg: float = GRAIN_DISPLACEMENT_L_PER_KG,
) -> float:
    """Room that a mash takes in its vessel.

    Parameters
    ----------
    water_l : float
        Water in the mash; 0 or more. [L]
    grain_kg : float
        Grain mashed; 0 or more. [kg]
    displacement_l_per_kg : float
        Room taken by the grain; 0.64 to 0.68. [L/kg]

    Returns
    -------
    float
        Volume of the mash at 20 degC; 1.8 % more at 65 degC. [L]

    References
    ----------
    :data:`GRAIN_DISPLACEMENT_L_PER_KG`.
    """
    return water_l + displacement_l_per_kg * grain_kg


def conversion_from_first_wort(
    plato: float, mash_water_l: float, grain_kg: float, extract_yield: float
) -> float:
    """Conversion efficiency from the strength of a well stirred mash or its first wort.

    Parameters
    ----------
    plato : float
        Extract of the first wort; 0 to 35. [degP]
    mash_water_l : float
        Water in the mash; above 0. [L]
    grain_kg : float
        Grain mashed; above 0. [kg]
    extract_yield : float
        Extract of the grain as weighed; above 0. [kg/kg]

    Returns
    -------
    float
        Extract dissolved per extract present; no volume of wort is needed. [fraction]

    References
    ----------
    K. Troester, "Understanding Efficiency" (2008): conversion from the first wort.
    """
    dissolved_kg = plato / (100.0 - plato) * mash_water_l * WATER_DENSITY_20_KG_PER_L
    return dissolved_kg / (grain_kg * extract_yield)


def strike_water_l(
    first_runnings_l: float,
    grain_kg: float,
    apparent_absorption_l_per_kg: float,
    dead_space_l: float = 0.0,
) -> float:
    """Water to mash with, for a wanted volume of first wort.

    Parameters
    ----------
    first_runnings_l : float
        Wort wanted from the first run-off (without sparge: the pre-boil volume). [L]
    grain_kg : float
        Grain mashed; 0 or more. [kg]
    apparent_absorption_l_per_kg : float
        Water in minus wort out per kilogram. [L/kg]
    dead_space_l : float
        Wort that cannot drain; 0 or more. [L]

    Returns
    -------
    float
        Strike water. [L]

    References
    ----------
    Volume balance.
    """
    return first_runnings_l + apparent_absorption_l_per_kg * grain_kg + dead_space_l


def sparge_water_l(
    preboil_l: float,
    strike_water_l: float,
    grain_kg: float,
    apparent_absorption_l_per_kg: float,
    dead_space_l: float = 0.0,
) -> float:
    """Water still needed after the strike water, none if that was enough.

    Parameters
    ----------
    preboil_l : float
        Wort wanted before the boil. [L]
    strike_water_l : float
        Water in the mash. [L]
    grain_kg : float
        Grain mashed; 0 or more. [kg]
    apparent_absorption_l_per_kg : float
        Water in minus wort out per kilogram. [L/kg]
    dead_space_l : float
        Wort that cannot drain; 0 or more. [L]

    Returns
    -------
    float
        Sparge water; the grain is full after the first run-off and takes no more. [L]

    References
    ----------
    Volume balance.
    """
    held_l = apparent_absorption_l_per_kg * grain_kg + dead_space_l
    return positive_part(preboil_l + held_l - strike_water_l)
