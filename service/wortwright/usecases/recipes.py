"""Recipes: the club's, which its brewers read, and each brewer's own."""

from uuid import UUID

from wortwright.records.recipe import Recipe
from wortwright.store import brewers, recipes
from wortwright.store.database import Database, Tx
from wortwright.store.stored import Page, Stored
from wortwright.usecases.callers import Caller
from wortwright.usecases.rights import NotAllowedError, may_read, may_run_club, may_write
from wortwright.usecases.work import storing


@storing
def create_recipe(tx: Tx, caller: Caller, owner: UUID | None, recipe: Recipe) -> Stored[Recipe]:
    """Store a recipe of a brewer, or of the club where ``owner`` is None."""
    scope = may_write(caller, "add recipes")
    if owner is None:
        may_run_club(caller, "add recipes of the club")
    else:
        brewers.get(tx, scope, owner)
    return recipes.add(tx, scope.club_id, owner, recipe)


def get_recipe(database: Database, caller: Caller, recipe_id: UUID) -> Stored[Recipe]:
    """Give a recipe."""
    with database.read() as tx:
        return recipes.get(tx, may_read(caller), recipe_id)


def list_recipes(
    database: Database, caller: Caller, after: UUID | None, limit: int
) -> Page[Stored[Recipe]]:
    """List the recipes that the caller may read."""
    scope = may_read(caller)
    with database.read() as tx:
        return recipes.page(tx, scope, after, limit)


@storing
def replace_recipe(
    tx: Tx, caller: Caller, recipe_id: UUID, expected: int, recipe: Recipe
) -> Stored[Recipe]:
    """Write a recipe anew. Scalings made from it keep the recipe they were made from."""
    scope = may_write(caller, "change recipes")
    _refuse_reader(tx, caller, recipe_id)
    return recipes.replace(tx, scope, recipe_id, expected, recipe)


@storing
def delete_recipe(tx: Tx, caller: Caller, recipe_id: UUID, expected: int) -> None:
    """Delete a recipe. Scalings made from it stay."""
    scope = may_write(caller, "delete recipes")
    _refuse_reader(tx, caller, recipe_id)
    recipes.remove(tx, scope, recipe_id, expected)


def _refuse_reader(tx: Tx, caller: Caller, recipe_id: UUID) -> None:
    """Tell a brewer who may read the club's recipe, but not change it, so."""
    found = recipes.get(tx, may_read(caller), recipe_id)
    if found.brewer_id is None and caller.brewer_id is not None:
        raise NotAllowedError(caller, "change recipes of the club")
