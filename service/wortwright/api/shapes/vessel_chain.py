"""From the beer wanted in bottles back to the brews; and the small beer of the spent grain."""

from typing import Any

from marshmallow import ValidationError, fields, post_load

from wortwright.api.fields import StrictInteger
from wortwright.api.quantity_field import Quantity
from wortwright.api.refusal import Refusal
from wortwright.api.schemas import InSchema, OutSchema
from wortwright.api.shapes.blend import bitterness_field
from wortwright.api.shapes.brewhouse import BrewhouseFields, brewhouse
from wortwright.api.shapes.common import (
    Id,
    StrictFlag,
    gravity_field,
    temperature_field,
    time_field,
    volume_field,
)
from wortwright.api.shapes.plan import GravityForecastOut, PlanOut, WarningOut
from wortwright.api.shapes.scaling import TargetIn
from wortwright.planning.target import Target
from wortwright.planning.vessel_chain import ChainAsked
from wortwright.units import Dimension
from wortwright.usecases.plans import ChainWanted, SmallBeerAsked

MOST_CHAINED = 12


class VesselChainIn(BrewhouseFields, InSchema):
    """Beer wanted in bottles. Unless `aged` is false it goes through the ageing vessels.

    Gravity and bitterness default to the recipe's; `ageing_loss` is what stays with the yeast
    in each ageing vessel.
    """

    packaged = volume_field("packaged_l", required=True)
    aged = StrictFlag()
    gravity = gravity_field("gravity", exclusive_minimum=1.0, allow_none=True)
    bitterness = bitterness_field(allow_none=True)
    ageing_loss = volume_field("ageing_loss_l", 50.0, may_be_zero=True)
    cellar_temperature = temperature_field("cellar_c", maximum=40.0)
    max_brews = StrictInteger(minimum=1, maximum=MOST_CHAINED)

    @post_load
    def build(self, data: dict[str, Any], **_: Any) -> Any:
        """Build the question."""
        house = brewhouse(data)
        return ChainWanted(house, ChainAsked(**data))


class AgeingFillOut(OutSchema):
    """One ageing vessel: the beer in it, and the oxygen of the air above it if all dissolves.

    `oxygen` is per litre of the beer in that vessel; the trade aims at less than 0.1 mg/L.
    """

    vessel = fields.String(required=True)
    capacity = volume_field("capacity_l", required=True)
    beer = volume_field("beer_l", required=True)
    head_space = volume_field("head_space_l", required=True)
    oxygen = Quantity(Dimension.CONCENTRATION, attribute="oxygen_mg_l", required=True)


class ChainStepOut(OutSchema):
    """Volume at one place of the chain, of all brews, and what stays behind there."""

    at = fields.String(required=True)
    volume = volume_field("volume_l", required=True)
    left_behind = volume_field("left_behind_l", required=True)


class VesselChainOut(OutSchema):
    """The whole chain: as many equal `brews`, each by `plan`.

    `surplus` is brewed beyond what was wanted so that every ageing vessel is full to the neck;
    `part_filled` is what the vessels would be without it.
    """

    packaged = volume_field("packaged_l", required=True)
    brews = fields.Integer(required=True)
    plan = fields.Nested(PlanOut(), required=True)
    ageing = fields.List(fields.Nested(AgeingFillOut()), required=True)
    part_filled = fields.List(fields.Nested(AgeingFillOut()), required=True)
    steps = fields.List(fields.Nested(ChainStepOut()), required=True)
    surplus = volume_field("surplus_l", required=True)
    left_behind = volume_field("left_behind_l", required=True)
    warnings = fields.List(fields.Nested(WarningOut()), required=True, attribute="findings")


class SmallBeerIn(BrewhouseFields, InSchema):
    """A brew whose drained grain is rinsed: a scaling, or a recipe on a setup and its target.

    Either the `rinse` is given, or the original `gravity` that it should make.
    """

    scaling_id = Id(allow_none=True)
    target = fields.Nested(TargetIn())
    rinse = volume_field("rinse_l", 500.0, allow_none=True)
    gravity = gravity_field("gravity", minimum=1.012, allow_none=True)
    boil_time = time_field("boil_min")

    @post_load
    def build(self, data: dict[str, Any], **_: Any) -> Any:
        """Build the question, if brew and rinse are each told in one way."""
        if (data.get("rinse_l") is None) == (data.get("gravity") is None):
            said = Refusal("Give either rinse or gravity.", ("rinse", "gravity"))
            raise ValidationError({"rinse": [said]})
        scaling_id, target = data.pop("scaling_id", None), data.pop("target", None)
        if scaling_id is None:
            return SmallBeerAsked(brewhouse(data), target or Target(), **data)
        beside = data.keys() & {"setup_id", "setup", "recipe_id", "recipe", "preferences"}
        beside |= {"target"} if target is not None else set()
        if beside:
            said = Refusal("A scaling has its own recipe, setup and target.")
            raise ValidationError({name: [said] for name in sorted(beside)})
        return SmallBeerAsked(scaling_id, **data)


class SmallBeerOut(OutSchema):
    """Wort from rinsing the drained grain, stirred up once and drained again.

    `extract` is what is rinsed out, `left` what stays in the grain even then.
    """

    rinse = volume_field("rinse_l", required=True)
    preboil = volume_field("preboil_l", required=True)
    preboil_gravity = fields.Nested(GravityForecastOut(), required=True)
    boil_time = time_field("boil_min", required=True)
    postboil = volume_field("postboil_l", required=True)
    original_gravity = fields.Nested(GravityForecastOut(), required=True)
    extract = Quantity(Dimension.MASS, attribute="extract_kg", required=True)
    left = Quantity(Dimension.MASS, attribute="left_kg", required=True)
