"""Conversions between units."""

from typing import Any

from marshmallow import ValidationError, fields, post_load

from wortwright.api.fields import Choice, StrictNumber, StrictText
from wortwright.api.refusal import Refusal
from wortwright.api.schemas import InSchema, OutSchema
from wortwright.units import Dimension, QuantityError, symbols, to_base


class ConversionIn(InSchema):
    """A quantity, and what it measures: one symbol may stand in several dimensions."""

    dimension = Choice(Dimension, required=True)
    value = StrictNumber(required=True, minimum=-1e15, maximum=1e15)
    unit = StrictText(max_length=30, required=True)

    @post_load
    def build(self, data: dict[str, Any], **_: Any) -> Any:
        """Give it in the base unit, if the unit measures that."""
        dimension = data["dimension"]
        place = "unit" if data["unit"] not in symbols(dimension) else "value"
        try:
            base = to_base(data["value"], data["unit"], dimension)
        except QuantityError as error:
            message = str(error)
            said = Refusal(f"{message[0].upper()}{message[1:]}.", error.accepted)
            raise ValidationError({place: [said]}) from error
        return dimension, base


class ConvertedOut(OutSchema):
    """The quantity in one unit."""

    value = fields.Float(required=True)
    unit = fields.String(required=True)


class ConversionOut(OutSchema):
    """The quantity in every unit of its dimension, the base unit first.

    A unit whose scale ends before the quantity is left out.
    """

    dimension = Choice(Dimension, required=True)
    quantities = fields.List(fields.Nested(ConvertedOut()), required=True)
