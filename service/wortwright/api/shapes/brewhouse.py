"""A recipe on a setup, each stored or written out: what most plans are asked for."""

from typing import Any

from marshmallow import Schema, fields

from wortwright.api.shapes.common import Id
from wortwright.api.shapes.recipe import RecipeIn
from wortwright.api.shapes.scaling import PreferencesIn, one_of
from wortwright.api.shapes.setup import SetupIn
from wortwright.planning.target import Preferences
from wortwright.usecases.basis import HouseAsked


class BrewhouseFields(Schema):
    """Setup, recipe and preferences."""

    setup_id = Id(allow_none=True)
    setup = fields.Nested(SetupIn(), allow_none=True)
    recipe_id = Id(allow_none=True)
    recipe = fields.Nested(RecipeIn(), allow_none=True)
    preferences = fields.Nested(PreferencesIn())


def brewhouse(data: dict[str, Any]) -> HouseAsked:
    """Take what `BrewhouseFields` loaded out of the data and put it together."""
    setup, recipe = one_of(data, "setup"), one_of(data, "recipe")
    preferences = data.pop("preferences", None) or Preferences()
    for name in ("setup_id", "setup", "recipe_id", "recipe"):
        data.pop(name, None)
    return HouseAsked(setup, recipe, preferences)
