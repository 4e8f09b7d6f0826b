"""What goes over the wire holds all that the records hold, and may be null where they may."""

from dataclasses import fields as fields_of
from dataclasses import is_dataclass
from types import NoneType
from typing import Any, get_args, get_type_hints

import pytest
from marshmallow import Schema, fields

from wortwright.api.shapes.plan import PlanOut, WayOutOut
from wortwright.api.shapes.recipe import RecipeContentOut
from wortwright.api.shapes.session import SessionOut
from wortwright.api.shapes.setup import SetupContentOut
from wortwright.planning.plan import Plan, WayOut
from wortwright.records.recipe import Recipe
from wortwright.records.sentence import Sentence
from wortwright.records.session import Session
from wortwright.records.setup import Setup

# On each line of the grist; only in a recipe's grist; as interval_80; in the room of the fermenter.
ELSEWHERE = {"share_of", "share", "low_80", "high_80", "foam"}


def within(field: fields.Field[Any]) -> fields.Field[Any]:
    return field.inner if isinstance(field, fields.List) else field


def check(schema: Schema, record: type[Any]) -> None:
    by_attribute = {field.attribute or name: field for name, field in schema.dump_fields.items()}
    hints = get_type_hints(record)
    for name in {field.name for field in fields_of(record)} - ELSEWHERE:
        assert name in by_attribute, f"{record.__name__}.{name} is not in {schema}"
        field, kinds = by_attribute[name], get_args(hints[name]) or (hints[name],)
        if NoneType in kinds:
            assert field.allow_none, f"{record.__name__}.{name} may be null"
        inner, nested = within(field), next(filter(is_dataclass, kinds), None)
        # A sentence is written out as a text.
        if nested is not None and nested not in (WayOut, Sentence):
            assert isinstance(inner, fields.Nested)
            check(inner.schema, nested)


@pytest.mark.parametrize(
    ("schema", "record"),
    [
        (PlanOut(), Plan),
        (WayOutOut(), WayOut),
        (RecipeContentOut(), Recipe),
        (SetupContentOut(), Setup),
        (SessionOut(), Session),
    ],
)
def test_every_field_of_a_record_is_written(schema: Schema, record: type[Any]) -> None:
    check(schema, record)
