"""Sentences on the wire, their amounts in the units of the answer."""

from typing import Any

from marshmallow import fields

from wortwright.api.unit_choice import chosen
from wortwright.brewing.errors import OutOfRangeError
from wortwright.pages.amounts import amount, whole
from wortwright.records.sentence import Amount, Said, Sentence, told_range
from wortwright.units import UnitSystem, from_base, preferred


class SentenceField(fields.String):
    """A sentence for a person."""

    def _serialize(self, value: Said | None, attr: str | None, obj: Any, **kwargs: Any) -> Any:
        written = None if value is None else spoken(value)
        return super()._serialize(written, attr, obj, **kwargs)


def spoken(said: Said) -> str:
    """Write a sentence in the units of this request's answer; base units are no words."""
    return said.written(_amount) if isinstance(said, Sentence) else said


def told(error: Exception) -> str:
    """Write what an error says."""
    if isinstance(error, OutOfRangeError):
        return spoken(told_range(error)[0])
    said = error.args[0] if error.args else ""
    return spoken(said) if isinstance(said, Sentence) else str(error)


def _amount(said: Amount) -> str:
    unit = preferred(said.measures, chosen() or UnitSystem.METRIC)
    quantity = {"value": from_base(said.value, unit, said.measures), "unit": unit}
    return whole(quantity) if said.is_round else amount(quantity)
