"""Yeast from an earlier session: cells in slurry and in a cake.

Counts are of viable cells and right to a factor of two; only a microscope knows better.
"""

from wortwright.brewing.alcohol import alcohol_by_volume, real_extract_plato
from wortwright.brewing.errors import require_between, require_positive
from wortwright.brewing.gravity import WATER_DENSITY_20_KG_PER_L, plato_from_gravity

SLURRY_CELLS_PER_ML = 1.2e9
SLURRY_LOSS_PER_DAY = 0.10 / 7.0
OLDEST_SLURRY_DAYS = 28.0
"""Settled slurry of 40 to 60 % solids; a tenth lost a week in the cold (common practice)."""

DRY_MASS_PER_EXTRACT = 0.11 / 2.0665
CELLS_PER_G_DRY_MASS = 2.5e10
CAKE_SHARE = 0.8
"""Growth after Balling's balance, cells of 40 pg dry mass, four fifths settled (from memory)."""

STRONGEST_PARENT = 0.08
"""Alcohol by volume above which a cake is tired (common practice)."""


def slurry_ml(wanted: float, days: float) -> float:
    """Volume of settled slurry that holds the cells wanted.

    Parameters
    ----------
    wanted : float
        Viable cells wanted [1], above 0.
    days : float
        Days kept cold since harvest [d], 0 to 28; older slurry is to be thrown away.

    Returns
    -------
    float
        Volume [mL].

    Raises
    ------
    OutOfRangeError
        For a value outside its range.
    """
    require_positive("cells wanted", wanted)
    return wanted / (SLURRY_CELLS_PER_ML * slurry_viable_share(days))


def slurry_viable_share(days: float) -> float:
    """Viable share of slurry or cake kept cold.

    Parameters
    ----------
    days : float
        Days since harvest [d], 0 to 28.

    Returns
    -------
    float
        Viable share [fraction]: a tenth lost a week.

    Raises
    ------
    OutOfRangeError
        For an age outside the range.
    """
    require_between("age of the slurry", days, 0.0, OLDEST_SLURRY_DAYS, "days")
    return 1.0 - SLURRY_LOSS_PER_DAY * days


def cake_cells(
    fermented_l: float, original_gravity: float, final_gravity: float, days: float
) -> float:
    """Viable cells in the cake of an earlier session.

    Parameters
    ----------
    fermented_l : float
        Beer fermented on it [L], above 0.
    original_gravity, final_gravity : float
        Of that beer [SG].
    days : float
        Days the cake has been kept cold [d], 0 to 28.

    Returns
    -------
    float
        Viable cells [1], right to a factor of two.

    Raises
    ------
    OutOfRangeError
        For a value outside its range.

    Notes
    -----
    Yeast grown is 0.11 g per 2.0665 g of extract fermented, by Balling's balance.
    """
    require_positive("volume", fermented_l, "L")
    original = plato_from_gravity(original_gravity)
    fermented = original - real_extract_plato(original, plato_from_gravity(final_gravity))
    extract_g_per_l = 10.0 * fermented * original_gravity * WATER_DENSITY_20_KG_PER_L
    grown_g = fermented_l * extract_g_per_l * DRY_MASS_PER_EXTRACT
    return CAKE_SHARE * grown_g * CELLS_PER_G_DRY_MASS * slurry_viable_share(days)


def cake_is_tired(original_gravity: float, final_gravity: float) -> bool:
    """Whether a cake comes from a beer too strong for its yeast to be pitched again.

    Parameters
    ----------
    original_gravity, final_gravity : float
        Of the beer it fermented [SG].

    Returns
    -------
    bool
        True above 8 % alcohol by volume (common practice).

    Raises
    ------
    OutOfRangeError
        For a gravity outside its range.
    """
    return alcohol_by_volume(original_gravity, final_gravity) > STRONGEST_PARENT
