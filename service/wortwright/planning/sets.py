"""Several brews as one set: what to buy and weigh for all of them, and their blend."""

from collections.abc import Sequence
from dataclasses import dataclass

from wortwright.brewing.blending import Miss, WantedBlend
from wortwright.calibration.posterior import Calibration
from wortwright.planning.blends.blend import (
    BeerLot,
    BlendForecast,
    blend_forecast,
    lot_of_blend,
    lot_of_plan,
)
from wortwright.planning.blends.second_brew import Pair, plan_second_brew
from wortwright.planning.plan import Plan
from wortwright.planning.refit import make_plan
from wortwright.planning.target import Preferences, Target, TargetError
from wortwright.records.grist import HopForm, Kind
from wortwright.records.recipe import Recipe, VolumeAt
from wortwright.records.sentence import litres, say
from wortwright.records.setup import Setup


@dataclass(frozen=True, slots=True)
class FermentableTotal:
    """One fermentable over all brews of a set. [kg]"""

    name: str
    kind: Kind
    mass_kg: float


@dataclass(frozen=True, slots=True)
class HopTotal:
    """One lot of hops over all brews of a set. [kg]"""

    name: str
    form: HopForm
    alpha: float
    mass_kg: float


@dataclass(frozen=True, slots=True)
class BrewSet:
    """Brews that belong together; totals are of those to come, ``blend`` is of all of them.

    ``misses`` tells what of the blend is not what was wanted, once some have been brewed.
    """

    plans: tuple[Plan, ...]
    fermentables: tuple[FermentableTotal, ...]
    hops: tuple[HopTotal, ...]
    grain_kg: float
    water_l: float
    burner_min: float
    fermenter_l: tuple[float, ...]
    packaged_l: float
    dry_extract_in_reserve_kg: float
    blend: BlendForecast
    brewed: tuple[BeerLot, ...] = ()
    misses: tuple[Miss, ...] = ()


@dataclass(frozen=True, slots=True)
class SetAsked:
    """One recipe brewed ``brews`` times for ``packaged_l`` in all.

    ``brewed`` is what the first of them became; gravity and bitterness are of the whole, and
    default to the recipe's.
    """

    packaged_l: float
    brews: int
    gravity: float | None = None
    bitterness_ibu: float | None = None
    brewed: tuple[BeerLot, ...] = ()


def plan_set(
    recipe: Recipe,
    setup: Setup,
    calibration: Calibration,
    asked: SetAsked,
    preferences: Preferences,
) -> BrewSet:
    """Plan the brews of a set that are still to come, all alike.

    Parameters
    ----------
    recipe : Recipe
        What all are made by.
    setup : Setup
        Where they are brewed.
    calibration : Calibration
        What the setup does, with all that the brews so far have taught.
    asked : SetAsked
        The whole, and what there is of it.
    preferences : Preferences
        How the brewer wants it.

    Returns
    -------
    BrewSet
        After a first brew the later ones make up for what it missed, as far as they can.

    Raises
    ------
    IncompleteRecipeError
        If the recipe's numbers do not give a beer.
    TargetError
        If nothing is left to brew, or no beer of this recipe fits.
    """
    to_come = asked.brews - len(asked.brewed)
    made_l = sum(lot.volume_l for lot in asked.brewed)
    if to_come < 1:
        raise TargetError("brews", f"all {asked.brews} are brewed; ask for more")
    if made_l >= asked.packaged_l:
        said = say("{made} are brewed already; ask for more", made=litres(made_l))
        raise TargetError("packaged", said)
    each_l = (asked.packaged_l - made_l) / to_come
    if not asked.brewed:
        target = Target(each_l, VolumeAt.PACKAGE, asked.gravity, asked.bitterness_ibu)
        plan = make_plan(recipe, setup, calibration, target, preferences)
        return make_set([plan] * to_come)
    so_far = lot_of_blend("brewed so far", blend_forecast(asked.brewed))
    wanted = WantedBlend(original_gravity=asked.gravity, bitterness_ibu=asked.bitterness_ibu)
    # The same blend in every bottle: each brew to come makes up for its share.
    pair = Pair(so_far, made_l / to_come, each_l, wanted)
    second = plan_second_brew(recipe, setup, calibration, pair, preferences)
    return make_set([second.plan] * to_come, asked.brewed, second.misses)


def make_set(
    plans: Sequence[Plan], brewed: tuple[BeerLot, ...] = (), misses: tuple[Miss, ...] = ()
) -> BrewSet:
    """Put several brews together.

    Parameters
    ----------
    plans : sequence of Plan
        At least one; the same plan may stand several times.
    brewed : tuple of BeerLot
        What was brewed before them.
    misses : tuple of Miss
        What of the blend is not what was wanted.

    Returns
    -------
    BrewSet
        Totals as weighed, in the order in which they first occur, and the blend.

    Raises
    ------
    OutOfRangeError
        Without a brew.
    """
    fermentables: dict[tuple[str, Kind], float] = {}
    hops: dict[tuple[str, HopForm, float], float] = {}
    for plan in plans:
        for line in plan.grist:
            key = (line.name, line.kind)
            fermentables[key] = fermentables.get(key, 0.0) + line.to_weigh_kg
        for hop in plan.hop_bill:
            lot = (hop.name, hop.form, hop.alpha)
            hops[lot] = hops.get(lot, 0.0) + hop.to_weigh_kg
    return BrewSet(
        plans=tuple(plans),
        fermentables=tuple(FermentableTotal(*key, mass) for key, mass in fermentables.items()),
        hops=tuple(HopTotal(*lot, mass) for lot, mass in hops.items()),
        grain_kg=sum(plan.grain_kg for plan in plans),
        water_l=sum(plan.water.total_l for plan in plans),
        burner_min=sum(plan.temperatures.boil_time_min for plan in plans),
        fermenter_l=tuple(plan.water.fermenter_l for plan in plans),
        packaged_l=sum(plan.water.packaged_l for plan in plans),
        dry_extract_in_reserve_kg=sum(plan.in_reserve.dry_extract_kg for plan in plans),
        blend=blend_forecast([*brewed, *(lot_of_plan(plan) for plan in plans)]),
        brewed=brewed,
        misses=misses,
    )
