"""Heat in the mash: strike water, infusions, cooling; and the weight of the wet bag.

Heat capacities are counted in kilograms of water: grain is 0.40 of its mass, a vessel is given
as the kilograms of water that would take as much heat.
"""

import math

from wortwright.brewing.errors import OutOfRangeError, require_between, require_positive
from wortwright.brewing.gravity import WATER_DENSITY_20_KG_PER_L

GRAIN_HEAT = 0.40
"""Specific heat of malt of 3-4 % moisture relative to water. Pauls and Whites, *Brewing Room
Book* 1984/85 (0.38 dry to 0.42 at 8 %), reproduced in Murphy & Son's technical appendix 4."""

FIRST_LIFT_L_PER_KG = 2.0
"""Wort still held when a bag is first lifted; from memory, no source."""


def strike_temperature_c(
    mash_c: float,
    grain_kg: float,
    grain_c: float,
    water_kg: float,
    vessel_heat_kg: float = 0.0,
    vessel_c: float = 20.0,
    grain_heat: float = GRAIN_HEAT,
) -> float:
    """Temperature of the water that gives a wanted mash temperature.

    Parameters
    ----------
    mash_c : float
        Mash temperature wanted [degC], 20 to 80.
    grain_kg : float
        Mass of grain [kg], 0 or more.
    grain_c : float
        Temperature of the grain [degC].
    water_kg : float
        Mass of strike water [kg], above 0.
    vessel_heat_kg : float
        Heat capacity of a vessel that the water is poured into [kg of water]; 0 when the water
        is heated in the mash vessel itself.
    vessel_c : float
        Temperature of that vessel [degC].
    grain_heat : float
        Specific heat of the grain relative to water [1], 0.38 when dry to 0.42 at 8 % moisture.

    Returns
    -------
    float
        Strike temperature [degC]; above 100 there is too little water, which is for the
        caller to say.

    Raises
    ------
    OutOfRangeError
        For no water or a mash temperature outside the range.

    Notes
    -----
    The heat of wetting dry malt (1 to 3 K in the source) is left out, as in the usual home
    rule: it offsets losses. A brewer's own hits and misses correct the rest.

    References
    ----------
    Pauls and Whites, *Brewing Room Book* 1984/85, heat balance of the mash.
    """
    require_positive("strike water", water_kg, "kg")
    require_between("mash temperature", mash_c, 20.0, 80.0, "degC")
    taken_up = grain_heat * grain_kg * (mash_c - grain_c) + vessel_heat_kg * (mash_c - vessel_c)
    return mash_c + taken_up / water_kg


def infusion_kg(
    from_c: float,
    to_c: float,
    grain_kg: float,
    water_kg: float,
    infusion_c: float,
    vessel_heat_kg: float = 0.0,
) -> float:
    """Hot water that raises a mash from one rest to the next.

    Parameters
    ----------
    from_c : float
        Present mash temperature [degC].
    to_c : float
        Temperature wanted [degC], from ``from_c`` up to below ``infusion_c``.
    grain_kg : float
        Mass of grain in the mash [kg].
    water_kg : float
        Mass of water in the mash [kg].
    infusion_c : float
        Temperature of the water added [degC]; 98 for boiling water in transit.
    vessel_heat_kg : float
        Heat capacity of the mash vessel [kg of water].

    Returns
    -------
    float
        Water to add [kg].

    Raises
    ------
    OutOfRangeError
        If the mash would have to cool, or the water is not hotter than the rest.

    References
    ----------
    Heat balance with the specific heat of Pauls and Whites, *Brewing Room Book* 1984/85.
    """
    if not from_c <= to_c < infusion_c:
        raise OutOfRangeError(
            "rest temperature", to_c, "{} to below {}", (from_c, infusion_c), "degC"
        )
    capacity = GRAIN_HEAT * grain_kg + water_kg + vessel_heat_kg
    return (to_c - from_c) * capacity / (infusion_c - to_c)


def cooling_rate_per_min(
    start_c: float, end_c: float, surroundings_c: float, time_min: float
) -> float:
    """Rate constant of a vessel's cooling, from two temperatures (Newton).

    Parameters
    ----------
    start_c : float
        Temperature at the start [degC], above the surroundings.
    end_c : float
        Temperature at the end [degC], above the surroundings and not above the start.
    surroundings_c : float
        Temperature of the room [degC].
    time_min : float
        Time between the two [min], above 0.

    Returns
    -------
    float
        Rate constant [1/min].

    Raises
    ------
    OutOfRangeError
        For no time or temperatures in another order.
    """
    require_positive("time", time_min, "min")
    if not surroundings_c < end_c <= start_c:
        raise OutOfRangeError(
            "end temperature", end_c, "above {} to {}", (surroundings_c, start_c), "degC"
        )
    return math.log((start_c - surroundings_c) / (end_c - surroundings_c)) / time_min


def cooled_temperature_c(
    start_c: float, surroundings_c: float, rate_per_min: float, time_min: float
) -> float:
    """Temperature of a vessel that has cooled for a while (Newton).

    Parameters
    ----------
    start_c : float
        Temperature at the start [degC].
    surroundings_c : float
        Temperature of the room [degC].
    rate_per_min : float
        Rate constant [1/min], 0 or more.
    time_min : float
        Time [min], 0 or more.

    Returns
    -------
    float
        Temperature [degC].

    Raises
    ------
    OutOfRangeError
        For a negative rate or time.
    """
    require_between("cooling rate", rate_per_min, 0.0, math.inf, "per min")
    require_between("time", time_min, 0.0, math.inf, "min")
    return surroundings_c + (start_c - surroundings_c) * math.exp(-rate_per_min * time_min)


def wet_bag_kg(grain_kg: float, extracted_yield: float, held_l: float, gravity: float) -> float:
    """Mass of a bag of spent grain with the wort it holds.

    Parameters
    ----------
    grain_kg : float
        Mass of grain that went in [kg].
    extracted_yield : float
        Share of the grain that dissolved: as-is yield times conversion [kg/kg], 0 to 1.
    held_l : float
        Wort held [L]: once drained the grain's true absorption, when first lifted
        `FIRST_LIFT_L_PER_KG` per kilogram of grain.
    gravity : float
        Specific gravity of that wort [SG].

    Returns
    -------
    float
        Mass to be lifted [kg].

    Raises
    ------
    OutOfRangeError
        For a yield outside its range.

    References
    ----------
    Mass balance: undissolved grain plus wort.
    """
    require_between("extracted yield", extracted_yield, 0.0, 1.0, "kg/kg")
    return grain_kg * (1.0 - extracted_yield) + held_l * gravity * WATER_DENSITY_20_KG_PER_L
