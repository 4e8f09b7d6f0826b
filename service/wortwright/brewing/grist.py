"""What a grist holds: from the maltster's sheet to kilograms of extract.

All yields are fractions by mass. A sheet gives the fine-grind yield on dry basis; the grain on
the scale also holds moisture. State one basis and keep it: the same brew is 75.0 % on
fine grind as is, 76.4 % on coarse grind as is and 72.0 % on fine grind dry.
"""

from collections.abc import Iterable

from wortwright.brewing.errors import require_between, require_positive
from wortwright.brewing.gravity import extract_kg


def as_is_yield(yield_dry: float, moisture: float) -> float:
    """Extract yield of a fermentable as weighed, from the yield on dry basis.

    Parameters
    ----------
    yield_dry : float
        Yield on dry basis [kg/kg], 0 to 1.
    moisture : float
        Water in the fermentable [fraction], 0 to 0.5.

    Returns
    -------
    float
        Yield as is [kg/kg].

    Raises
    ------
    OutOfRangeError
        For a yield or a moisture outside its range.
    """
    require_between("extract yield", yield_dry, 0.0, 1.0, "kg/kg")
    require_between("moisture", moisture, 0.0, 0.5)
    return yield_dry * (1.0 - moisture)


def coarse_from_fine(yield_fine: float, difference: float) -> float:
    """Coarse-grind yield from the fine-grind yield and the stated difference.

    Parameters
    ----------
    yield_fine : float
        Fine-grind yield [kg/kg], 0 to 1.
    difference : float
        Fine minus coarse on the same basis [fraction], 0 to 0.1; 0.01 to 0.025 is usual.

    Returns
    -------
    float
        Coarse-grind yield on the same basis [kg/kg].

    Raises
    ------
    OutOfRangeError
        For a yield or a difference outside its range.
    """
    require_between("extract yield", yield_fine, 0.0, 1.0, "kg/kg")
    require_between("fine-coarse difference", difference, 0.0, 0.1)
    return yield_fine - difference


def potential_extract_kg(masses_kg: Iterable[float], as_is_yields: Iterable[float]) -> float:
    """All the extract that a laboratory would get out of a grist.

    Parameters
    ----------
    masses_kg : iterable of float
        Mass of each fermentable as weighed [kg].
    as_is_yields : iterable of float
        As-is yield of each, in the same order [kg/kg].

    Returns
    -------
    float
        Potential extract [kg].
    """
    return sum(mass * part for mass, part in zip(masses_kg, as_is_yields, strict=True))


def implied_mash_efficiency(
    volume_l: float, gravity: float, mashed_potential_kg: float, bypassing_extract_kg: float = 0.0
) -> float:
    """Mash efficiency that a grist, a volume and a gravity imply together.

    Parameters
    ----------
    volume_l : float
        Volume of wort in the kettle at 20 degC [L], above 0.
    gravity : float
        Its specific gravity 20/20 [SG], 0.970 to 1.190.
    mashed_potential_kg : float
        Potential extract of what was mashed [kg], above 0.
    bypassing_extract_kg : float
        Extract in the wort that never saw the mash (sugar, malt extract) [kg], 0 or more.

    Returns
    -------
    float
        Extract from the mash over its potential [fraction]. Not clipped: above 1 or below 0
        the three numbers contradict each other, which is for the caller to say.

    Raises
    ------
    OutOfRangeError
        For a volume, gravity or potential outside its range.
    """
    require_positive("volume", volume_l, "L")
    require_positive("potential extract of the mash", mashed_potential_kg, "kg")
    return (extract_kg(volume_l, gravity) - bypassing_extract_kg) / mashed_potential_kg
