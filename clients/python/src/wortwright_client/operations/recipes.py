"""Recipes."""

from collections.abc import Iterator

from wortwright_client.documents.amounts import Units
from wortwright_client.documents.recipes import (
    BitternessFormula,
    NewRecipeDocument,
    RecipeDocument,
)
from wortwright_client.models.audits import RecipeAudit
from wortwright_client.models.recipes import Recipe
from wortwright_client.operations.base import Operations, at


class Recipes(Operations):
    """Operations on recipes."""

    def create_recipe(self, recipe: NewRecipeDocument, *, units: Units | None = None) -> Recipe:
        """Store a recipe of the club, which all its brewers read, or of one brewer."""
        return self._post(Recipe, at("recipes"), recipe, {"units": units})

    def list_recipes(
        self, *, page_size: int | None = None, units: Units | None = None
    ) -> Iterator[Recipe]:
        """List the recipes that the key may read, newest first."""
        return self._list(Recipe, at("recipes"), {"limit": page_size, "units": units})

    def get_recipe(self, recipe_id: str, *, units: Units | None = None) -> Recipe:
        """Give a recipe."""
        return self._get(Recipe, at("recipes", recipe_id), {"units": units})

    def replace_recipe(
        self,
        recipe_id: str,
        recipe: RecipeDocument,
        *,
        etag: str | None,
        units: Units | None = None,
    ) -> Recipe:
        """Write a recipe anew. Scalings made from it stay as they were made."""
        return self._put(Recipe, at("recipes", recipe_id), recipe, etag, {"units": units})

    def delete_recipe(self, recipe_id: str, *, etag: str | None) -> None:
        """Delete a recipe. Scalings made from it stay."""
        self._delete(at("recipes", recipe_id), etag)

    def audit_recipe(
        self,
        recipe_id: str,
        *,
        bitterness_formula: BitternessFormula | None = None,
        units: Units | None = None,
    ) -> RecipeAudit:
        """Hold a stored recipe against its own numbers, and against the style it names."""
        query = {"bitterness_formula": bitterness_formula, "units": units}
        return self._get(RecipeAudit, at("recipes", recipe_id, "audit"), query)
