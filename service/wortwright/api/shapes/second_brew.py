"""The second brew of a pair, and sets of brews."""

from typing import Any

from marshmallow import ValidationError, fields, post_load, pre_dump

from wortwright.api.fields import StrictInteger, StrictNumber, UtcDateTime
from wortwright.api.quantity_field import Quantity
from wortwright.api.refusal import Refusal
from wortwright.api.schemas import InSchema, OutSchema
from wortwright.api.shapes.blend import (
    BeerLotOut,
    BlendForecastOut,
    LotIn,
    MissOut,
    WantedBlendIn,
    bitterness_field,
    check_told,
    colour_field,
    lots_field,
)
from wortwright.api.shapes.brewhouse import BrewhouseFields, brewhouse
from wortwright.api.shapes.common import (
    fraction_field,
    gravity_field,
    shallow,
    temperature_field,
    time_field,
    volume_field,
)
from wortwright.api.shapes.plan import PlanOut
from wortwright.api.shapes.recipe import RecipeContentOut
from wortwright.api.shapes.schedule import ScheduleOut
from wortwright.brewing.blending import WantedBlend
from wortwright.units import Dimension
from wortwright.usecases.beers import (
    BrewSetAsked,
    BrewSetPlanned,
    SecondAsked,
    SecondPlanned,
)

MOST_BREWS = 12


class SecondBrewIn(BrewhouseFields, InSchema):
    """A first brew and the blend wanted of it and a second one.

    All of the first's `volume` is blended with `second_volume` of the second, both as packaged.
    What `wanted` leaves out is the recipe's; any attenuation will do unless it says one.
    """

    first = fields.Nested(LotIn(), required=True)
    second_volume = volume_field("second_l", required=True)
    wanted = fields.Nested(WantedBlendIn(), allow_none=True)

    @post_load
    def build(self, data: dict[str, Any], **_: Any) -> Any:
        """Build the question."""
        wanted = data.get("wanted") or WantedBlend()
        if wanted.original_gravity is not None and wanted.alcohol_by_volume is not None:
            said = Refusal("Give either original_gravity or alcohol_by_volume.")
            raise ValidationError({"wanted": {"alcohol_by_volume": [said]}})
        check_told(data["first"], "first")
        return SecondAsked(brewhouse(data), data["first"], data["second_l"], wanted)


class SecondPlanOut(OutSchema):
    """A second brew and the blend that it makes; `misses` is empty if that is what was wanted.

    `character_factor` is what the masses per volume of the character malts are multiplied by
    for the colour; `recipe` is the one that was planned with.
    """

    original_gravity = gravity_field("original_gravity", required=True)
    final_gravity = gravity_field("final_gravity", required=True)
    apparent_attenuation = fraction_field("apparent_attenuation", required=True)
    bitterness = bitterness_field(required=True)
    colour = colour_field(required=True)
    mash_temperature = temperature_field("mash_temperature_c", required=True)
    character_factor = StrictNumber(minimum=0.0, required=True)
    recipe = fields.Nested(RecipeContentOut(), required=True)
    plan = fields.Nested(PlanOut(), required=True)
    blend = fields.Nested(BlendForecastOut(), required=True)
    misses = fields.List(fields.Nested(MissOut()), required=True)


class SameAgainOut(OutSchema):
    """The first brew's ingredients brewed again to less volume, all of both blended."""

    packaged = volume_field("packaged_l", required=True)
    original_gravity = gravity_field("original_gravity", required=True)
    recipe = fields.Nested(RecipeContentOut(), required=True)
    plan = fields.Nested(PlanOut(), required=True)
    blend = fields.Nested(BlendForecastOut(), required=True)


class SecondBrewOut(OutSchema):
    """The second brew of a pair.

    `same_ingredients` is null where the first was planned nowhere here, was not too weak, or no
    smaller volume makes up for it.
    """

    first = fields.Nested(BeerLotOut(), required=True)
    reached = fields.Boolean(required=True)
    second = fields.Nested(SecondPlanOut(), required=True)
    same_ingredients = fields.Nested(
        SameAgainOut(), required=True, allow_none=True, attribute="same"
    )

    @pre_dump
    def sum_up(self, planned: SecondPlanned, **_: Any) -> dict[str, Any]:
        """Say first whether the blend is what was wanted."""
        return {**shallow(planned), "reached": planned.second.reached}


class BrewSetIn(BrewhouseFields, InSchema):
    """One recipe brewed several times for `packaged` in all.

    `brewed` is what the first brews became: the later ones are planned with what the setup has
    learnt since, and make up in the blend for what those missed. `starts_at` lays the brews to
    come out on the fermenters.
    """

    packaged = volume_field("packaged_l", required=True)
    brews = StrictInteger(required=True, minimum=1, maximum=MOST_BREWS)
    gravity = gravity_field("gravity", exclusive_minimum=1.0, allow_none=True)
    bitterness = bitterness_field(allow_none=True)
    brewed = lots_field()
    starts_at = UtcDateTime(allow_none=True)

    @post_load
    def build(self, data: dict[str, Any], **_: Any) -> Any:
        """Build the question."""
        house, brewed = brewhouse(data), tuple(data.pop("brewed", ()))
        for place, lot in enumerate(brewed):
            check_told(lot, "brewed", place)
        return BrewSetAsked(house, brewed=brewed, **data)


class FermentableTotalOut(OutSchema):
    """One fermentable over all brews to come."""

    name = fields.String(required=True)
    kind = fields.String(required=True)
    mass = Quantity(Dimension.MASS, attribute="mass_kg", required=True)


class HopTotalOut(OutSchema):
    """One lot of hops over all brews to come."""

    name = fields.String(required=True)
    form = fields.String(required=True)
    alpha = fraction_field("alpha", required=True)
    mass = Quantity(Dimension.HOP_MASS, attribute="mass_kg", required=True)


class ScheduledBrewOut(OutSchema):
    """One brew of a set: its fermenter and its schedule."""

    recipe_name = fields.String(required=True)
    fermenter = fields.String(required=True)
    schedule = fields.Nested(ScheduleOut(), required=True)


class BrewSetOut(OutSchema):
    """The brews of a set that are still to come, each by `plan`; totals are of those.

    `blend` is of all brews. `misses` tells what of it is not what was wanted, once some have
    been brewed. `schedule` is empty without a start.
    """

    brewed = fields.List(fields.Nested(BeerLotOut()), required=True)
    to_brew = fields.Integer(required=True)
    plan = fields.Nested(PlanOut(), required=True)
    fermentables = fields.List(fields.Nested(FermentableTotalOut()), required=True)
    hops = fields.List(fields.Nested(HopTotalOut()), required=True)
    grain = Quantity(Dimension.MASS, attribute="grain_kg", required=True)
    water = volume_field("water_l", required=True)
    burner_time = time_field("burner_min", required=True)
    packaged = volume_field("packaged_l", required=True)
    dry_extract_in_reserve = Quantity(
        Dimension.MASS, attribute="dry_extract_in_reserve_kg", required=True
    )
    blend = fields.Nested(BlendForecastOut(), required=True)
    misses = fields.List(fields.Nested(MissOut()), required=True)
    schedule = fields.List(fields.Nested(ScheduledBrewOut()), required=True)

    @pre_dump
    def flatten(self, planned: BrewSetPlanned, **_: Any) -> dict[str, Any]:
        """Write the plan, which is the same for all, once."""
        made = planned.made
        plans = {"plan": made.plans[0], "to_brew": len(made.plans)}
        return {**shallow(made), **plans, "schedule": planned.schedule}
