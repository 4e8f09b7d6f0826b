"""Scalings: what is asked for and what is answered."""

from dataclasses import fields as fields_of
from typing import Any

from marshmallow import Schema, ValidationError, fields, post_load, pre_dump, validate

from wortwright.api.fields import Choice, StrictInteger, UtcDateTime
from wortwright.api.quantity_field import Quantity
from wortwright.api.refusal import Refusal
from wortwright.api.schemas import InSchema, OutSchema
from wortwright.api.sentences import SentenceField
from wortwright.api.shapes.common import (
    MOST_LINES,
    Id,
    StrictFlag,
    fraction_field,
    gravity_field,
    shallow,
    temperature_field,
    time_field,
    volume_field,
)
from wortwright.api.shapes.hops import AgedHopsOut, StoredHopsIn
from wortwright.api.shapes.mash_ph import MashPhForecastOut
from wortwright.api.shapes.packaging import BottlingOut, PlannedPackagingIn
from wortwright.api.shapes.pitch import PitchOut, YeastAtHandIn
from wortwright.api.shapes.plan import AskedOut, PlanOut
from wortwright.api.shapes.recipe import RecipeContentOut, RecipeIn
from wortwright.api.shapes.setup import SetupContentOut, SetupIn
from wortwright.api.shapes.water_treatment import (
    BrewersWaterIn,
    WaterOfBrewer,
    WaterTreatmentOut,
)
from wortwright.brewing.hops import UtilisationModel
from wortwright.planning.cellar.finishing import FinishingAsked
from wortwright.planning.limits import Limits, WayKind
from wortwright.planning.target import GristPolicy, Preferences, Target, WeighIn
from wortwright.records.recipe import VolumeAt
from wortwright.units import Dimension
from wortwright.usecases.scalings import BatchAsked, Scaling, ScalingAsked

MOST_RECIPES = 200
MOST_BREWS = 6
LONGEST_BOIL_MIN = 240.0
MOST_ADDED_SHARE = 0.8
LIMITS = frozenset(field.name for field in fields_of(Limits))


class TargetFields(Schema):
    """The beer wanted."""

    volume = volume_field("volume_l", allow_none=True)
    volume_at = Choice(VolumeAt, allow_none=True)
    gravity = gravity_field("gravity", exclusive_minimum=1.0, allow_none=True)
    bitterness = Quantity(
        Dimension.BITTERNESS,
        attribute="bitterness_ibu",
        minimum=0.0,
        maximum=300.0,
        allow_none=True,
    )


class TargetIn(TargetFields, InSchema):
    """The beer wanted; what is left out is the recipe's."""

    record = Target


class TargetOut(TargetFields, OutSchema):
    """The beer wanted, as it was asked for."""


class PreferencesFields(Schema):
    """How the brewer wants it."""

    grist_policy = Choice(
        GristPolicy,
        metadata={
            "description": "`keep_shares`: all malts scale together. `keep_character`: character "
            "malts hold their mass per volume and base malt takes up the difference."
        },
    )
    bitterness_formula = Choice(UtilisationModel)
    weigh_in = Choice(
        WeighIn, metadata={"description": "What `to_weigh` is rounded to; metric by default."}
    )
    grain_temperature = temperature_field("grain_temperature_c", maximum=50.0)
    no_extract = StrictFlag(metadata={"description": "No malt extract that the recipe lacks."})
    no_sugar = StrictFlag(metadata={"description": "No sugar that the recipe lacks."})
    no_rinse = StrictFlag(metadata={"description": "No water over the drained grain."})
    max_boil = time_field("max_boil_min", maximum=LONGEST_BOIL_MIN)
    max_brews = StrictInteger(minimum=1, maximum=MOST_BREWS)
    largest_extract_share = fraction_field("largest_extract_share", maximum=MOST_ADDED_SHARE)
    largest_sugar_share = fraction_field("largest_sugar_share", maximum=MOST_ADDED_SHARE)
    prefer = fields.List(Choice(WayKind), validate=validate.Length(max=len(WayKind)))


class PreferencesIn(PreferencesFields, InSchema):
    """How the brewer wants it.

    From `no_extract` on they hold for the ways out of a plan that does not fit: what the brewer
    will not do, and in `prefer` what they would rather do, the most welcome kind first. Shares
    are of all the extract.
    """

    @post_load
    def build(self, data: dict[str, Any], **_: Any) -> Any:
        """Put the limits apart."""
        limits = {name: data.pop(name) for name in LIMITS if name in data}
        prefer = tuple(limits.pop("prefer", ()))
        return Preferences(**data, limits=Limits(**limits, prefer=prefer))


class PreferencesOut(PreferencesFields, OutSchema):
    """How the brewer wanted it."""

    @pre_dump
    def flatten(self, preferences: Preferences, **_: Any) -> dict[str, Any]:
        """Put the limits beside the rest."""
        return {**shallow(preferences), **shallow(preferences.limits)}


class ScalingIn(InSchema):
    """What to scale onto what: each either by the id of a stored one or written out.

    With `water` the plan's water is treated and its mash pH forecast, with `yeast` the pitch is
    worked out, with `packaging` the bottles. `hops_in_store` puts the alpha acid of the hops at
    hand, found by name, in place of the recipe's.
    """

    setup_id = Id(allow_none=True)
    setup = fields.Nested(SetupIn(), allow_none=True)
    recipe_id = Id(allow_none=True)
    recipe = fields.Nested(RecipeIn(), allow_none=True)
    target = fields.Nested(TargetIn())
    preferences = fields.Nested(PreferencesIn())
    water = fields.Nested(BrewersWaterIn(), allow_none=True)
    yeast = fields.Nested(YeastAtHandIn(), allow_none=True)
    packaging = fields.Nested(PlannedPackagingIn(), allow_none=True)
    hops_in_store = fields.List(
        fields.Nested(StoredHopsIn()), validate=validate.Length(max=MOST_LINES)
    )

    @post_load
    def build(self, data: dict[str, Any], **_: Any) -> Any:
        """Build what is asked for, if setup and recipe are each given once."""
        return ScalingAsked(
            setup=one_of(data, "setup"),
            recipe=one_of(data, "recipe"),
            target=data.get("target") or Target(),
            preferences=data.get("preferences") or Preferences(),
            also=_also(data),
        )


class BatchIn(InSchema):
    """Stored recipes to scale onto one stored setup."""

    setup_id = Id(required=True)
    recipe_ids = fields.List(Id(), required=True, validate=validate.Length(min=1, max=MOST_RECIPES))
    target = fields.Nested(TargetIn())
    preferences = fields.Nested(PreferencesIn())

    record = BatchAsked


class ComputedFromOut(OutSchema):
    """The stored things, and their versions, that a scaling rests on; null where written out."""

    setup_id = Id(required=True, allow_none=True)
    setup_version = fields.Integer(required=True, allow_none=True)
    recipe_id = Id(required=True, allow_none=True)
    recipe_version = fields.Integer(required=True, allow_none=True)
    calibration_version = fields.Integer(
        required=True, allow_none=True, attribute="calibration_number"
    )


class ScalingOut(OutSchema):
    """A recipe refitted to a setup, with all it was computed from.

    `id` and `created_at` are null where it was computed and not stored; `water_treatment`,
    `mash_ph`, `pitch` and `bottling` where the request told nothing that they rest on.
    """

    id = Id(required=True, allow_none=True)
    created_at = UtcDateTime(required=True, allow_none=True)
    brewer_id = Id(required=True, allow_none=True)
    computed_from = fields.Nested(ComputedFromOut(), required=True)
    recipe = fields.Nested(RecipeContentOut(), required=True)
    setup = fields.Nested(SetupContentOut(), required=True)
    target = fields.Nested(TargetOut(), required=True)
    preferences = fields.Nested(PreferencesOut(), required=True)
    plan = fields.Nested(PlanOut(), required=True)
    water_treatment = fields.Nested(
        WaterTreatmentOut(), required=True, allow_none=True, attribute="finishing.water"
    )
    mash_ph = fields.Nested(
        MashPhForecastOut(), required=True, allow_none=True, attribute="finishing.mash_ph"
    )
    pitch = fields.Nested(PitchOut(), required=True, allow_none=True, attribute="finishing.pitch")
    hops_in_store = fields.List(
        fields.Nested(AgedHopsOut()), required=True, attribute="finishing.hops"
    )
    bottling = fields.Nested(
        BottlingOut(), required=True, allow_none=True, attribute="finishing.bottling"
    )

    @pre_dump
    def flatten(self, scaling: Scaling, **_: Any) -> dict[str, Any]:
        """Put the facts of the row and the document side by side."""
        facts = shallow(scaling)
        return {**shallow(facts.pop("scaled")), **facts}


class ScalingListedOut(OutSchema):
    """A stored scaling in a list; its plan is at its own address."""

    id = Id(required=True)
    created_at = UtcDateTime(required=True)
    brewer_id = Id(required=True, allow_none=True)
    computed_from = fields.Nested(ComputedFromOut(), required=True)
    recipe_name = fields.String(required=True)
    setup_name = fields.String(required=True)


class BatchResultOut(OutSchema):
    """One recipe on the setup, before anything is rounded to what a scale shows.

    Where `reaches_gravity` is false the figures are of the most extract that the mash gives.
    """

    recipe_name = fields.String(required=True)
    asked = fields.Nested(AskedOut(), required=True)
    grain = Quantity(Dimension.MASS, attribute="grain_kg", required=True)
    mash_efficiency = fraction_field("mash_efficiency", required=True)
    original_gravity = gravity_field("original_gravity", required=True)
    preboil = volume_field("preboil_l", required=True)
    fits = fields.Boolean(required=True)
    reaches_gravity = fields.Boolean(required=True)


class BatchItemOut(OutSchema):
    """What came of one recipe, or why nothing did. Its whole plan is what a scaling gives."""

    recipe_id = Id(required=True)
    recipe_version = fields.Integer(required=True, allow_none=True)
    result = fields.Nested(BatchResultOut(), required=True, allow_none=True, attribute="line")
    refused_because = SentenceField(required=True, allow_none=True)


class BatchOut(OutSchema):
    """The outcomes, in the order in which the recipes were named."""

    computed_from = fields.Nested(ComputedFromOut(), required=True)
    items = fields.List(fields.Nested(BatchItemOut()), required=True)


def _also(data: dict[str, Any]) -> FinishingAsked:
    """Gather what was told beside recipe and setup."""
    water: WaterOfBrewer | None = data.get("water")
    of_water: dict[str, Any] = {}
    if water is not None:
        of_water = {"water": water.at_hand, "mash_ph": water.mash_ph, "malts": water.malts}
    return FinishingAsked(
        **of_water,
        yeast=data.get("yeast"),
        packaging=data.get("packaging"),
        hops=tuple(data.get("hops_in_store", ())),
    )


def one_of(data: dict[str, Any], name: str) -> Any:
    """Give what is named by its id or written out, if it is one of the two."""
    by_id, written = data.get(f"{name}_id"), data.get(name)
    if (by_id is None) == (written is None):
        said = Refusal(f"Give either {name}_id or {name}.", (f"{name}_id", name))
        raise ValidationError({name: [said]})
    return by_id if written is None else written
