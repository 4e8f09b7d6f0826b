"""The same ingredients again in less volume: the plainest cure for a first brew too weak."""

from dataclasses import dataclass, replace

from scipy.optimize import brentq

from wortwright.brewing.alcohol import final_gravity
from wortwright.brewing.blending import Lot, blend
from wortwright.brewing.gravity import gravity_of_wort, volume_at_gravity_l
from wortwright.calibration.efficiency import mean_mash_efficiency
from wortwright.calibration.posterior import Calibration, MashPlan
from wortwright.planning.assembling import assemble_plan
from wortwright.planning.blends.blend import BeerLot, BlendForecast, blend_forecast, lot_of_plan
from wortwright.planning.blends.second_brew import STRONGEST_GRAVITY
from wortwright.planning.kettle.course import Course, course_of
from wortwright.planning.plan import Asked, Plan
from wortwright.planning.recipe import read_recipe
from wortwright.planning.target import Preferences
from wortwright.records.grist import AddedTo
from wortwright.records.recipe import Recipe, VolumeAt
from wortwright.records.setup import Setup

# Less of the planned beer than this is another beer; an assumption of this project.
LEAST_SHARE = 0.3


@dataclass(frozen=True, slots=True)
class SameAgain:
    """The planned ingredients brewed to less volume, and the blend of both brews."""

    packaged_l: float
    original_gravity: float
    recipe: Recipe
    plan: Plan
    blend: BlendForecast


def same_ingredients(
    recipe: Recipe,
    plan: Plan,
    setup: Setup,
    calibration: Calibration,
    first: BeerLot,
    wanted_gravity: float,
    preferences: Preferences,
) -> SameAgain | None:
    """Find the volume to which the same ingredients must be brewed for the blend's gravity.

    All of both brews goes into the blend.

    Parameters
    ----------
    recipe : Recipe
        What the first was brewed by.
    plan : Plan
        The plan of the first, whose weighed ingredients are taken again.
    setup : Setup
        The vessels.
    calibration : Calibration
        What the setup does.
    first : BeerLot
        What the first became.
    wanted_gravity : float
        Original gravity of the blend. [SG]
    preferences : Preferences
        How the brewer wants it.

    Returns
    -------
    SameAgain or None
        None if the first was not too weak, or no volume from 30 % of the planned one up
        makes up for it.
    """
    course = course_of(plan, calibration)
    planned_l = plan.water.packaged_l
    attenuation = plan.forecast.apparent_attenuation

    def over(packaged_l: float) -> float:
        gravity = _gravity_at(course, calibration, packaged_l - planned_l)
        second = Lot(packaged_l, gravity, final_gravity(gravity, attenuation))
        return blend((first.lot, second)).original_gravity - wanted_gravity

    least_l = max(LEAST_SHARE * planned_l, planned_l - _most_left_out_l(course))
    if over(planned_l) >= 0.0 or over(least_l) <= 0.0:
        return None
    packaged_l = float(brentq(over, least_l, planned_l, xtol=1e-9))
    gravity = _gravity_at(course, calibration, packaged_l - planned_l)
    again = _recipe_again(recipe, plan, packaged_l, gravity)
    asked = Asked(packaged_l, VolumeAt.PACKAGE, gravity, None)
    second = assemble_plan(read_recipe(again), setup, calibration, asked, preferences)
    return SameAgain(
        packaged_l, gravity, again, second, blend_forecast((first, lot_of_plan(second)))
    )


def _most_left_out_l(course: Course) -> float:
    """Volume that may be left out before the wort leaves the scale of gravity. [L]"""
    extract_kg = course.mash_extract_kg + course.kettle_extract_kg
    return course.postboil_l - volume_at_gravity_l(extract_kg, STRONGEST_GRAVITY)


def _gravity_at(course: Course, calibration: Calibration, change_l: float) -> float:
    """Original gravity of the planned ingredients with so much more water; losses stay. [SG]"""
    extract_yield = course.potential_kg / course.grain_kg
    mash = MashPlan(course.grain_kg, extract_yield, course.preboil_l + change_l)
    from_mash_kg = mean_mash_efficiency(calibration, mash) * course.potential_kg
    return gravity_of_wort(from_mash_kg + course.kettle_extract_kg, course.postboil_l + change_l)


def _recipe_again(recipe: Recipe, plan: Plan, packaged_l: float, gravity: float) -> Recipe:
    """The recipe with the planned masses, written for the volume found.

    A plan lists what is mashed first and what is added after it, each in the recipe's order.
    """
    mashed = [line for line in recipe.grist if line.added_to is AddedTo.MASH]
    added = [line for line in recipe.grist if line.added_to is not AddedTo.MASH]
    grist = zip([*mashed, *added], plan.grist, strict=True)
    hops = zip(recipe.hop_bill, plan.hop_bill, strict=True)
    attenuation = plan.forecast.apparent_attenuation
    return replace(
        recipe,
        volume_l=packaged_l,
        volume_at=VolumeAt.PACKAGE,
        grist=tuple(replace(line, mass_kg=p.to_weigh_kg, share=None) for line, p in grist),
        hop_bill=tuple(replace(h, mass_kg=p.to_weigh_kg, bitterness_ibu=None) for h, p in hops),
        original_gravity=gravity,
        final_gravity=final_gravity(gravity, attenuation),
        efficiency=None,
        bitterness_ibu=None,
        colour_ebc=None,
    )
