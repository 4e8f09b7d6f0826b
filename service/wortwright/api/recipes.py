"""Recipes."""

from typing import Any
from uuid import UUID

from flask import Response

from wortwright.api import examples
from wortwright.api.answers import with_version
from wortwright.api.auth import caller, requires
from wortwright.api.blueprint import Blueprint
from wortwright.api.conditional import required_version
from wortwright.api.extensions import database
from wortwright.api.idempotency import answer_stored, work
from wortwright.api.paging import PageQuery, page_answer, page_schema
from wortwright.api.shapes.recipe import NewRecipe, NewRecipeIn, RecipeIn, RecipeOut
from wortwright.records.recipe import Recipe
from wortwright.usecases import recipes as use

RECIPE = RecipeOut()
RECIPES = page_schema(RECIPE)

blueprint = Blueprint(
    "recipes",
    __name__,
    url_prefix="/v1/recipes",
    description="Recipes as their authors wrote them, for their own systems.",
)


@blueprint.route("", methods=["POST"])
@requires("club", "brewer")
@blueprint.arguments(NewRecipeIn(), example={**examples.RECIPE, "owner": "club"})
@blueprint.stores(201, RECIPE)
def create_recipe(new: NewRecipe) -> Response:
    """Store a recipe of the club, which all its brewers read, or of one brewer."""
    return answer_stored(
        lambda work: use.create_recipe(work, new.owner, new.recipe),
        RECIPE,
        location=lambda made: f"/v1/recipes/{made.id}",
    )


@blueprint.route("", methods=["GET"])
@requires("club", "brewer", "page")
@blueprint.arguments(PageQuery(), location="query")
@blueprint.response(200, RECIPES)
def list_recipes(query: dict[str, Any]) -> dict[str, Any]:
    """List the recipes that the key may read, newest first."""
    asked = query["page"]
    return page_answer(use.list_recipes(database(), caller(), asked.after, asked.limit))


@blueprint.route("/<uuid:recipe_id>", methods=["GET"])
@requires("club", "brewer", "page")
@blueprint.versioned
@blueprint.response(200, RECIPE)
def get_recipe(recipe_id: UUID) -> Any:
    """Give a recipe."""
    return with_version(use.get_recipe(database(), caller(), recipe_id))


@blueprint.route("/<uuid:recipe_id>", methods=["PUT"])
@requires("club", "brewer")
@blueprint.versioned
@blueprint.arguments(RecipeIn(), example=examples.RECIPE)
@blueprint.response(200, RECIPE)
def replace_recipe(recipe: Recipe, recipe_id: UUID) -> Any:
    """Write a recipe anew. Scalings made from it stay as they were made."""
    return with_version(use.replace_recipe(work(), recipe_id, required_version(), recipe))


@blueprint.route("/<uuid:recipe_id>", methods=["DELETE"])
@requires("club", "brewer")
@blueprint.versioned
@blueprint.response(204)
def delete_recipe(recipe_id: UUID) -> None:
    """Delete a recipe. Scalings made from it stay."""
    use.delete_recipe(work(), recipe_id, required_version())
