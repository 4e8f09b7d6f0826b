"""Quantities that carry what they measure."""

from typing import Any

from marshmallow import fields, pre_dump

from wortwright.api import unit_choice
from wortwright.api.schemas import OutSchema
from wortwright.api.shapes.any_quantity import AnyQuantityOut
from wortwright.records.sentence import Amount
from wortwright.units import from_base


class MeasuredOut(AnyQuantityOut):
    """A quantity in the units of this answer."""

    @pre_dump
    def write(self, amount: Amount, **_: Any) -> dict[str, Any]:
        """Write it in the unit of what it measures."""
        unit = unit_choice.unit_of(amount.measures)
        value = from_base(amount.value, unit, amount.measures)
        return {"value": float(f"{value:.6g}"), "unit": unit}


class MeasuredIntervalOut(OutSchema):
    """The ends of an interval."""

    low = fields.Nested(MeasuredOut(), required=True)
    high = fields.Nested(MeasuredOut(), required=True)


def interval_80(record: Any) -> dict[str, Any]:
    """Give the 80 % interval of a record that has its ends apart."""
    return {"low": record.low_80, "high": record.high_80}
