"""What several shapes share."""

from collections.abc import Mapping
from dataclasses import fields as fields_of
from typing import Any
from uuid import UUID

from marshmallow import Schema, fields, pre_dump

from wortwright.api.fields import StrictText, UtcDateTime, refuse, shown
from wortwright.api.quantity_field import Quantity
from wortwright.api.schemas import InSchema, OutSchema
from wortwright.units import Dimension

MOST_LINES = 100

_UUID = "[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}"


class Id(fields.UUID):
    """The id of a thing, in the one form in which ids are given out."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**{"metadata": {"pattern": f"^{_UUID}$"}, **kwargs})

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> UUID:
        found = _read_id(value)
        if found is None:
            refuse(f"{shown(value)} is no id.", ["the id of a thing, as it was given out"])
        return found


class Owner(fields.Field[UUID | None]):
    """Whose a recipe is: the word ``club``, or the id of a brewer; None stands for the club."""

    CLUB = "club"

    def __init__(self, **kwargs: Any) -> None:
        published = {
            "type": "string",
            "pattern": f"^({self.CLUB}|{_UUID})$",
            "description": "`club`, or the id of a brewer.",
        }
        super().__init__(**{"metadata": published, **kwargs})

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> UUID | None:
        if value == self.CLUB:
            return None
        found = _read_id(value)
        if found is None:
            refuse(f"{shown(value)} is no owner.", [self.CLUB, "the id of a brewer"])
        return found

    def _serialize(self, value: Any, attr: str | None, obj: Any, **kwargs: Any) -> str:
        return self.CLUB if value is None else str(value)


class StrictFlag(fields.Boolean):
    """True or false, as JSON writes them."""

    def _deserialize(
        self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any
    ) -> bool:
        if not isinstance(value, bool):
            refuse(f"{shown(value)} is neither true nor false.", ["true", "false"])
        return value


class Rounded(fields.Float):
    """A bare number that is answered, to as many decimals as mean something."""

    def __init__(self, decimals: int, **kwargs: Any) -> None:
        self.decimals = decimals
        super().__init__(**kwargs)

    def _serialize(self, value: Any, attr: str | None, obj: Any, **kwargs: Any) -> float | None:
        return None if value is None else round(float(value), self.decimals)


def _read_id(value: object) -> UUID | None:
    try:
        found = UUID(str(value))
    except ValueError:
        return None
    return found if str(found) == value else None


class StoreQuery(InSchema):
    """Whether to keep what is sent."""

    store = fields.Boolean(
        load_default=True,
        truthy={"true"},
        falsy={"false"},
        metadata={"description": "`false` computes, answers 200 and stores nothing."},
    )


class StoredFields(Schema):
    """Facts of every stored thing."""

    id = Id(required=True)
    created_at = UtcDateTime(required=True)
    updated_at = UtcDateTime(required=True)


class StoredOut(StoredFields, OutSchema):
    """A stored thing: the facts of its row, and beside them the fields of its value."""

    @pre_dump
    def flatten(self, stored: Any, **_: Any) -> dict[str, Any]:
        """Put the facts of the row and the fields of the value side by side."""
        return flat(stored)


def flat(thing: Any) -> dict[str, Any]:
    """Give what a stored thing or a record holds, a value's fields beside its row's facts."""
    facts = shallow(thing)
    value = facts.pop("value", None)
    return facts if value is None else {**shallow(value), **facts}


def shallow(record: Any) -> dict[str, Any]:
    """Give the fields of a data class as a dictionary, what is within them as it is."""
    return {field.name: getattr(record, field.name) for field in fields_of(record)}


def name_field() -> StrictText:
    """Make the field of a name of something stored."""
    return StrictText(required=True, max_length=200)


def volume_field(
    attribute: str, most_l: float = 5000.0, *, may_be_zero: bool = False, **kwargs: Any
) -> Quantity:
    """Make the field of a volume of something."""
    least: dict[str, Any] = {"minimum": 0.0} if may_be_zero else {"exclusive_minimum": 0.0}
    return Quantity(Dimension.VOLUME, attribute=attribute, maximum=most_l, **least, **kwargs)


def time_field(attribute: str, **kwargs: Any) -> Quantity:
    """Make the field of a time on a brew day; no utilisation is known beyond six hours."""
    return Quantity(
        Dimension.TIME, attribute=attribute, **({"minimum": 0.0, "maximum": 360.0} | kwargs)
    )


def gravity_field(attribute: str, **kwargs: Any) -> Quantity:
    """Make the field of a gravity of wort; above 1.190 the extract tables end."""
    bounds = {"minimum": 1.0, "maximum": 1.19}
    return Quantity(Dimension.GRAVITY, attribute=attribute, **(bounds | kwargs))


def temperature_field(attribute: str, **kwargs: Any) -> Quantity:
    """Make the field of a temperature of wort or water."""
    bounds = {"minimum": 0.0, "maximum": 105.0}
    return Quantity(Dimension.TEMPERATURE, attribute=attribute, **(bounds | kwargs))


def fraction_field(attribute: str, **kwargs: Any) -> Quantity:
    """Make the field of a part of a whole."""
    bounds = {"minimum": 0.0, "maximum": 1.0}
    return Quantity(Dimension.FRACTION, attribute=attribute, **(bounds | kwargs))
