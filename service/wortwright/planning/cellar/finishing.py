"""What a plan may carry beside the wort: treated water, mash pH, yeast, aged hops, bottles.

Each part is worked out where the brewer says what there is, and is None otherwise.
"""

from dataclasses import dataclass, field, replace

from wortwright.brewing.bottling import WARM_STORE_C
from wortwright.brewing.tables.malt_acidity import MaltClass
from wortwright.brewing.tables.packaging import BottleKind, PrimingSugar
from wortwright.brewing.water_treatment import BrewingWater
from wortwright.calibration.posterior import Calibration
from wortwright.planning.cellar.hops_in_store import (
    AgedHops,
    StoredHops,
    age_hops,
    calls_for,
    with_aged_hops,
)
from wortwright.planning.cellar.packaging import Bottling, BottlingAsked, plan_bottling
from wortwright.planning.cellar.pitch import Pitch, YeastAtHand, plan_pitch
from wortwright.planning.plan import Finding, Plan
from wortwright.planning.refit import make_plan, make_plan_alone
from wortwright.planning.target import Preferences, Target
from wortwright.planning.water.mash_acidity import MashPhForecast, forecast_mash_ph
from wortwright.planning.water.mash_malts import MaltInMash, PhWanted, class_of
from wortwright.planning.water.water_at_hand import WaterAtHand
from wortwright.planning.water.water_plan import WaterTreatment, treat_water
from wortwright.records.grist import AddedTo
from wortwright.records.recipe import Recipe
from wortwright.records.setup import Setup


@dataclass(frozen=True, slots=True)
class KnownMalt:
    """What is known of a malt's acidity, found by its name."""

    name: str
    malt_class: MaltClass | None = None
    distilled_water_ph: float | None = None
    buffering_meq_per_kg_ph: float | None = None


@dataclass(frozen=True, slots=True)
class PackagingWanted:
    """The bottles that a brew is planned for."""

    carbonation: float
    highest_temperature_c: float
    bottle: BottleKind
    sugar: PrimingSugar = PrimingSugar.SUCROSE
    store_temperature_c: float = WARM_STORE_C


@dataclass(frozen=True, slots=True)
class FinishingAsked:
    """What there is beside recipe and setup; None where nothing is said of it.

    ``mash_ph`` and ``malts`` belong to the water: without it the mash pH is not forecast.
    """

    water: WaterAtHand | None = None
    mash_ph: PhWanted = field(default_factory=PhWanted)
    malts: tuple[KnownMalt, ...] = ()
    yeast: YeastAtHand | None = None
    packaging: PackagingWanted | None = None
    hops: tuple[StoredHops, ...] = ()


NOTHING_ELSE = FinishingAsked()


@dataclass(frozen=True, slots=True)
class Finishing:
    """The parts that were asked for."""

    water: WaterTreatment | None = None
    mash_ph: MashPhForecast | None = None
    pitch: Pitch | None = None
    hops: tuple[AgedHops, ...] = ()
    bottling: Bottling | None = None


def make_finished_plan(
    recipe: Recipe,
    setup: Setup,
    calibration: Calibration,
    target: Target,
    preferences: Preferences,
    asked: FinishingAsked,
) -> tuple[Plan, Finishing]:
    """Refit a recipe to a setup, with water, yeast, hops and bottles where they are told.

    Parameters
    ----------
    recipe, setup, calibration, target, preferences
        As `make_plan`.
    asked : FinishingAsked
        What there is.

    Returns
    -------
    tuple of Plan and Finishing
        The plan is that of `make_plan`, but for the alpha acid of hops at hand.

    Raises
    ------
    IncompleteRecipeError, TargetError
        As `make_plan`.
    BottlePressureError
        If the bottles would not bear the carbonation wanted.
    OutOfRangeError
        For values outside their range.
    """
    hops = tuple(map(age_hops, asked.hops))
    if not any(calls_for(recipe, aged.name) for aged in hops):
        plan = make_plan(recipe, setup, calibration, target, preferences)
        return plan, _finish(plan, recipe, asked, hops)
    # As bitter as it would be, of the hops there are.
    written = make_plan_alone(recipe, setup, calibration, target, preferences)
    as_bitter = replace(target, bitterness_ibu=written.asked.bitterness_ibu)
    at_hand = with_aged_hops(recipe, hops)
    plan = make_plan(at_hand, setup, calibration, as_bitter, preferences)
    plan = replace(plan, recipe_reading=written.recipe_reading)
    return plan, _finish(plan, recipe, asked, hops)


def _finish(
    plan: Plan, recipe: Recipe, asked: FinishingAsked, hops: tuple[AgedHops, ...]
) -> Finishing:
    water = None if asked.water is None else _treated(plan, asked.water)
    return Finishing(
        water=water,
        mash_ph=None if water is None else _mash_ph(plan, recipe, asked, water),
        pitch=None if asked.yeast is None else _pitch(plan, asked.yeast),
        hops=tuple(_called_for(recipe, aged) for aged in hops),
        bottling=None if asked.packaging is None else _bottled(plan, asked.packaging),
    )


def _called_for(recipe: Recipe, aged: AgedHops) -> AgedHops:
    """Say so where the recipe has no use for the hops at hand."""
    if calls_for(recipe, aged.name):
        return aged
    found = Finding("hops_not_in_recipe", f"The recipe calls for no {aged.name}.")
    return replace(aged, warnings=(*aged.warnings, found))


def _treated(plan: Plan, at_hand: WaterAtHand) -> WaterTreatment:
    return treat_water(at_hand, BrewingWater(plan.water.strike_l, sum(plan.water.sparge_l)))


def _mash_ph(
    plan: Plan, recipe: Recipe, asked: FinishingAsked, water: WaterTreatment
) -> MashPhForecast:
    known = {malt.name.casefold(): malt for malt in asked.malts}
    # A plan keeps the recipe's order within the mash.
    planned = (line for line in plan.grist if line.added_to is AddedTo.MASH)
    written = (line for line in recipe.grist if line.added_to is AddedTo.MASH)
    malts = []
    for to_weigh, line in zip(planned, written, strict=True):
        said = known.get(line.name.casefold(), KnownMalt(line.name))
        malts.append(
            MaltInMash(
                line.name,
                to_weigh.to_weigh_kg,
                said.malt_class or class_of(line),
                said.distilled_water_ph,
                said.buffering_meq_per_kg_ph,
            )
        )
    return forecast_mash_ph(
        tuple(malts),
        water.mash_water,
        plan.water.strike_l,
        _mash_temperature_c(plan),
        asked.mash_ph,
    )


def _mash_temperature_c(plan: Plan) -> float:
    """Temperature of the longest rest. [degC]"""
    return max(plan.temperatures.mash, key=lambda rest: rest.time_min).temperature_c


def _pitch(plan: Plan, yeast: YeastAtHand) -> Pitch:
    return plan_pitch(plan.water.fermenter_l, plan.forecast.original_gravity.mean, yeast)


def _bottled(plan: Plan, wanted: PackagingWanted) -> Bottling:
    """Bottles of a beer that has finished where it is expected to, or else at the low end."""
    final = plan.forecast.final_gravity
    return plan_bottling(
        BottlingAsked(
            volume_l=plan.water.packaged_l,
            carbonation=wanted.carbonation,
            highest_temperature_c=wanted.highest_temperature_c,
            gravity=final.mean,
            expected_final_gravity=final.mean,
            lowest_final_gravity=final.low_80,
            bottle=wanted.bottle,
            sugar=wanted.sugar,
            store_temperature_c=wanted.store_temperature_c,
            alcohol=plan.forecast.alcohol_by_volume.mean,
        )
    )
