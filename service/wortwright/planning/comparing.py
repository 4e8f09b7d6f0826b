"""What would have come out had the recipe been scaled by a fixed efficiency."""

from wortwright.calibration.posterior import Calibration
from wortwright.planning.forecasting import forecast_kettle
from wortwright.planning.plan import Alternative, ComparedWith
from wortwright.planning.recipe import ReadRecipe, stated_mash_efficiency
from wortwright.planning.sizing import Sizing


def compare(read: ReadRecipe, sizing: Sizing, calibration: Calibration) -> ComparedWith:
    """Set the plan beside the two rules in common use.

    Parameters
    ----------
    read : ReadRecipe
        The recipe, with the efficiency it states.
    sizing : Sizing
        The plan's volumes and extract wanted.
    calibration : Calibration
        What the setup does, and the plain average of its past efficiencies.

    Returns
    -------
    ComparedWith
        Grain and gravity by the stated efficiency and by the average; without sessions there
        is no average.
    """
    volumes = sizing.volumes
    stated = stated_mash_efficiency(read, volumes.postboil_l / volumes.fermenter_l)
    average = calibration.average_efficiency
    return ComparedWith(
        _alternative(read, sizing, calibration, stated),
        None if average is None else _alternative(read, sizing, calibration, average),
    )


def _alternative(
    read: ReadRecipe, sizing: Sizing, calibration: Calibration, efficiency: float
) -> Alternative:
    line, volumes = sizing.mashed.straight_line(), sizing.volumes
    scale = line.scale_for_potential(sizing.wanted_kg / efficiency)
    mash = line.plan(scale, volumes.preboil_l)
    kettle = forecast_kettle(
        calibration,
        mash,
        sizing.parts.kettle_extract_kg,
        volumes,
        read.recipe.boil_time_min,
    )
    return Alternative(efficiency, mash.grain_kg, kettle.original_gravity())
