"""Fermentables and hop additions."""

from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from marshmallow import Schema, ValidationError, fields, post_load, pre_dump

from wortwright.api.fields import Choice, StrictText
from wortwright.api.quantity_field import Quantity
from wortwright.api.refusal import Refusal
from wortwright.api.schemas import InSchema, OutSchema
from wortwright.api.shapes.common import fraction_field, shallow, temperature_field, time_field
from wortwright.records.complete import (
    IncompleteIngredientError,
    WrittenFermentable,
    WrittenHop,
    complete_fermentable,
    complete_hop,
)
from wortwright.records.grist import (
    AddedTo,
    Fermentable,
    HopForm,
    Kind,
    Moment,
    Purpose,
    Role,
    ShareOf,
)
from wortwright.units import Dimension


class RoleAsked(StrEnum):
    """What a fermentable is for; ``auto`` is told by its kind."""

    BASE = "base"
    CHARACTER = "character"
    AUTO = "auto"


class PurposeAsked(StrEnum):
    """What an addition is for; ``auto`` is told by moment and time."""

    BITTERNESS = "bitterness"
    AROMA = "aroma"
    AUTO = "auto"


@dataclass(frozen=True, slots=True)
class GristLine:
    """A line of a grist on the wire: what its share is a share of is said on the line."""

    fermentable: Fermentable
    share_of: ShareOf | None = None


def grist_mass(**kwargs: Any) -> Quantity:
    """Make the field of the mass of a fermentable."""
    bounds = {"exclusive_minimum": 0.0, "maximum": 1000.0}
    return Quantity(Dimension.MASS, attribute="mass_kg", **bounds, **kwargs)


class FermentableFields(Schema):
    """What a fermentable is."""

    name = StrictText(required=True, max_length=100)
    kind = Choice(Kind, allow_none=True)
    extract_yield = fraction_field("extract_yield", allow_none=True)
    moisture = fraction_field("moisture", maximum=0.5, allow_none=True)
    colour = Quantity(
        Dimension.COLOUR, attribute="colour_ebc", minimum=0.0, maximum=3000.0, allow_none=True
    )
    added_to = Choice(AddedTo, allow_none=True)


class FermentableIn(FermentableFields, InSchema):
    """One line of a recipe's grist, by mass or by share.

    What is left out comes from a table of generic ingredients by name, or by kind.
    `extract_yield` is the fine-grind laboratory yield on dry basis; with `moisture` 0 it is
    the yield as weighed.
    """

    mass = grist_mass(allow_none=True)
    share = fraction_field("share", exclusive_minimum=0.0, allow_none=True)
    share_of = Choice(ShareOf, allow_none=True)
    role = Choice(RoleAsked, load_default=RoleAsked.AUTO)

    @post_load
    def build(self, data: dict[str, Any], **_: Any) -> Any:
        """Complete the line."""
        share_of = data.pop("share_of", None)
        written = WrittenFermentable(**_without_auto(data, "role", Role))
        return GristLine(_completed(complete_fermentable, written), share_of)


class WeighedFermentableIn(FermentableFields, InSchema):
    """One line of a grist as it was weighed."""

    mass = grist_mass(required=True)
    role = Choice(RoleAsked, load_default=RoleAsked.AUTO)

    @post_load
    def build(self, data: dict[str, Any], **_: Any) -> Any:
        """Complete the line."""
        written = WrittenFermentable(**_without_auto(data, "role", Role))
        return _completed(complete_fermentable, written)


class WeighedFermentableOut(FermentableFields, OutSchema):
    """One line of a grist; `assumed` names what came from the table of generic ingredients."""

    mass = grist_mass(required=True, allow_none=True)
    role = Choice(RoleAsked, required=True)
    assumed = fields.List(fields.String(), required=True)

    @pre_dump
    def rename(self, line: Any, **_: Any) -> dict[str, Any]:
        """Write the line with the wire's names in what was assumed."""
        return _with_wire_names(line)


class FermentableOut(WeighedFermentableOut):
    """One line of a recipe's grist, by mass or by share."""

    share = fraction_field("share", required=True, allow_none=True)
    share_of = Choice(ShareOf, required=True, allow_none=True)

    @pre_dump
    def rename(self, line: GristLine, **_: Any) -> dict[str, Any]:
        """Write the line with what its share is a share of."""
        return {**_with_wire_names(line.fermentable), "share_of": line.share_of}


class HopAdditionFields(Schema):
    """What a hop addition is."""

    name = StrictText(required=True, max_length=100)
    mass = Quantity(
        Dimension.HOP_MASS,
        attribute="mass_kg",
        exclusive_minimum=0.0,
        maximum=100.0,
        allow_none=True,
    )
    bitterness = Quantity(
        Dimension.BITTERNESS,
        attribute="bitterness_ibu",
        exclusive_minimum=0.0,
        maximum=300.0,
        allow_none=True,
    )
    alpha = fraction_field("alpha", minimum=0.005, maximum=0.30, allow_none=True)
    form = Choice(HopForm, allow_none=True)
    moment = Choice(Moment, required=True)
    time = time_field("time_min", maximum=60.0 * 24 * 60, allow_none=True)
    temperature = temperature_field("temperature_c", maximum=100.0, allow_none=True)


class HopAdditionIn(HopAdditionFields, InSchema):
    """One line of a hop bill, by mass or by bitterness.

    Without `alpha` the middle of the variety's range is taken, if the variety is known.
    """

    purpose = Choice(PurposeAsked, load_default=PurposeAsked.AUTO)

    @post_load
    def build(self, data: dict[str, Any], **_: Any) -> Any:
        """Complete the line."""
        return _completed(complete_hop, WrittenHop(**_without_auto(data, "purpose", Purpose)))


class HopAdditionOut(HopAdditionFields, OutSchema):
    """One line of a hop bill; `assumed` names what was filled in."""

    purpose = Choice(PurposeAsked, required=True)
    assumed = fields.List(fields.String(), required=True)

    @pre_dump
    def rename(self, line: Any, **_: Any) -> dict[str, Any]:
        """Write the line with the wire's names in what was assumed."""
        return _with_wire_names(line)


def _without_auto(
    data: dict[str, Any], name: str, kind: type[Role] | type[Purpose]
) -> dict[str, Any]:
    """Give what was said in the record's own words, or leave it to the rest of the line."""
    asked = data.pop(name)
    return data if asked == "auto" else {**data, name: kind(asked)}


def _completed(complete: Any, written: Any) -> Any:
    try:
        return complete(written)
    except IncompleteIngredientError as error:
        raise ValidationError({error.field: [Refusal(str(error), error.accepted)]}) from error


def _with_wire_names(line: Any) -> dict[str, Any]:
    assumed = [name.removesuffix("_ebc") for name in line.assumed]
    return {**shallow(line), "assumed": assumed}
