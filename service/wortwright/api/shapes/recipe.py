"""Recipes."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import fsum
from typing import Any
from uuid import UUID

from marshmallow import Schema, ValidationError, fields, post_load, pre_dump, validate

from wortwright.api.fields import Choice, StrictText
from wortwright.api.quantity_field import Quantity
from wortwright.api.refusal import Refusal
from wortwright.api.schemas import InSchema, OutSchema
from wortwright.api.shapes.common import (
    MOST_LINES,
    Owner,
    StoredFields,
    flat,
    fraction_field,
    gravity_field,
    name_field,
    temperature_field,
    time_field,
    volume_field,
)
from wortwright.api.shapes.grist import (
    FermentableIn,
    FermentableOut,
    GristLine,
    HopAdditionIn,
    HopAdditionOut,
)
from wortwright.records.grist import ShareOf
from wortwright.records.recipe import EfficiencyKind, MashStep, Recipe, VolumeAt, Yeast
from wortwright.records.sentence import in_percent
from wortwright.units import Dimension

MOST_RESTS = 20

# How far the shares of a grist may be from 1 together: print rounds them.
SHARES_SLACK = 0.005


class MashStepFields(Schema):
    """A rest of the mash."""

    temperature = temperature_field("temperature_c", required=True, minimum=20.0, maximum=80.0)
    time = time_field("time_min", required=True)


class MashStepIn(MashStepFields, InSchema):
    """One rest of the mash."""

    record = MashStep


class MashStepOut(MashStepFields, OutSchema):
    """One rest of the mash."""


class YeastFields(Schema):
    """A yeast."""

    name = StrictText(required=True, max_length=100)
    apparent_attenuation = fraction_field(
        "apparent_attenuation", minimum=0.3, maximum=1.0, allow_none=True
    )


class YeastIn(YeastFields, InSchema):
    """The yeast, with the apparent attenuation its maker states."""

    record = Yeast


class YeastOut(YeastFields, OutSchema):
    """The yeast."""


class RecipeFields(Schema):
    """What a recipe says, but for its lists."""

    name = name_field()
    volume = volume_field("volume_l", required=True)
    volume_at = Choice(VolumeAt)
    efficiency = fraction_field("efficiency", minimum=0.2, maximum=1.0, allow_none=True)
    efficiency_kind = Choice(EfficiencyKind)
    original_gravity = gravity_field("original_gravity", exclusive_minimum=1.0, allow_none=True)
    final_gravity = gravity_field("final_gravity", minimum=0.98, allow_none=True)
    bitterness = Quantity(
        Dimension.BITTERNESS,
        attribute="bitterness_ibu",
        minimum=0.0,
        maximum=300.0,
        allow_none=True,
    )
    colour = Quantity(
        Dimension.COLOUR, attribute="colour_ebc", minimum=0.0, maximum=500.0, allow_none=True
    )
    boil_time = time_field("boil_time_min")
    style = StrictText(max_length=100, allow_none=True)


class RecipeIn(RecipeFields, InSchema):
    """A recipe as its author wrote it, for their own system.

    The grist is by mass, or by shares that add up to 1 with an `original_gravity`.
    """

    mash = fields.List(fields.Nested(MashStepIn()), validate=validate.Length(max=MOST_RESTS))
    yeast = fields.Nested(YeastIn(), allow_none=True)
    grist = fields.List(
        fields.Nested(FermentableIn()),
        required=True,
        validate=validate.Length(min=1, max=MOST_LINES),
    )
    hop_bill = fields.List(fields.Nested(HopAdditionIn()), validate=validate.Length(max=MOST_LINES))

    @post_load
    def build(self, data: dict[str, Any], **_: Any) -> Any:
        """Build the recipe once its numbers agree with each other."""
        lines: list[GristLine] = data.pop("grist")
        _check_amounts(lines)
        _check_gravities(data, by_share=lines[0].fermentable.share is not None)
        return Recipe(
            grist=tuple(line.fermentable for line in lines),
            share_of=lines[0].share_of or ShareOf.MASS,
            mash=tuple(data.pop("mash", ())),
            hop_bill=tuple(data.pop("hop_bill", ())),
            **data,
        )


@dataclass(frozen=True, slots=True)
class NewRecipe:
    """A recipe with its owner; None stands for the club."""

    owner: UUID | None
    recipe: Recipe


class NewRecipeIn(RecipeIn):
    """A recipe to be kept, and whose it is."""

    owner = Owner(required=True)

    @post_load
    def build(self, data: dict[str, Any], **_: Any) -> Any:
        """Build the recipe and put its owner beside it."""
        return NewRecipe(data.pop("owner"), super().build(data))


class RecipeContentOut(RecipeFields, OutSchema):
    """A recipe as it was read, with what was filled in."""

    mash = fields.List(fields.Nested(MashStepOut()), required=True)
    yeast = fields.Nested(YeastOut(), required=True, allow_none=True)
    grist = fields.List(fields.Nested(FermentableOut()), required=True)
    hop_bill = fields.List(fields.Nested(HopAdditionOut()), required=True)

    @pre_dump
    def spread_shares(self, recipe: Any, **_: Any) -> dict[str, Any]:
        """Say on every line what its share is a share of."""
        facts = flat(recipe)
        share_of = facts["share_of"]
        lines = [
            GristLine(line, None if line.share is None else share_of) for line in facts["grist"]
        ]
        return {**facts, "grist": lines}


class RecipeOut(StoredFields, RecipeContentOut):
    """A stored recipe."""

    owner = Owner(attribute="brewer_id", required=True)


def _check_amounts(lines: Sequence[GristLine]) -> None:
    by_share = [line.fermentable.share is not None for line in lines]
    if len(set(by_share)) > 1:
        odd = by_share.index(not by_share[0])
        raise _refused_line(
            odd,
            "mass" if by_share[0] else "share",
            "Give every line a mass, or every line a share.",
        )
    of = [line.share_of for line in lines]
    if len(set(of)) > 1:
        odd = next(i for i, one in enumerate(of) if one != of[0])
        raise _refused_line(odd, "share_of", "Say the same share_of on every line.")
    if not by_share[0]:
        return
    total = fsum(line.fermentable.share or 0.0 for line in lines)
    if abs(total - 1.0) > SHARES_SLACK:
        accepted = "shares that add up to 100 %"
        said = Refusal(f"The shares add up to {in_percent(total, 1)}.", [accepted])
        raise ValidationError({"grist": [said]})


def _check_gravities(data: dict[str, Any], *, by_share: bool) -> None:
    original, final = data.get("original_gravity"), data.get("final_gravity")
    if by_share and original is None:
        message = "A grist in shares needs the gravity that it gives."
        raise ValidationError({"original_gravity": [Refusal(message)]})
    if original is not None and final is not None and final >= original:
        message = "The final gravity must be below the original gravity."
        raise ValidationError({"final_gravity": [Refusal(message)]})


def _refused_line(index: int, field: str, message: str) -> ValidationError:
    return ValidationError({"grist": {index: {field: [Refusal(message)]}}})
