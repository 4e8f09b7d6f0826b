"""The published schema of a quantity accepts exactly what the field accepts."""

from typing import Any

import pytest
from apispec import APISpec
from apispec.ext.marshmallow import MarshmallowPlugin
from hypothesis import given
from hypothesis import strategies as st
from marshmallow import ValidationError
from openapi_schema_validator import OAS31Validator

from wortwright.api.published import quantity_properties
from wortwright.api.quantity_field import Quantity
from wortwright.api.schemas import InSchema, OutSchema
from wortwright.units import Dimension, symbols

FIELDS = {
    "mass": Quantity(Dimension.MASS, exclusive_minimum=0, maximum=500),
    "gravity": Quantity(Dimension.GRAVITY, minimum=0.98, maximum=1.2),
    "temperature": Quantity(Dimension.TEMPERATURE, minimum=-5, maximum=110),
    "colour": Quantity(Dimension.COLOUR, minimum=0, maximum=2000),
    "fraction": Quantity(Dimension.FRACTION, minimum=0, maximum=1),
    "open": Quantity(Dimension.VOLUME),
}


def spec_of(schema: InSchema | OutSchema) -> dict[str, Any]:
    plugin = MarshmallowPlugin()
    spec = APISpec("test", "1", "3.1.0", plugins=[plugin])
    assert plugin.converter is not None
    plugin.converter.add_attribute_function(quantity_properties)
    spec.components.schema("Tested", schema=schema)
    found: dict[str, Any] = spec.to_dict()["components"]["schemas"]
    return found


class TestedIn(InSchema):
    __test__ = False
    mass = FIELDS["mass"]
    gravity = FIELDS["gravity"]
    temperature = FIELDS["temperature"]
    colour = FIELDS["colour"]
    fraction = FIELDS["fraction"]
    open = FIELDS["open"]
    perhaps = Quantity(Dimension.MASS, allow_none=True)


class TestedOut(OutSchema):
    __test__ = False
    mass = Quantity(Dimension.MASS)


SCHEMAS = spec_of(TestedIn())


def published(name: str) -> dict[str, Any]:
    reference = SCHEMAS["Tested"]["properties"][name]["$ref"]
    found: dict[str, Any] = SCHEMAS[reference.rpartition("/")[2]]
    return found


def accepts(field: Quantity, value: object) -> bool:
    try:
        field.deserialize(value)
    except ValidationError:
        return False
    return True


NUMBERS = st.floats(allow_nan=False, allow_infinity=False) | st.floats(-50, 600)


@pytest.mark.parametrize("name", FIELDS)
@given(data=st.data())
def test_quantity_as_object_or_number_is_taken_as_published(name: str, data: st.DataObject) -> None:
    field, schema = FIELDS[name], published(name)
    every_unit = [unit for dimension in Dimension for unit in symbols(dimension)]
    value = data.draw(
        st.fixed_dictionaries(
            {"value": NUMBERS}, optional={"unit": st.sampled_from(every_unit), "x": NUMBERS}
        )
        | NUMBERS
        | st.sampled_from([None, True, [], {"value": "1", "unit": "kg"}])
    )
    assert OAS31Validator(schema).is_valid(value) == accepts(field, value)


@pytest.mark.parametrize("name", FIELDS)
def test_published_bounds_themselves_are_accepted(name: str) -> None:
    forms = published(name)["oneOf"]
    for rule in forms[0]["allOf"]:
        unit = rule["if"]["properties"]["unit"]["const"]
        for bound in rule["then"]["properties"]["value"].values():
            assert accepts(FIELDS[name], {"value": bound, "unit": unit}), (unit, bound)


@pytest.mark.parametrize("name", FIELDS)
@given(data=st.data())
def test_quantity_as_text_is_taken_only_as_published(name: str, data: st.DataObject) -> None:
    """A pattern cannot tell bounds: what it refuses is refused, what is accepted matches it."""
    field, schema = FIELDS[name], published(name)
    form = next(form for form in schema["oneOf"] if form["type"] == "string")
    text = data.draw(st.from_regex(form["pattern"]) | st.text(max_size=12))
    if accepts(field, text):
        assert OAS31Validator(schema).is_valid(text)


@pytest.mark.parametrize("name", FIELDS)
def test_published_examples_are_accepted(name: str) -> None:
    for form in published(name)["oneOf"]:
        for example in form.get("examples", []):
            assert accepts(FIELDS[name], example)


def test_quantity_that_may_be_null_says_so() -> None:
    assert {"type": "null"} in SCHEMAS["Tested"]["properties"]["perhaps"]["anyOf"]


def test_answered_quantity_is_published_open_and_without_bounds() -> None:
    schema = spec_of(TestedOut())["MassOut"]
    assert "additionalProperties" not in schema
    assert OAS31Validator(schema).is_valid({"value": 1e6, "unit": "lb"})
    assert not OAS31Validator(schema).is_valid({"value": 1e6})
