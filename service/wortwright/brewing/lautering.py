"""How much of the extract leaves the grain when every run-off is a uniform wort.

Without sparge there is one run-off; in a batch sparge the grain is stirred up in fresh water
before each further one. Volumes are litres at 20 degC; the wort left behind is what the grain
*truly* holds and what cannot drain. Every function takes floats and numpy arrays alike.
"""

import math
from collections.abc import Sequence


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
