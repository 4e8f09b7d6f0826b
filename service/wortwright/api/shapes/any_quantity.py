"""Quantities whose dimension follows from what they are the figure of."""

from typing import Any

from marshmallow import fields

from wortwright.api import unit_choice
from wortwright.api.schemas import OutSchema
from wortwright.units import Dimension, from_base

DIMENSION_OF = {
    "original_gravity": Dimension.GRAVITY,
    "final_gravity": Dimension.GRAVITY,
    "alcohol_by_volume": Dimension.FRACTION,
    "efficiency": Dimension.FRACTION,
    "bitterness": Dimension.BITTERNESS,
    "colour": Dimension.COLOUR,
}


class AnyQuantityOut(OutSchema):
    """A quantity; what it measures is told beside it."""

    value = fields.Float(required=True)
    unit = fields.String(required=True)


def wire_name(attribute: str) -> str:
    """Give the name of a figure without the unit that a record's has."""
    return attribute.removesuffix("_ibu").removesuffix("_ebc")


def told(value: float | None, name: str) -> dict[str, Any] | None:
    """Write a figure in the units of this answer."""
    if value is None:
        return None
    dimension = DIMENSION_OF[name]
    unit = unit_choice.unit_of(dimension)
    return _quantity(from_base(value, unit, dimension), unit)


def told_difference(value: float, less: float, name: str) -> dict[str, Any]:
    """Write how much more one figure is than another."""
    dimension = DIMENSION_OF[name]
    unit = unit_choice.unit_of(dimension)
    by = from_base(value, unit, dimension) - from_base(less, unit, dimension)
    return _quantity(by, unit)


def _quantity(value: float, unit: str) -> dict[str, Any]:
    return {"value": float(f"{value:.12g}"), "unit": unit}
