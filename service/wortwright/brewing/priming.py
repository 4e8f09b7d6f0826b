"""Priming sugar, and carbon dioxide from what was left unfermented."""

from wortwright.brewing.carbonation import CO2_G_PER_VOLUME
from wortwright.brewing.errors import require_between, require_positive
from wortwright.brewing.gravity import WATER_DENSITY_20_KG_PER_L, plato_from_gravity
from wortwright.brewing.tables.packaging import PrimingSugar, co2_g_per_g

CO2_PER_EXTRACT = 0.9565 / 2.0665
"""Carbon dioxide per real extract fermented. Balling's balance (from memory)."""

REAL_PER_APPARENT = 0.8192
"""Real extract fermented per apparent (from memory). That of weak wort, the highest there is; the
full mass balance of Balling and Tabarie still gives 1 to 3 % more gas."""


def priming_sugar_g(
    volume_l: float, target_volumes: float, residual_volumes: float, sugar: PrimingSugar
) -> float:
    """Sugar that brings beer from what gas it holds to what is wanted.

    Parameters
    ----------
    volume_l : float
        Beer that is truly primed, not the batch [L], above 0.
    target_volumes : float
        Carbonation wanted [L/L], 0 to 6.
    residual_volumes : float
        Carbonation left after fermentation [L/L], 0 to 6.
    sugar : PrimingSugar
        The sugar.

    Returns
    -------
    float
        Mass [g]; 0 where the beer already holds more.

    Raises
    ------
    OutOfRangeError
        For a value outside its range.

    Notes
    -----
    One hexose gives two carbon dioxide; no allowance for growth of yeast, about 5 %, so the
    carbonation is never above the target.
    """
    require_positive("volume", volume_l, "L")
    require_between("carbonation wanted", target_volumes, 0.0, 6.0, "volumes")
    require_between("residual carbonation", residual_volumes, 0.0, 6.0, "volumes")
    wanting = max(0.0, target_volumes - residual_volumes)
    return volume_l * wanting * CO2_G_PER_VOLUME / co2_g_per_g(sugar)


def volumes_from_sugar(mass_g: float, volume_l: float, sugar: PrimingSugar) -> float:
    """Carbonation from sugar. Inverse of `priming_sugar_g`.

    Parameters
    ----------
    mass_g : float
        Mass of sugar [g], 0 or more.
    volume_l : float
        Beer primed with it [L], above 0.
    sugar : PrimingSugar
        The sugar.

    Returns
    -------
    float
        Carbonation [L/L].

    Raises
    ------
    OutOfRangeError
        For a value outside its range.
    """
    require_between("sugar", mass_g, 0.0, 1e6, "g")
    require_positive("volume", volume_l, "L")
    return mass_g * co2_g_per_g(sugar) / CO2_G_PER_VOLUME / volume_l


def extract_left_g_per_l(gravity: float, final_gravity: float) -> float:
    """Real extract still to ferment.

    Parameters
    ----------
    gravity, final_gravity : float
        Gravity now and when all is fermented [SG], 0.970 to 1.190.

    Returns
    -------
    float
        Extract [g/L]; 0 where the gravity now is the lower.

    Raises
    ------
    OutOfRangeError
        For a gravity outside the range.
    """
    apparent = plato_from_gravity(gravity) - plato_from_gravity(final_gravity)
    density = WATER_DENSITY_20_KG_PER_L * (gravity + final_gravity) / 2.0
    return max(0.0, 10.0 * density * REAL_PER_APPARENT * apparent)


def volumes_from_fermentables(gravity: float, final_gravity: float) -> float:
    """Carbonation that unfermented extract will add in a closed bottle.

    Parameters
    ----------
    gravity, final_gravity : float
        Gravity now and when all is fermented [SG], 0.970 to 1.190.

    Returns
    -------
    float
        Carbonation [L/L]: nearly half a volume per gravity point.

    Raises
    ------
    OutOfRangeError
        For a gravity outside the range.
    """
    return extract_left_g_per_l(gravity, final_gravity) * CO2_PER_EXTRACT / CO2_G_PER_VOLUME
