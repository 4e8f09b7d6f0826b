"""How a Quantity appears in the contract: one named schema for each dimension and its bounds."""

from typing import Any

from marshmallow import fields

from wortwright.api.quantity_field import Quantity
from wortwright.api.schemas import OutSchema
from wortwright.units import (
    LONGEST_TEXT,
    Dimension,
    base_unit,
    symbols,
)

_NUMBER = r"(0|[1-9][0-9]*)(\.[0-9]+)?([eE][+-]?[0-9]+)?"


def quantity_properties(converter: Any, field: fields.Field[Any], **_: Any) -> dict[str, Any]:
    """Give the JSON Schema of a Quantity field; apispec calls this for every field."""
    if not isinstance(field, Quantity):
        return {}
    name, schema = _named(field)
    schemas = converter.spec.components.schemas
    if name not in schemas:
        converter.spec.components.schema(name, component=schema)
    reference = {"$ref": f"#/components/schemas/{name}"}
    return {"anyOf": [reference, {"type": "null"}]} if field.allow_none else reference


def _named(field: Quantity) -> tuple[str, dict[str, Any]]:
    dimension = "".join(word.capitalize() for word in field.dimension.split("_"))
    if isinstance(field.root, OutSchema):
        return f"{dimension}Out", _answered(field.dimension)
    least = f"From{_word(field.minimum)}"
    if field.exclusive_minimum is not None:
        least = f"MoreThan{_word(field.exclusive_minimum)}"
    return f"{dimension}{least}To{_word(field.maximum)}", _accepted(field)


def _word(number: float) -> str:
    return f"{number:g}".replace("-", "Minus").replace(".", "_").replace("+", "")


def _answered(dimension: Dimension) -> dict[str, Any]:
    return {
        "type": "object",
        "description": f"A {_spoken(dimension)} in the units asked for.",
        "required": ["value", "unit"],
        "properties": {
            "value": {"type": "number"},
            "unit": {"type": "string", "enum": list(symbols(dimension))},
        },
    }


def _accepted(field: Quantity) -> dict[str, Any]:
    unit = base_unit(field.dimension)
    forms = [_object_form(field), _text_form(field)]
    if field.dimension is Dimension.GRAVITY:
        forms.append({"type": "number", **_bounds(field, unit)})
    return {
        "description": f"A {_spoken(field.dimension)}: {field.range_in_words()}.",
        "oneOf": forms,
    }


def _object_form(field: Quantity) -> dict[str, Any]:
    accepted = symbols(field.dimension)
    return {
        "type": "object",
        "additionalProperties": False,
        "required": ["value", "unit"],
        "properties": {
            "value": {"type": "number"},
            "unit": {"type": "string", "enum": list(accepted)},
        },
        "allOf": [
            {
                "if": {"properties": {"unit": {"const": unit}}},
                "then": {"properties": {"value": _bounds(field, unit)}},
            }
            for unit in accepted
        ],
    }


def _text_form(field: Quantity) -> dict[str, Any]:
    """Give the text form. Its bounds cannot be told by a pattern; the description has them."""
    accepted = symbols(field.dimension)
    below_zero = any(_bounds(field, unit)["minimum"] < 0 for unit in accepted)
    unit = f" ({'|'.join(accepted)})"
    if field.dimension is Dimension.GRAVITY:
        unit = f"({unit})?"
    return {
        "type": "string",
        "maxLength": LONGEST_TEXT,
        "pattern": f"^{'-?' if below_zero else ''}{_NUMBER}{unit}$",
        "examples": [f"{field.typical():g} {base_unit(field.dimension)}"],
    }


def _bounds(field: Quantity, unit: str) -> dict[str, float]:
    return dict(zip(("minimum", "maximum"), field.bounds(unit), strict=True))


def _spoken(dimension: Dimension) -> str:
    return dimension.replace("_", " ")
