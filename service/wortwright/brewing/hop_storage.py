"""Loss of alpha acid in storage, and changing one hop for another at equal bitterness."""

from enum import StrEnum
from math import exp, log, log10, pow

from wortwright.brewing.errors import require_between, require_positive

HALF_YEAR_DAYS = 180.0
FRESH_INDEX = 0.25


class Packing(StrEnum):
    """How hops are kept from air."""

    OPEN_BAG = "open_bag"
    AIRTIGHT = "airtight"
    BARRIER = "barrier"


PACKING_FACTOR = {Packing.OPEN_BAG: 1.0, Packing.AIRTIGHT: 0.75, Packing.BARRIER: 0.5}
"""Loss relative to an open bag; barrier is a laminate under vacuum or inert gas. M. Garetz,
"Hop Storage," *BrewingTechniques* 2(1), 1994 (values from memory)."""


def lost_share_from_index(hop_storage_index: float) -> float:
    """Share of alpha and beta acid lost, from the hop storage index on an analysis sheet.

    Parameters
    ----------
    hop_storage_index : float
        Ratio of absorbances at 275 and 325 nm [-], 0.20 to 1.2; 0.25 or less is fresh.

    Returns
    -------
    float
        Share lost [fraction]: 0.161 at 0.35.

    Raises
    ------
    OutOfRangeError
        For an index outside the range.

    Notes
    -----
    1.10 log10(HSI / 0.25). The slope was 1.02 to 1.15 over four crops.

    References
    ----------
    G. B. Nickerson and S. T. Likens, *J. Am. Soc. Brew. Chem.* 37:184, 1979.
    """
    require_between("hop storage index", hop_storage_index, 0.20, 1.2)
    return max(0.0, 1.10 * log10(hop_storage_index / FRESH_INDEX))


def loss_rate_per_day(lost_in_half_year: float) -> float:
    """Rate of loss from what a variety loses in six months at 20 degC in an open bag.

    Parameters
    ----------
    lost_in_half_year : float
        Share of alpha acid lost after 180 days [fraction], 0 to 0.95.

    Returns
    -------
    float
        First-order rate at 20 degC [1/day]: 0.00198 for 30 %.

    Raises
    ------
    OutOfRangeError
        For a share outside the range.

    References
    ----------
    M. Garetz, "Hop Storage," *BrewingTechniques* 2(1), 1994; first order after C. P. Green,
    *J. Inst. Brew.* 84:312, 1978.
    """
    require_between("share lost", lost_in_half_year, 0.0, 0.95)
    return -log(1.0 - lost_in_half_year) / HALF_YEAR_DAYS


def temperature_factor(temperature_c: float) -> float:
    """Rate of loss relative to 20 degC; it halves for every 15 degC colder.

    Parameters
    ----------
    temperature_c : float
        Temperature of the store [degC], -30 to 40.

    Returns
    -------
    float
        2^((T - 20)/15) [-]: 0.40 at 0 degC.

    Raises
    ------
    OutOfRangeError
        For a temperature outside the range.

    References
    ----------
    M. Garetz, "Hop Storage," *BrewingTechniques* 2(1), 1994.
    """
    require_between("temperature", temperature_c, -30.0, 40.0, "degC")
    return pow(2.0, (temperature_c - 20.0) / 15.0)


def alpha_after_storage(
    alpha: float, rate_per_day: float, days: float, temperature_c: float, packing: Packing
) -> float:
    """Alpha acid left after a time in store.

    Parameters
    ----------
    alpha : float
        Alpha acid at the date of analysis [fraction], 0 to 0.30. Without that date there is
        nothing to correct.
    rate_per_day : float
        Rate of loss at 20 degC in an open bag [1/day], 0 to 0.02.
    days : float
        Days since the analysis [d], 0 to 3650.
    temperature_c : float
        Temperature of the store [degC], -30 to 40.
    packing : Packing
        How the hops are kept from air.

    Returns
    -------
    float
        Alpha acid left [fraction].

    Raises
    ------
    OutOfRangeError
        For a value outside its range.

    Notes
    -----
    a0 exp(-k TF SF t).

    References
    ----------
    M. Garetz, "Hop Storage," *BrewingTechniques* 2(1), 1994.
    """
    require_between("alpha acid", alpha, 0.0, 0.30)
    require_between("rate of loss", rate_per_day, 0.0, 0.02, "1/day")
    require_between("time in store", days, 0.0, 3650.0, "days")
    factor = temperature_factor(temperature_c) * PACKING_FACTOR[packing]
    return alpha * exp(-rate_per_day * factor * days)


def substitute_mass_kg(mass_kg: float, alpha: float, substitute_alpha: float) -> float:
    """Mass of another hop, added at the same time, that gives the same bitterness.

    Parameters
    ----------
    mass_kg : float
        Mass of the hop in the recipe [kg], 0 or more.
    alpha, substitute_alpha : float
        Alpha acid of either [fraction], above 0.

    Returns
    -------
    float
        Mass of the substitute [kg]. Aroma does not follow alpha acid: late and dry hops keep
        their mass instead.

    Raises
    ------
    OutOfRangeError
        For no alpha acid.
    """
    require_positive("alpha acid", alpha)
    require_positive("alpha acid", substitute_alpha)
    return mass_kg * alpha / substitute_alpha
