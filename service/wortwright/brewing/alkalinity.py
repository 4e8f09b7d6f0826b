"""Alkalinity, its carbonate species, hardness and residual alkalinity."""

from math import pow

from wortwright.brewing.errors import require_between
from wortwright.brewing.ions import (
    MOLAR_MASS_G_PER_MOL,
    Water,
    equivalent_mass_mg_per_meq,
)

CALCIUM_CARBONATE_MG_PER_MEQ = MOLAR_MASS_G_PER_MOL["calcium_carbonate"] / 2.0
CARBON_DIOXIDE_G_PER_MOL = 44.009

PK1, PK2, PKW = 6.352, 10.329, 14.0
"""Carbonic acid and water at 25 degC, no activity correction (from memory)."""

CALCIUM_DIVISOR, MAGNESIUM_DIVISOR = 3.5, 7.0
"""Equivalents of hardness that take up one of alkalinity. P. Kolbach 1953, as quoted in
J. Palmer, *How to Brew*, web edition, ch. 15.3, and MEBAK W-030.01.900."""

LOWEST_PH, HIGHEST_PH = 2.0, 12.5


def alkalinity_from_caco3(alkalinity_mg_l: float) -> float:
    """Alkalinity printed "as CaCO3" in milliequivalents.

    Parameters
    ----------
    alkalinity_mg_l : float
        Alkalinity as calcium carbonate [mg/L].

    Returns
    -------
    float
        Alkalinity [meq/L]; 1 meq/L is 50.043 mg/L.
    """
    return alkalinity_mg_l / CALCIUM_CARBONATE_MG_PER_MEQ


def alkalinity_as_caco3_mg_l(alkalinity_meq_l: float) -> float:
    """Alkalinity as laboratories print it, as calcium carbonate.

    Parameters
    ----------
    alkalinity_meq_l : float
        Alkalinity [meq/L].

    Returns
    -------
    float
        Alkalinity as calcium carbonate [mg/L].
    """
    return alkalinity_meq_l * CALCIUM_CARBONATE_MG_PER_MEQ


def alkalinity_from_species(bicarbonate_mg_l: float, carbonate_mg_l: float = 0.0) -> float:
    """Alkalinity of a report that prints bicarbonate, and carbonate where there is any.

    Parameters
    ----------
    bicarbonate_mg_l, carbonate_mg_l : float
        As printed [mg/L], 0 or more.

    Returns
    -------
    float
        Alkalinity [meq/L]; exact while hydroxide may be left out, i.e. below pH 9.5.
    """
    return bicarbonate_mg_l / equivalent_mass_mg_per_meq(
        "bicarbonate"
    ) + carbonate_mg_l / equivalent_mass_mg_per_meq("carbonate")


def bicarbonate_mg_l(alkalinity_meq_l: float, ph: float) -> float:
    """Bicarbonate in water of a known alkalinity and pH.

    Parameters
    ----------
    alkalinity_meq_l : float
        Alkalinity [meq/L].
    ph : float
        pH of the water [-], 2 to 12.5.

    Returns
    -------
    float
        Bicarbonate [mg/L]; within 2 % up to pH 9, since activities are left out.

    Raises
    ------
    OutOfRangeError
        For a pH outside the range.

    Notes
    -----
    [HCO3] = (Alk - Kw/h + h) / (1 + 2 K2/h), 25 degC.
    """
    return _bicarbonate_mmol_l(alkalinity_meq_l, ph) * MOLAR_MASS_G_PER_MOL["bicarbonate"]


def carbonate_mg_l(alkalinity_meq_l: float, ph: float) -> float:
    """Carbonate in water of a known alkalinity and pH.

    Parameters
    ----------
    alkalinity_meq_l : float
        Alkalinity [meq/L].
    ph : float
        pH of the water [-], 2 to 12.5.

    Returns
    -------
    float
        Carbonate [mg/L]; activities left out, low by an eighth at pH 9.

    Raises
    ------
    OutOfRangeError
        For a pH outside the range.
    """
    ratio = pow(10.0, ph - PK2)
    return _bicarbonate_mmol_l(alkalinity_meq_l, ph) * ratio * MOLAR_MASS_G_PER_MOL["carbonate"]


def carbon_dioxide_mg_l(alkalinity_meq_l: float, ph: float) -> float:
    """Dissolved carbon dioxide in water of a known alkalinity and pH.

    Parameters
    ----------
    alkalinity_meq_l : float
        Alkalinity [meq/L].
    ph : float
        pH of the water [-], 2 to 12.5.

    Returns
    -------
    float
        Carbon dioxide [mg/L].

    Raises
    ------
    OutOfRangeError
        For a pH outside the range.
    """
    ratio = pow(10.0, PK1 - ph)
    return _bicarbonate_mmol_l(alkalinity_meq_l, ph) * ratio * CARBON_DIOXIDE_G_PER_MOL


def neutralised_share(ph: float) -> float:
    """Share of bicarbonate that acid has turned to carbon dioxide at a pH.

    Parameters
    ----------
    ph : float
        pH reached [-], 2 to 12.5; the gas stays dissolved.

    Returns
    -------
    float
        1 - 1/(1 + 10^(pK1 - pH)) [fraction]: 0.90 at pH 5.4.

    Raises
    ------
    OutOfRangeError
        For a pH outside the range.
    """
    require_between("pH", ph, LOWEST_PH, HIGHEST_PH)
    return 1.0 - 1.0 / (1.0 + pow(10.0, PK1 - ph))


def hardness_mg_l(calcium_mg_l: float, magnesium_mg_l: float) -> float:
    """Total hardness as calcium carbonate.

    Parameters
    ----------
    calcium_mg_l, magnesium_mg_l : float
        The ions [mg/L], 0 or more.

    Returns
    -------
    float
        Hardness as calcium carbonate [mg/L].
    """
    return CALCIUM_CARBONATE_MG_PER_MEQ * _hardness_meq_l(calcium_mg_l, magnesium_mg_l, 1.0, 1.0)


def residual_alkalinity_meq_l(water: Water) -> float:
    """Alkalinity that calcium and magnesium leave over once they have met malt phosphate.

    Parameters
    ----------
    water : Water
        The water in the mash; sparge water does not count.

    Returns
    -------
    float
        Residual alkalinity [meq/L]; may be negative.

    Notes
    -----
    Alk - Ca/3.5 - Mg/7, all in meq/L. Kolbach measured cast-out wort; in the mash the
    divisors are shaky and depend on thickness and grist (K. Troester, 2009, abstract).
    """
    return water.alkalinity_meq_l - _hardness_meq_l(
        water.calcium_mg_l, water.magnesium_mg_l, CALCIUM_DIVISOR, MAGNESIUM_DIVISOR
    )


def _hardness_meq_l(
    calcium_mg_l: float, magnesium_mg_l: float, calcium_divisor: float, magnesium_divisor: float
) -> float:
    calcium = calcium_mg_l / equivalent_mass_mg_per_meq("calcium")
    magnesium = magnesium_mg_l / equivalent_mass_mg_per_meq("magnesium")
    return calcium / calcium_divisor + magnesium / magnesium_divisor


def _bicarbonate_mmol_l(alkalinity_meq_l: float, ph: float) -> float:
    require_between("pH", ph, LOWEST_PH, HIGHEST_PH)
    hydrogen, hydroxide = pow(10.0, 3.0 - ph), pow(10.0, 3.0 + ph - PKW)
    return (alkalinity_meq_l - hydroxide + hydrogen) / (1.0 + 2.0 * pow(10.0, ph - PK2))
