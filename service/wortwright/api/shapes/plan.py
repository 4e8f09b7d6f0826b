"""The plan: what a scaling answers with."""

from marshmallow import Schema, fields

from wortwright.api.fields import Choice
from wortwright.api.quantity_field import Quantity
from wortwright.api.schemas import OutSchema
from wortwright.api.sentences import SentenceField
from wortwright.api.shapes.common import (
    fraction_field,
    gravity_field,
    temperature_field,
    time_field,
    volume_field,
)
from wortwright.api.shapes.recipe import RecipeContentOut
from wortwright.api.shapes.setup import SetupContentOut
from wortwright.records.grist import AddedTo, HopForm, Kind, Moment, Purpose, Role
from wortwright.records.recipe import VolumeAt
from wortwright.units import Dimension


def _mass(attribute: str, *, allow_none: bool = False) -> Quantity:
    return Quantity(Dimension.MASS, attribute=attribute, required=True, allow_none=allow_none)


def _hops(attribute: str) -> Quantity:
    return Quantity(Dimension.HOP_MASS, attribute=attribute, required=True)


def _volume(attribute: str) -> Quantity:
    return volume_field(attribute, required=True)


def _bitterness(*, allow_none: bool = False) -> Quantity:
    return Quantity(
        Dimension.BITTERNESS, attribute="bitterness_ibu", required=True, allow_none=allow_none
    )


def _colour() -> Quantity:
    return Quantity(Dimension.COLOUR, attribute="colour_ebc", required=True)


def _text() -> fields.String:
    return fields.String(required=True)


def _said() -> SentenceField:
    return SentenceField(required=True)


def _part(schema: Schema, *, allow_none: bool = False) -> fields.Nested:
    return fields.Nested(schema, required=True, allow_none=allow_none)


def _parts(schema: Schema) -> fields.List[fields.Nested]:
    return fields.List(fields.Nested(schema), required=True)


class FractionIntervalOut(OutSchema):
    """The ends of an interval."""

    low = fraction_field("low", required=True)
    high = fraction_field("high", required=True)


class FractionForecastOut(OutSchema):
    """A fraction to come: its mean and its 80 % interval."""

    mean = fraction_field("mean", required=True)
    interval_80 = _part(FractionIntervalOut())


class GravityIntervalOut(OutSchema):
    """The ends of an interval."""

    low = gravity_field("low", required=True)
    high = gravity_field("high", required=True)


class GravityForecastOut(OutSchema):
    """A gravity to come: its mean and its 80 % interval."""

    mean = gravity_field("mean", required=True)
    interval_80 = _part(GravityIntervalOut())


class VolumeIntervalOut(OutSchema):
    """The ends of an interval."""

    low = _volume("low")
    high = _volume("high")


class VolumeForecastOut(OutSchema):
    """A volume to come: its mean and its 80 % interval."""

    mean = _volume("mean")
    interval_80 = _part(VolumeIntervalOut())


class WarningOut(OutSchema):
    """A doubt about a number."""

    code = _text()
    detail = _said()


class CautionOut(OutSchema):
    """A harm to a person that the plan can do."""

    code = _text()
    hazard = _said()
    advice = _said()


class PlannedFermentableOut(OutSchema):
    """One line of the grist: the exact mass, and what a scale can do."""

    name = _text()
    kind = Choice(Kind, required=True)
    added_to = Choice(AddedTo, required=True)
    role = Choice(Role, required=True)
    exact = _mass("exact_kg")
    to_weigh = _mass("to_weigh_kg")
    share_of_extract = fraction_field("share_of_extract", required=True)


class PlannedHopOut(OutSchema):
    """One hop addition: the exact mass, and what a scale can do."""

    name = _text()
    form = Choice(HopForm, required=True)
    moment = Choice(Moment, required=True)
    purpose = Choice(Purpose, required=True)
    alpha = fraction_field("alpha", required=True)
    time = time_field("time_min", required=True)
    temperature = temperature_field("temperature_c", required=True, allow_none=True)
    exact = _hops("exact_kg")
    to_weigh = _hops("to_weigh_kg")
    bitterness = _bitterness()


class WaterPlanOut(OutSchema):
    """Water in and wort out, at 20 degC unless it says hot; `sparge` has one entry a sparge."""

    strike = _volume("strike_l")
    sparge = fields.List(Quantity(Dimension.VOLUME), required=True, attribute="sparge_l")
    total = _volume("total_l")
    absorbed = _volume("absorbed_l")
    dead_space = _volume("dead_space_l")
    preboil = _volume("preboil_l")
    preboil_hot = _volume("preboil_hot_l")
    boiled_off = _volume("boiled_off_l")
    postboil = _volume("postboil_l")
    postboil_hot = _volume("postboil_hot_l")
    kettle_loss = _volume("kettle_loss_l")
    fermenter = _volume("fermenter_l")
    fermenter_loss = _volume("fermenter_loss_l")
    packaged = _volume("packaged_l")


class PlannedRestOut(OutSchema):
    """One rest of the mash."""

    temperature = temperature_field("temperature_c", required=True)
    time = time_field("time_min", required=True)


class TemperaturePlanOut(OutSchema):
    """Temperatures to reach.

    `first_rest_ends` is where the first rest ends if no heat is added; null in plans made before
    that was told.
    """

    strike_water = temperature_field("strike_water_c", required=True)
    grain = temperature_field("grain_c", required=True)
    mash = _parts(PlannedRestOut())
    first_rest_ends = temperature_field("first_rest_ends_c", required=True, allow_none=True)
    boil_time = time_field("boil_time_min", required=True)


class BeerForecastOut(OutSchema):
    """What this setup will make of what is weighed.

    `outside_seen_range` tells how far the brew lies beyond what the sessions tried, as a
    fraction of the nearest; it is null before any session. `potential_gravity` is null beyond
    the end of the scale of gravity.
    """

    mash_efficiency = _part(FractionForecastOut())
    brewhouse_efficiency = _part(FractionForecastOut())
    preboil_gravity = _part(GravityForecastOut())
    original_gravity = _part(GravityForecastOut())
    final_gravity = _part(GravityForecastOut())
    alcohol_by_volume = _part(FractionForecastOut())
    apparent_attenuation = fraction_field("apparent_attenuation", required=True)
    apparent_attenuation_sd = fraction_field("attenuation_sd", required=True)
    postboil = fields.Nested(VolumeForecastOut(), required=True, attribute="postboil_l")
    bitterness = _bitterness()
    bitterness_formula = _text()
    colour = _colour()
    grain_load_kg_per_l = fields.Float(required=True)
    potential_gravity = gravity_field("potential_gravity", required=True, allow_none=True)
    outside_seen_range = fields.Float(required=True, allow_none=True)


class VesselFitOut(OutSchema):
    """One volume against one vessel, as hot as it will be."""

    vessel = _text()
    at = _text()
    needed = _volume("needed_l")
    usable = _volume("usable_l")
    capacity = _volume("capacity_l")
    fits = fields.Boolean(required=True)
    detail = _said()


class FitOut(OutSchema):
    """Whether it all goes in, and reaches its gravity."""

    fits = fields.Boolean(required=True)
    reaches_gravity = fields.Boolean(required=True)
    checks = _parts(VesselFitOut())
    largest_grain_bill = _mass("largest_grain_bill_kg")
    ceiling_gravity = gravity_field("ceiling_gravity", required=True, allow_none=True)
    wet_bag_drained = _mass("wet_bag_drained_kg", allow_none=True)
    wet_bag_lifted = _mass("wet_bag_lifted_kg", allow_none=True)


class InReserveOut(OutSchema):
    """What to have at hand: dry extract for the low end, water for the high end."""

    dry_extract = _mass("dry_extract_kg")
    top_up = _volume("top_up_l")


class AlternativeOut(OutSchema):
    """What would come of the grain that another rule asks for."""

    efficiency = fraction_field("efficiency", required=True)
    grain = _mass("grain_kg")
    original_gravity = _part(GravityForecastOut())


class ComparedWithOut(OutSchema):
    """The plan beside the two rules in common use; null where a rule has no number."""

    stated_efficiency = _part(AlternativeOut(), allow_none=True)
    average_efficiency = _part(AlternativeOut(), allow_none=True)


class RecipeReadingOut(OutSchema):
    """How the recipe was read, and which of its numbers were believed."""

    volume = _volume("volume_l")
    volume_at = Choice(VolumeAt, required=True)
    original_gravity = gravity_field("original_gravity", required=True)
    implied_efficiency = fraction_field("implied_efficiency", required=True)
    stated_efficiency = fraction_field("stated_efficiency", required=True, allow_none=True)
    bitterness = _bitterness()
    colour = _colour()
    believed = _text()


class AskedOut(OutSchema):
    """The target with every default filled in."""

    volume = _volume("volume_l")
    volume_at = Choice(VolumeAt, required=True)
    gravity = gravity_field("gravity", required=True)
    bitterness = _bitterness(allow_none=True)


class WayOutOut(OutSchema):
    """One alternative where the plan does not fit: a whole plan, and its price.

    `plan` is of one brew, made `brews` times; the figures beside it are of all of them.
    `added_extract` is malt extract or sugar that the recipe does not have, `burner_time` the
    time at the boil, `rinse` the water over the drained grain. `recipe` and `setup` are what was
    planned with, null where the way changes nothing about them.
    """

    kind = _text()
    detail = _said()
    brews = fields.Integer(required=True)
    volume = _volume("volume_l")
    original_gravity = gravity_field("original_gravity", required=True)
    grain = _mass("grain_kg")
    added_extract = _mass("added_extract_kg")
    burner_time = time_field("burner_min", required=True)
    rinse = _volume("rinse_l")
    risks = _parts(WarningOut())
    recipe = _part(RecipeContentOut(), allow_none=True)
    setup = _part(SetupContentOut(), allow_none=True)
    plan = fields.Nested(lambda: PlanOut(), required=True)


class PlanOut(OutSchema):
    """A recipe refitted to a setup."""

    recipe_name = _text()
    setup_name = _text()
    asked = _part(AskedOut())
    recipe_reading = _part(RecipeReadingOut())
    grist = _parts(PlannedFermentableOut())
    grain = _mass("grain_kg")
    hop_bill = _parts(PlannedHopOut())
    water = _part(WaterPlanOut())
    temperatures = _part(TemperaturePlanOut())
    forecast = _part(BeerForecastOut())
    fit = _part(FitOut())
    in_reserve = _part(InReserveOut())
    compared_with = _part(ComparedWithOut())
    warnings = _parts(WarningOut())
    cautions = _parts(CautionOut())
    ways_out = _parts(WayOutOut())
