"""Oxygen: what yeast wants at the start, what air can give, and what harms beer later."""

from dataclasses import dataclass
from math import exp

from wortwright.brewing.errors import require_between, require_positive
from wortwright.brewing.gravity import plato_from_gravity
from wortwright.brewing.tables.yeast import YeastKind

RANGE_MG_L = {
    YeastKind.ALE: (8.0, 12.0),
    YeastKind.HYBRID: (8.0, 12.0),
    YeastKind.LAGER: (10.0, 15.0),
}
"""Dissolved oxygen at pitching. M. B. Raines-Casselman (quoted); hybrid taken as ale."""

HIGH_GRAVITY_RANGE_MG_L = (12.0, 15.0)
SECOND_DOSE_ABOVE = 1.083
"""C. White and J. Zainasheff, *Yeast*, 2010 (from memory)."""

LOST_PER_PLATO = 0.01
"""Saturation of wort below that of water: 8 mg/L at 12 degP against 9.1 (common practice)."""

OXYGEN_SHARE_OF_AIR = 0.2095
OXYGEN_G_PER_MOL = 31.998
GAS_CONSTANT = 8.314463
ATMOSPHERE_KPA = 101.325


@dataclass(frozen=True, slots=True)
class OxygenWanted:
    """Oxygen for a wort: how much [mg/L], whether air can give it, whether twice is better."""

    wanted_mg_l: float
    air_can_give_mg_l: float
    needs_pure_oxygen: bool
    second_dose: bool


def oxygen_wanted(
    kind: YeastKind, original_gravity: float, temperature_c: float, first_pitch_dry: bool = False
) -> OxygenWanted:
    """Oxygen that a wort's yeast wants at pitching.

    Parameters
    ----------
    kind : YeastKind
        Ale, hybrid or lager.
    original_gravity : float
        Gravity of the wort [SG], 1.000 to 1.190.
    temperature_c : float
        Temperature at pitching [degC], 0 to 35.
    first_pitch_dry : bool
        Dry yeast from the packet carries its own reserve and needs none.

    Returns
    -------
    OxygenWanted
        About 1 mg/L per degree Plato within the range of the kind.

    Raises
    ------
    OutOfRangeError
        For a value outside its range.

    Notes
    -----
    A second dose belongs 12 to 18 hours after pitching, none after 24 hours.
    """
    require_between("gravity", original_gravity, 1.0, 1.190, "SG")
    plato = plato_from_gravity(original_gravity)
    strong = original_gravity > SECOND_DOSE_ABOVE
    least, most = HIGH_GRAVITY_RANGE_MG_L if strong else RANGE_MG_L[kind]
    wanted = 0.0 if first_pitch_dry else min(max(plato, least), most)
    from_air = oxygen_in_water_mg_l(temperature_c) * (1.0 - LOST_PER_PLATO * plato)
    return OxygenWanted(
        wanted_mg_l=wanted,
        air_can_give_mg_l=from_air,
        needs_pure_oxygen=wanted > from_air,
        second_dose=strong and not first_pitch_dry,
    )


def oxygen_in_water_mg_l(temperature_c: float) -> float:
    """Oxygen in water saturated with air at sea level.

    Parameters
    ----------
    temperature_c : float
        Temperature [degC], 0 to 40.

    Returns
    -------
    float
        Dissolved oxygen [mg/L]: 9.09 at 20 degC.

    Raises
    ------
    OutOfRangeError
        For a temperature outside the range.

    References
    ----------
    APHA, *Standard Methods for the Examination of Water and Wastewater*, 16th ed., 1985
    (coefficients from memory, values checked at four temperatures).
    """
    require_between("temperature", temperature_c, 0.0, 40.0, "degC")
    x = 1.0 / (temperature_c + 273.15)
    return exp(
        -139.34411 + x * (1.575701e5 + x * (-6.642308e7 + x * (1.243800e10 - x * 8.621949e11)))
    )


def oxygen_in_air_mg_l(temperature_c: float) -> float:
    """Oxygen in a litre of moist air at sea level.

    Parameters
    ----------
    temperature_c : float
        Temperature [degC], 0 to 40.

    Returns
    -------
    float
        Mass of oxygen per volume of gas [mg/L]: 272 at 20 degC.

    Raises
    ------
    OutOfRangeError
        For a temperature outside the range.

    Notes
    -----
    Ideal gas less water vapour, whose pressure follows Magnus' formula (from memory).
    """
    require_between("temperature", temperature_c, 0.0, 40.0, "degC")
    vapour_kpa = 0.61094 * exp(17.625 * temperature_c / (temperature_c + 243.04))
    oxygen_kpa = OXYGEN_SHARE_OF_AIR * (ATMOSPHERE_KPA - vapour_kpa)
    return 1000.0 * oxygen_kpa * OXYGEN_G_PER_MOL / (GAS_CONSTANT * (temperature_c + 273.15))


def head_space_oxygen_mg_l(head_space_l: float, beer_l: float, temperature_c: float) -> float:
    """Oxygen added to beer if all that is in the air above it dissolves.

    Parameters
    ----------
    head_space_l : float
        Air above the beer [L], 0 or more.
    beer_l : float
        Beer in the vessel [L], above 0.
    temperature_c : float
        Temperature [degC], 0 to 40.

    Returns
    -------
    float
        Oxygen per litre of beer [mg/L]; the trade aims at less than 0.1 in all.

    Raises
    ------
    OutOfRangeError
        For a value outside its range.
    """
    require_between("head-space", head_space_l, 0.0, 1e6, "L")
    require_positive("beer", beer_l, "L")
    return oxygen_in_air_mg_l(temperature_c) * head_space_l / beer_l
