"""A recipe held against its own numbers and against a style; and the styles there are."""

from typing import Any

from marshmallow import fields, pre_dump

from wortwright.api.fields import Choice
from wortwright.api.quantity_field import Quantity
from wortwright.api.schemas import InSchema, OutSchema
from wortwright.api.sentences import SentenceField
from wortwright.api.shapes.any_quantity import (
    DIMENSION_OF,
    AnyQuantityOut,
    told,
    told_difference,
    wire_name,
)
from wortwright.api.shapes.common import fraction_field, gravity_field, shallow
from wortwright.api.shapes.plan import WarningOut
from wortwright.api.shapes.recipe import RecipeIn
from wortwright.brewing.hops import UtilisationModel
from wortwright.brewing.tables.styles import Style
from wortwright.planning.audit import Contradiction, RangeCheck
from wortwright.units import Dimension

# What a contradiction is named by, where that is not the figure itself.
_FIGURE_OF = {"gravity": "original_gravity", "efficiency_impossible": "efficiency"}


class FormulaQuery(InSchema):
    """Whose bitterness."""

    bitterness_formula = Choice(UtilisationModel, load_default=UtilisationModel.TINSETH)


class RecipeAuditIn(FormulaQuery):
    """A recipe to hold against its own numbers; its `style` is the id or name of a style."""

    recipe = fields.Nested(RecipeIn(), required=True)


class ContradictionOut(OutSchema):
    """Two figures for one thing: the stated one, and what the rest of the recipe gives.

    `by` is stated less recomputed.
    """

    code = fields.String(required=True)
    stated = fields.Nested(AnyQuantityOut(), required=True)
    recomputed = fields.Nested(AnyQuantityOut(), required=True)
    by = fields.Nested(AnyQuantityOut(), required=True)
    detail = SentenceField(required=True)

    @pre_dump
    def write(self, found: Contradiction, **_: Any) -> dict[str, Any]:
        """Write both in the units of this answer."""
        name = _FIGURE_OF.get(found.code, found.code)
        return {
            **shallow(found),
            "stated": told(found.stated, name),
            "recomputed": told(found.recomputed, name),
            "by": told_difference(found.stated, found.recomputed, name),
        }


class RangeCheckOut(OutSchema):
    """One figure against the range of a style, whose open ends are null.

    `outside_by` is 0 inside, below 0 if too low.
    """

    name = fields.String(required=True)
    value = fields.Nested(AnyQuantityOut(), required=True)
    low = fields.Nested(AnyQuantityOut(), required=True, allow_none=True)
    high = fields.Nested(AnyQuantityOut(), required=True, allow_none=True)
    outside_by = fields.Nested(AnyQuantityOut(), required=True)

    @pre_dump
    def write(self, check: RangeCheck, **_: Any) -> dict[str, Any]:
        """Write all in the units of this answer."""
        name, nearest = wire_name(check.name), check.value - check.outside_by
        return {
            "name": name,
            "value": told(check.value, name),
            "low": told(check.low, name),
            "high": told(check.high, name),
            "outside_by": told_difference(check.value, nearest, name),
        }


class StyleAuditOut(OutSchema):
    """A recipe against a style, in numbers only."""

    id = fields.String(required=True)
    name = fields.String(required=True)
    inside = fields.Boolean(required=True)
    checks = fields.List(fields.Nested(RangeCheckOut()), required=True)


class RecipeAuditOut(OutSchema):
    """What a recipe's own numbers give, and where they contradict one another.

    `gravity_at_stated_efficiency` is null without one stated, `style` where the recipe names
    none that is known.
    """

    original_gravity = gravity_field("original_gravity", required=True)
    implied_efficiency = fraction_field("implied_efficiency", required=True)
    stated_efficiency = fraction_field("stated_efficiency", required=True, allow_none=True)
    gravity_at_stated_efficiency = gravity_field(
        "gravity_at_stated_efficiency", required=True, allow_none=True
    )
    apparent_attenuation = fraction_field("apparent_attenuation", required=True)
    final_gravity = gravity_field("final_gravity", required=True)
    alcohol_by_volume = fraction_field("alcohol_by_volume", required=True)
    bitterness = Quantity(Dimension.BITTERNESS, attribute="bitterness_ibu", required=True)
    bitterness_formula = Choice(UtilisationModel, required=True)
    colour = Quantity(Dimension.COLOUR, attribute="colour_ebc", required=True)
    believed = fields.String(required=True)
    contradictions = fields.List(fields.Nested(ContradictionOut()), required=True)
    style = fields.Nested(StyleAuditOut(), required=True, allow_none=True)
    warnings = fields.List(fields.Nested(WarningOut()), required=True, attribute="findings")


class StyleRangeOut(OutSchema):
    """The range of one figure of a style; an end that is null is open."""

    name = fields.String(required=True)
    low = fields.Nested(AnyQuantityOut(), required=True, allow_none=True)
    high = fields.Nested(AnyQuantityOut(), required=True, allow_none=True)


class StyleOut(OutSchema):
    """One style of the 2021 guidelines, in numbers only; its ranges do not depend on each other."""

    id = fields.String(required=True)
    name = fields.String(required=True)
    ranges = fields.List(fields.Nested(StyleRangeOut()), required=True)

    @pre_dump
    def write(self, style: Style, **_: Any) -> dict[str, Any]:
        """Write every range in the units of this answer."""
        allowed = {wire_name(name): value for name, value in shallow(style).items()}
        known = [(name, allowed[name]) for name in DIMENSION_OF if name in allowed]
        ranges = [
            {"name": name, "low": told(ends.low, name), "high": told(ends.high, name)}
            for name, ends in known
        ]
        return {"id": style.id, "name": style.name, "ranges": ranges}


class StylesOut(OutSchema):
    """All styles, in the order of the guidelines; there is only one page of them."""

    items = fields.List(fields.Nested(StyleOut()), required=True)
    next = fields.String(required=True, allow_none=True)
