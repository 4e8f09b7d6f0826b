"""Bitterness: how much of a hop's alpha acid ends in the beer as iso-alpha acid.

Bitterness is alpha acid times utilisation over volume; the models differ in the utilisation.
One gravity goes into all of them: the mean of pre-boil and post-boil gravity, see
`mean_boil_gravity`. The volume is that of the wort at the end of the boil, at 20 degC.
"""

import math
from enum import StrEnum

from wortwright.brewing.errors import require_between, require_positive
from wortwright.brewing.gravity import HIGHEST_GRAVITY, LOWEST_GRAVITY

FIRST_WORT_FACTOR = 1.10
"""On the utilisation of the boil; common practice. Preis & Mitter, *Brauwelt International*
1995 IV, 308, measured from 5 to 20 % more (their pairs from memory)."""

MASH_HOP_FACTOR = 0.20
"""On the utilisation of a full boil. Justus, *MBAA Technical Quarterly* 55(3), 2018, 67-74:
9.1 % for mash hops against 44.0 % for 60 minutes of boil."""

DRY_HOP_UTILISATION = 0.0
"""Dry hops bring no iso-alpha acid, though a bitterness *test* rises by humulinones. Parkin &
Shellhammer, *J. Am. Soc. Brew. Chem.* 75(4), 2017, 363-368. The customary 1.10 for pellets is
left out throughout: measured, the difference is an offset that depends on the variety."""

ALPHA_LOAD_LIMIT_MG_PER_L = 240.0
"""Above this alpha acids no longer all dissolve in boiling wort and every model here promises
too much. Hosom, "Hopping Rate Correction", web article; Hough et al. 1982 give 250."""


class UtilisationModel(StrEnum):
    """Whose formula for the utilisation of hops in the boil."""

    TINSETH = "tinseth"
    RAGER = "rager"


def mean_boil_gravity(pre_boil_gravity: float, post_boil_gravity: float) -> float:
    """Gravity for every model of utilisation: the mean over the boil.

    Parameters
    ----------
    pre_boil_gravity : float
        Specific gravity 20/20 before the boil [SG].
    post_boil_gravity : float
        Specific gravity 20/20 after the boil [SG].

    Returns
    -------
    float
        Their mean [SG].

    Notes
    -----
    Tinseth's own advice (from memory); others put in the original gravity, which makes
    bitterness come out some 6 % lower. One convention, kept everywhere.
    """
    return (pre_boil_gravity + post_boil_gravity) / 2.0


def boil_utilisation(
    time_min: float, gravity: float, model: UtilisationModel = UtilisationModel.TINSETH
) -> float:
    """Utilisation of hops in the boil by the chosen model.

    Parameters
    ----------
    time_min : float
        Time in the boil [min], 0 to 360; for Tinseth with the `stand_equivalent_min` of every
        later stand added.
    gravity : float
        Mean specific gravity of the boil [SG], 0.970 to 1.190.
    model : UtilisationModel
        Whose formula; Tinseth's unless asked otherwise, since it is the one in common use and
        the only one that is right at no time (0) and thus for stands.

    Returns
    -------
    float
        Utilisation [fraction].

    Raises
    ------
    OutOfRangeError
        For a time or gravity outside its range.
    """
    if model is UtilisationModel.RAGER:
        return utilisation_rager(time_min, gravity)
    return utilisation_tinseth(time_min, gravity)


def utilisation_tinseth(time_min: float, gravity: float) -> float:
    """Utilisation of hops in the boil, after Tinseth.

    Parameters
    ----------
    time_min : float
        Time in the boil, or its equivalent [min], 0 to 360.
    gravity : float
        Mean specific gravity of the boil [SG], 0.970 to 1.190.

    Returns
    -------
    float
        Utilisation [fraction].

    Raises
    ------
    OutOfRangeError
        For a time or gravity outside its range.

    Notes
    -----
    U = 1.65 x 0.000125^(SG - 1) x (1 - exp(-0.04 t)) / 4.15. The two factors separate: for
    equal bitterness the mass changes by 0.000125^(SG_old - SG_new) at every time.

    References
    ----------
    Tinseth, hop utilisation pages, 1997.
    """
    _require_boil(time_min, gravity)
    gravity_factor = 1.65 * math.pow(0.000125, gravity - 1.0)
    return gravity_factor * (1.0 - math.exp(-0.04 * time_min)) / 4.15


def utilisation_rager(time_min: float, gravity: float) -> float:
    """Utilisation of hops in the boil, after Rager. Never for stands.

    Parameters
    ----------
    time_min : float
        Time in the boil [min], 0 to 360.
    gravity : float
        Mean specific gravity of the boil [SG], 0.970 to 1.190; it matters above 1.050.

    Returns
    -------
    float
        Utilisation [fraction]; 0.051, not 0, at no time.

    Raises
    ------
    OutOfRangeError
        For a time or gravity outside its range.

    Notes
    -----
    The smooth curve through Rager's steps (its constants from memory) stands for the table,
    so that a minute more never moves bitterness by a step; the two differ by up to an eighth of
    the value. Bitterness is divided by 1 + (SG - 1.050)/0.2 above 1.050 only.

    References
    ----------
    Rager, "Calculating Hop Bitterness in Beer", *Zymurgy* 13(4), special issue 1990, 53-54.
    """
    _require_boil(time_min, gravity)
    correction = 1.0 + max(0.0, gravity - 1.050) / 0.2
    return (0.1811 + 0.1386 * math.tanh((time_min - 31.32) / 18.27)) / correction


def isomerisation_rate_per_min(temperature_c: float) -> float:
    """Rate constant of alpha acid turning into iso-alpha acid.

    Parameters
    ----------
    temperature_c : float
        Temperature of the wort [degC], 0 to 130; measured from 90, extrapolated below.

    Returns
    -------
    float
        Rate constant [1/min].

    Raises
    ------
    OutOfRangeError
        For a temperature outside the range.

    Notes
    -----
    k1 = 7.9e11 exp(-11858/T), T in kelvin: 98.6 kJ/mol. Sugar, calcium and pH 4.8-6.0 did not
    change it.

    References
    ----------
    Malowicki & Shellhammer, *J. Agric. Food Chem.* 53, 2005, 4434-4439.
    """
    require_between("temperature", temperature_c, 0.0, 130.0, "degC")
    return 7.9e11 * math.exp(-11858.0 / (temperature_c + 273.15))


def stand_equivalent_min(temperature_c: float, time_min: float) -> float:
    """Minutes of boil that isomerise as much alpha acid as a hop stand.

    Parameters
    ----------
    temperature_c : float
        Mean temperature of the stand [degC], 0 to 100; an extrapolation below 90.
    time_min : float
        Length of the stand [min], 0 or more.

    Returns
    -------
    float
        Equivalent time at 100 degC [min].

    Raises
    ------
    OutOfRangeError
        For a temperature or time outside its range.

    Notes
    -----
    Own construction: time times the ratio of isomerisation rates. Add it to the boil time of
    *every* addition already in the kettle, then use Tinseth's curve. A bigger kettle cools more
    slowly, so the stand must be asked for, not scaled.

    References
    ----------
    Malowicki & Shellhammer, *J. Agric. Food Chem.* 53, 2005, 4434-4439 (rates).
    """
    require_between("stand temperature", temperature_c, 0.0, 100.0, "degC")
    require_between("stand time", time_min, 0.0, math.inf, "min")
    return time_min * isomerisation_rate_per_min(temperature_c) / isomerisation_rate_per_min(100.0)


def bitterness_ibu(mass_kg: float, alpha: float, utilisation: float, volume_l: float) -> float:
    """Bitterness that an addition brings.

    Parameters
    ----------
    mass_kg : float
        Mass of hops [kg].
    alpha : float
        Alpha acid of the lot [fraction], 0 to 0.30.
    utilisation : float
        Share of the alpha acid that ends in the beer [fraction].
    volume_l : float
        Wort at the end of the boil at 20 degC [L], above 0.

    Returns
    -------
    float
        Bitterness [IBU], iso-alpha acid in mg/L. Not clipped, see
        `ALPHA_LOAD_LIMIT_MG_PER_L`.

    Raises
    ------
    OutOfRangeError
        For an alpha acid outside its range or no volume.
    """
    return alpha_load_mg_per_l(mass_kg, alpha, volume_l) * utilisation


def mass_kg_for_bitterness(
    bitterness_ibu: float, alpha: float, utilisation: float, volume_l: float
) -> float:
    """Mass of hops that brings a wanted bitterness, the inverse of `bitterness_ibu`.

    Parameters
    ----------
    bitterness_ibu : float
        Bitterness wanted [IBU].
    alpha : float
        Alpha acid of the lot [fraction], above 0 to 0.30.
    utilisation : float
        Share of the alpha acid that ends in the beer [fraction], above 0.
    volume_l : float
        Wort at the end of the boil at 20 degC [L].

    Returns
    -------
    float
        Mass of hops [kg].

    Raises
    ------
    OutOfRangeError
        For hops that bring no bitterness at all.
    """
    _require_alpha(alpha)
    require_positive("alpha acid times utilisation", alpha * utilisation)
    return bitterness_ibu * volume_l / (1e6 * alpha * utilisation)


def alpha_load_mg_per_l(mass_kg: float, alpha: float, volume_l: float) -> float:
    """Alpha acid put into each litre of wort.

    Parameters
    ----------
    mass_kg : float
        Mass of hops [kg].
    alpha : float
        Alpha acid of the lot [fraction], 0 to 0.30.
    volume_l : float
        Wort at the end of the boil at 20 degC [L], above 0.

    Returns
    -------
    float
        Alpha acid [mg/L], dissolved or not.

    Raises
    ------
    OutOfRangeError
        For an alpha acid outside its range or no volume.
    """
    require_positive("volume", volume_l, "L")
    _require_alpha(alpha)
    return 1e6 * mass_kg * alpha / volume_l


def _require_boil(time_min: float, gravity: float) -> None:
    require_between("boil time", time_min, 0.0, 360.0, "min")
    require_between("gravity", gravity, LOWEST_GRAVITY, HIGHEST_GRAVITY, "SG")


def _require_alpha(alpha: float) -> None:
    # Lupulin-enriched pellets reach 0.30; more is a percentage given as a fraction.
    require_between("alpha acid", alpha, 0.0, 0.30)
