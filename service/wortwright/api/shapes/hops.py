"""Hops in store and in place of one another."""

from typing import Any

from marshmallow import ValidationError, fields, post_load, validate

from wortwright.api.fields import Choice, StrictNumber, StrictText
from wortwright.api.quantity_field import Quantity
from wortwright.api.refusal import Refusal
from wortwright.api.schemas import InSchema, OutSchema
from wortwright.api.sentences import SentenceField
from wortwright.api.shapes.common import MOST_LINES, fraction_field, temperature_field
from wortwright.api.shapes.plan import WarningOut
from wortwright.brewing.hop_storage import Packing
from wortwright.planning.cellar.hops_in_store import StoredHops
from wortwright.records.grist import Purpose
from wortwright.units import Dimension

_ALPHA = {"minimum": 0.005, "maximum": 0.30}


class StoredHopsIn(InSchema):
    """Hops with their alpha acid at the date of analysis, and how they were kept since.

    Without a date there is nothing to correct. `storage_index` is the hop storage index read
    now; with it age and store do not matter, and are not given. `lost_in_half_year` is the loss
    of the variety at 20 degC in an open bag, where it is known better than by its name.
    """

    name = StrictText(required=True, max_length=100)
    alpha = fraction_field("alpha", required=True, **_ALPHA)
    age = Quantity(Dimension.AGE, attribute="age_days", minimum=0.0, maximum=3650.0)
    temperature = temperature_field("temperature_c", minimum=-30.0, maximum=40.0)
    packing = Choice(Packing)
    lost_in_half_year = fraction_field("lost_in_half_year", maximum=0.9, allow_none=True)
    storage_index = StrictNumber(minimum=0.20, maximum=1.2, allow_none=True)

    record = StoredHops

    @post_load
    def build(self, data: dict[str, Any], **_: Any) -> Any:
        """Build the hops, if their age is told in one way."""
        by_index = data.get("storage_index") is not None
        if by_index == ("age_days" in data):
            told = ("age", "storage_index")
            raise ValidationError([Refusal("Give either age or storage_index.", told)])
        return super().build(data)


class HopAgingIn(InSchema):
    """Hops whose alpha acid is to be worked out."""

    hops = fields.List(
        fields.Nested(StoredHopsIn()),
        required=True,
        validate=validate.Length(min=1, max=MOST_LINES),
    )


class AgedHopsOut(OutSchema):
    """Alpha acid now."""

    name = fields.String(required=True)
    alpha_at_analysis = fraction_field("alpha_at_analysis", required=True)
    alpha = fraction_field("alpha", required=True)
    left_share = fraction_field("left_share", required=True)
    summary = SentenceField(required=True)
    warnings = fields.List(fields.Nested(WarningOut()), required=True)


class HopAgingOut(OutSchema):
    """The hops in the order in which they were named."""

    hops = fields.List(fields.Nested(AgedHopsOut()), required=True)


class HopSubstitutionIn(InSchema):
    """A hop addition and the alpha acid of the hop that is to stand for it.

    For `bitterness` the bitterness is kept, for `aroma` the mass.
    """

    mass = Quantity(
        Dimension.HOP_MASS,
        attribute="mass_kg",
        exclusive_minimum=0.0,
        maximum=100.0,
        required=True,
    )
    alpha = fraction_field("alpha", required=True, **_ALPHA)
    other_alpha = fraction_field("other_alpha", required=True, **_ALPHA)
    purpose = Choice(Purpose, load_default=Purpose.BITTERNESS)


class HopSubstitutionOut(OutSchema):
    """Mass of the other hop."""

    mass = Quantity(Dimension.HOP_MASS, attribute="mass_kg", required=True)
    summary = SentenceField(required=True)
    warnings = fields.List(fields.Nested(WarningOut()), required=True)
