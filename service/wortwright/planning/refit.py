"""Recipe, setup, calibration and target in; a plan out. Pure: no clock, no database."""

from dataclasses import replace

from wortwright.calibration.posterior import Calibration
from wortwright.planning.assembling import assemble_plan
from wortwright.planning.brewhouse import Brewhouse
from wortwright.planning.plan import Asked, Plan
from wortwright.planning.recipe import ReadRecipe, read_recipe
from wortwright.planning.target import Preferences, Target
from wortwright.planning.ways.offer import offer_ways
from wortwright.records.recipe import Recipe, VolumeAt
from wortwright.records.setup import Setup


def make_plan(
    recipe: Recipe,
    setup: Setup,
    calibration: Calibration,
    target: Target,
    preferences: Preferences,
) -> Plan:
    """Refit a recipe to a setup.

    Parameters
    ----------
    recipe : Recipe
        As its author wrote it, for their system.
    setup : Setup
        The system it is to be brewed on.
    calibration : Calibration
        What that system is known to do.
    target : Target
        The beer wanted; what is left out is the recipe's.
    preferences : Preferences
        How the brewer wants it.

    Returns
    -------
    Plan
        With ways out where it does not fit or cannot reach its gravity.

    Raises
    ------
    IncompleteRecipeError
        If the recipe's numbers do not give a beer.
    TargetError
        If nothing would be left after the losses.
    """
    house = Brewhouse(read_recipe(recipe), setup, calibration, preferences)
    asked = asked_of(house.read, target)
    plan = house.plan(asked)
    if plan.fit.fits and plan.fit.reaches_gravity:
        return plan
    return replace(plan, ways_out=offer_ways(house, asked, preferences.limits))


def make_plan_alone(
    recipe: Recipe,
    setup: Setup,
    calibration: Calibration,
    target: Target,
    preferences: Preferences,
) -> Plan:
    """Refit a recipe as `make_plan` does, without looking for ways out.

    Parameters
    ----------
    recipe, setup, calibration, target, preferences
        As `make_plan`.

    Returns
    -------
    Plan
        Without ways out.

    Raises
    ------
    IncompleteRecipeError, TargetError
        As `make_plan`.
    """
    read = read_recipe(recipe)
    return assemble_plan(read, setup, calibration, asked_of(read, target), preferences)


def asked_of(read: ReadRecipe, target: Target) -> Asked:
    """Fill in what a target leaves to the recipe.

    Parameters
    ----------
    read : ReadRecipe
        The recipe.
    target : Target
        The beer wanted.

    Returns
    -------
    Asked
        Whole; a volume of a recipe that does not say where is counted in the fermenter.
    """
    volume_at = target.volume_at or read.volume_at
    if volume_at is VolumeAt.UNKNOWN:
        volume_at = VolumeAt.FERMENTER
    return Asked(
        volume_l=target.volume_l or read.recipe.volume_l,
        volume_at=volume_at,
        gravity=target.gravity or read.original_gravity,
        bitterness_ibu=target.bitterness_ibu,
    )
