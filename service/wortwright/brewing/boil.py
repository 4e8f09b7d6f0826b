"""The boil: water goes, extract stays, hops keep some wort back. Volumes are at 20 degC."""

import math

from wortwright.brewing.errors import OutOfRangeError, require_between, require_positive
from wortwright.brewing.gravity import extract_kg, gravity_of_wort

PELLET_ABSORPTION_L_PER_KG = 6.0
"""Wort held by pellets in the trub; common practice, 5 to 8."""

WHOLE_HOP_ABSORPTION_L_PER_KG = 8.0
"""Wort held by whole hops; common practice, 6 to 10."""


def post_boil_volume_l(pre_boil_l: float, boil_off_l_per_h: float, time_min: float) -> float:
    """Volume left in the kettle after the boil.

    Parameters
    ----------
    pre_boil_l : float
        Volume before the boil at 20 degC [L], above 0.
    boil_off_l_per_h : float
        Rate of evaporation in litres at 20 degC [L/h], 0 or more.
    time_min : float
        Length of the boil [min], 0 or more.

    Returns
    -------
    float
        Volume after the boil at 20 degC [L].

    Raises
    ------
    OutOfRangeError
        For a negative rate or time, or a kettle that would boil dry.

    Notes
    -----
    Evaporation is set by the surface and the heat of a kettle, not by what is in it: litres
    per hour are kept, never per cent per hour.
    """
    require_between("boil-off", boil_off_l_per_h, 0.0, math.inf, "L/h")
    require_between("boil time", time_min, 0.0, math.inf, "min")
    left = pre_boil_l - boil_off_l_per_h * time_min / 60.0
    require_positive("volume after the boil", left, "L")
    return left


def boil_time_min(pre_boil_l: float, post_boil_l: float, boil_off_l_per_h: float) -> float:
    """Time it takes to boil wort down to a volume.

    Parameters
    ----------
    pre_boil_l : float
        Volume before the boil at 20 degC [L].
    post_boil_l : float
        Volume wanted at 20 degC [L], above 0 and not above ``pre_boil_l``.
    boil_off_l_per_h : float
        Rate of evaporation in litres at 20 degC [L/h], above 0.

    Returns
    -------
    float
        Length of the boil [min].

    Raises
    ------
    OutOfRangeError
        For no evaporation, or a volume that boiling does not reach.
    """
    require_positive("boil-off", boil_off_l_per_h, "L/h")
    if not 0.0 < post_boil_l <= pre_boil_l:
        raise OutOfRangeError(
            "volume after the boil", post_boil_l, "above {} to {}", (0.0, pre_boil_l), "L"
        )
    return 60.0 * (pre_boil_l - post_boil_l) / boil_off_l_per_h


def gravity_after_boil(gravity: float, from_l: float, to_l: float) -> float:
    """Gravity of wort that is boiled down, or diluted, from one volume to another.

    Parameters
    ----------
    gravity : float
        Specific gravity 20/20 before [SG], 0.970 to 1.190.
    from_l : float
        Volume before at 20 degC [L].
    to_l : float
        Volume after at 20 degC [L], above 0.

    Returns
    -------
    float
        Specific gravity 20/20 after [SG].

    Raises
    ------
    OutOfRangeError
        For a gravity before or after outside the range, or no volume.

    Notes
    -----
    The mass of extract is conserved. Conserving points instead errs by 0.5 % of the volume
    between 1.072 and 1.120.
    """
    return gravity_of_wort(extract_kg(from_l, gravity), to_l)


def kettle_hop_absorption_l(pellet_kg: float, whole_kg: float) -> float:
    """Wort that the hops keep back in the kettle.

    Parameters
    ----------
    pellet_kg : float
        Mass of pellets [kg].
    whole_kg : float
        Mass of whole hops [kg].

    Returns
    -------
    float
        Wort held at 20 degC [L].

    Notes
    -----
    6 mL/g and 8 mL/g: common practice, the middle of what is stated; no source.
    """
    return PELLET_ABSORPTION_L_PER_KG * pellet_kg + WHOLE_HOP_ABSORPTION_L_PER_KG * whole_kg
