"""How much of the extract leaves the grain when water is sprinkled on the draining bed.

The bed is a few stirred tanks in series, with a share that lies beside the channels. Volumes are
litres at 20 degC. Every function takes floats and numpy arrays alike.
"""

import math
from typing import NamedTuple

from wortwright.brewing.mash_water import positive_part

BED_TANKS = 3
"""Stirred tanks in series that stand for a drained bed; an assumption, no published value."""


class SpargeSlopes(NamedTuple):
    """Derivatives of the efficiency of a continuous sparge."""

    by_mash_wort: float
    by_retained: float
    by_bypass: float
    by_washing: float


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
    is that of a brew without sparge.

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
