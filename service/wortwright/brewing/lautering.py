"""How wort leaves the grain: efficiency, absorption, water and room in the mash.

Volumes are litres at 20 degC. Every function takes floats and numpy arrays alike (the
operators used mean the same on both), so that one formula serves a forecast and a fit.

Two absorptions are kept apart. A brewer logs the *apparent* one, water in minus wort out; the
grain *truly* holds more wort than that, because dissolved extract swelled the wort. Water
volumes need the first, efficiency the second; mixing them up costs 5 to 10 points.
"""

import math
from collections.abc import Sequence
from typing import NamedTuple

from wortwright.brewing.gravity import WATER_DENSITY_20_KG_PER_L

EXTRACT_VOLUME_L_PER_KG = 0.617
"""Litres that a kilogram of dissolved extract adds to water, to 0.1 % between 5 and 30 degP.

Derived from the Plato relation (mass and volume of wort made of extract and water)."""

GRAIN_DISPLACEMENT_L_PER_KG = 0.652
"""Litres that a kilogram of grain adds to the mash.

J. Palmer, Homebrew Digest 1792 (27 July 1995): 1 lb and 1 US qt fill 42 US fl oz."""

BED_TANKS = 3
"""Stirred tanks in series that stand for a drained bed; an assumption, no published value."""


class SpargeSlopes(NamedTuple):
    """Derivatives of the efficiency of a continuous sparge."""

    by_mash_wort: float
    by_retained: float
    by_bypass: float
    by_washing: float


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


def no_sparge_efficiency(preboil_l: float, retained_l: float) -> float:
    """Lauter efficiency when all the water is in the mash.

    The wort is uniform, so the share of extract recovered is the share of volume recovered.

    Parameters
    ----------
    preboil_l : float
        Wort collected; above 0. [L]
    retained_l : float
        Wort left behind, in the grain and under it; 0 or more. [L]

    Returns
    -------
    float
        Extract in the kettle per extract dissolved. [fraction]

    References
    ----------
    Mass balance of a uniform wort; the case n = 1 of :func:`equal_batch_sparge_efficiency`.
    """
    return preboil_l / (preboil_l + retained_l)


def batch_sparge_efficiency(runnings_l: Sequence[float], retained_l: float) -> float:
    """Lauter efficiency of run-offs with the grain stirred up in fresh water between them.

    Parameters
    ----------
    runnings_l : sequence of float
        Wort of each run-off, in order; each 0 or more. [L]
    retained_l : float
        Wort left behind after each run-off; above 0 (0 with a positive first running). [L]

    Returns
    -------
    float
        Extract in the kettle per extract dissolved. [fraction]

    Notes
    -----
    Each run-off leaves the share R / (R + v) of what was in the tun: 1 - prod(R / (R + v_i)).

    References
    ----------
    Mass balance; the same assumptions as K. Troester, "Batch Sparging Analysis" (2008).
    """
    return 1.0 - math.prod(retained_l / (retained_l + running) for running in runnings_l)


def batch_sparge_slope(runnings_l: Sequence[float], retained_l: float) -> float:
    """Derivative of :func:`batch_sparge_efficiency` by the wort left behind.

    Parameters
    ----------
    runnings_l : sequence of float
        Wort of each run-off, in order; each 0 or more. [L]
    retained_l : float
        Wort left behind after each run-off; above 0. [L]

    Returns
    -------
    float
        Change of the lauter efficiency per litre more left behind; below 0. [1/L]

    References
    ----------
    Logarithmic derivative of the product.
    """
    left = 1.0 - batch_sparge_efficiency(runnings_l, retained_l)
    growth = sum(running / (retained_l + running) for running in runnings_l)
    return -left * growth / retained_l


def equal_batch_sparge_efficiency(preboil_l: float, runnings: int, retained_l: float) -> float:
    """Lauter efficiency of a batch sparge with equal run-offs, the best split.

    Parameters
    ----------
    preboil_l : float
        Wort collected in all; above 0. [L]
    runnings : int
        Number of run-offs; 1 is a brew without sparge, 2 a dunked bag. [1]
    retained_l : float
        Wort left behind after each run-off; 0 or more. [L]

    Returns
    -------
    float
        Extract in the kettle per extract dissolved. [fraction]

    References
    ----------
    As :func:`batch_sparge_efficiency`; equal shares are optimal by the inequality of means.
    """
    left: float = (retained_l / (retained_l + preboil_l / runnings)) ** runnings
    return 1.0 - left


def retained_after_batch_sparge_l(preboil_l: float, runnings: int, efficiency: float) -> float:
    """Wort left behind that explains a lauter efficiency with equal run-offs.

    Parameters
    ----------
    preboil_l : float
        Wort collected in all; above 0. [L]
    runnings : int
        Number of run-offs; 1 or more. [1]
    efficiency : float
        Lauter efficiency; above 0 and below 1. [fraction]

    Returns
    -------
    float
        Wort left behind after each run-off. [L]

    References
    ----------
    Inverse of :func:`equal_batch_sparge_efficiency`.
    """
    strength: float = (1.0 - efficiency) ** (-1.0 / runnings)
    return preboil_l / (runnings * (strength - 1.0))


def unwashed_share(displacements: float, tanks: int = BED_TANKS) -> float:
    """Share of the held extract that continuous sparging leaves in the bed.

    Parameters
    ----------
    displacements : float
        Sparge volume per volume of wort held; 0 or more. [1]
    tanks : int
        Stirred tanks in series that stand for the bed; 1 or more. [1]

    Returns
    -------
    float
        Mean share left over the bed, without channelling. [fraction]

    Notes
    -----
    N stirred tanks in series, x = N theta: (1/N) sum_j sum_{k<j} exp(-x) x^k / k!.

    References
    ----------
    O. Levenspiel, "Chemical Reaction Engineering" (tanks in series; from memory).
    """
    terms = _poisson_terms(tanks * displacements, tanks)
    return sum((tanks - k) * term for k, term in enumerate(terms)) / tanks


def unwashed_share_slope(displacements: float, tanks: int = BED_TANKS) -> float:
    """Derivative of :func:`unwashed_share` by the displacements.

    Parameters
    ----------
    displacements : float
        Sparge volume per volume of wort held; 0 or more. [1]
    tanks : int
        Stirred tanks in series that stand for the bed; 1 or more. [1]

    Returns
    -------
    float
        Change of the share left per displacement; -1 at the start of the sparge. [fraction]

    References
    ----------
    Derivative of the sum: what leaves the bed is the strength of the last tank.
    """
    return -sum(_poisson_terms(tanks * displacements, tanks))


def _poisson_terms(x: float, count: int) -> list[float]:
    terms: list[float] = [math.e**-x]
    for k in range(1, count):
        terms.append(terms[-1] * x / k)
    return terms


def continuous_sparge_efficiency(
    mash_wort_l: float,
    preboil_l: float,
    retained_l: float,
    bypass: float,
    washing: float = 1.0,
    tanks: int = BED_TANKS,
) -> float:
    """Lauter efficiency when water is sprinkled on the draining bed.

    The first wort runs off, then sparge water washes a bed of stirred tanks in series; the
    share ``bypass`` of the held wort lies beside the channels and is never washed.

    Parameters
    ----------
    mash_wort_l : float
        Wort in the mash before run-off: water plus 0.617 L per kg of dissolved extract. [L]
    preboil_l : float
        Wort collected in all; above 0. [L]
    retained_l : float
        Wort left behind; above 0. [L]
    bypass : float
        Share of the held wort that the sparge does not reach; 0 to 1. [fraction]
    washing : float
        Share of the sparge that washes; above 1 for a bed of more tanks. [fraction]
    tanks : int
        Stirred tanks in series that stand for the bed; 1 or more. [1]

    Returns
    -------
    float
        Extract in the kettle per extract dissolved. [fraction]

    Notes
    -----
    A grain bill so big that the first wort fills the kettle leaves no sparge: then the figure
    is that of :func:`no_sparge_efficiency`.

    References
    ----------
    Mass balance with the bed of :func:`unwashed_share`. The washing of a bed in stages is
    after Buehler et al., Monatsschr. Brauwiss. 49 (1996) 226-233 (abstract); the bypass is
    an assumption of this project.
    """
    sparge_l = positive_part(preboil_l + retained_l - mash_wort_l)
    wort_l = preboil_l + retained_l - sparge_l
    share = unwashed_share(washing * sparge_l / retained_l, tanks)
    return 1.0 - retained_l / wort_l * (bypass + (1.0 - bypass) * share)


def continuous_sparge_slopes(
    mash_wort_l: float, preboil_l: float, retained_l: float, bypass: float, washing: float
) -> SpargeSlopes:
    """Derivatives of :func:`continuous_sparge_efficiency` for a bed of usual depth.

    Parameters
    ----------
    mash_wort_l : float
        Wort in the mash before run-off. [L]
    preboil_l : float
        Wort collected in all; above 0. [L]
    retained_l : float
        Wort left behind; above 0. [L]
    bypass : float
        Share of the held wort that the sparge does not reach; 0 to 1. [fraction]
    washing : float
        Share of the sparge that washes. [fraction]

    Returns
    -------
    SpargeSlopes
        By the wort in the mash and left behind [1/L], by the shares [fraction].

    Notes
    -----
    Without sparge the wort in the mash no longer counts, as in the efficiency itself.

    References
    ----------
    Chain rule.
    """
    sparge_l = positive_part(preboil_l + retained_l - mash_wort_l)
    sparged = (sparge_l > 0.0) * 1.0
    wort_l = preboil_l + retained_l - sparge_l
    displacements = washing * sparge_l / retained_l
    share = unwashed_share(displacements)
    slope = (1.0 - bypass) * unwashed_share_slope(displacements)
    left = bypass + (1.0 - bypass) * share
    return SpargeSlopes(
        by_mash_wort=sparged * (retained_l * left / wort_l + washing * slope) / wort_l,
        by_retained=-sparged * (left + slope * (washing - displacements)) / wort_l
        - (1.0 - sparged) * preboil_l / wort_l**2,
        by_bypass=-retained_l / wort_l * (1.0 - share),
        by_washing=-sparge_l / wort_l * slope,
    )


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


def no_sparge_grain_kg(
    preboil_extract_kg: float,
    preboil_l: float,
    extract_yield: float,
    conversion: float,
    true_absorption_l_per_kg: float,
) -> float:
    """Grain for a wanted extract in the kettle without sparge and without dead space.

    Parameters
    ----------
    preboil_extract_kg : float
        Extract wanted in the kettle; above 0. [kg]
    preboil_l : float
        Wort collected; above 0. [L]
    extract_yield : float
        Extract of the grain as weighed; above 0. [kg/kg]
    conversion : float
        Conversion efficiency; above 0, to 1. [fraction]
    true_absorption_l_per_kg : float
        Wort really held per kilogram; 0 or more. [L/kg]

    Returns
    -------
    float
        Grain to mash. [kg]

    Raises
    ------
    ValueError
        If no grain bill reaches it: the extract per litre approaches
        ``extract_yield * conversion / true_absorption_l_per_kg`` from below.

    References
    ----------
    :func:`no_sparge_efficiency` solved for the grain.
    """
    strength = preboil_extract_kg / preboil_l
    gain = extract_yield * conversion - true_absorption_l_per_kg * strength
    if gain <= 0.0:
        msg = f"{strength:.3f} kg/L before the boil is beyond what this grain can give"
        raise ValueError(msg)
    return preboil_extract_kg / gain
