"""Recipes, the club's and the brewers' own."""

from collections.abc import Sequence
from typing import Any
from uuid import UUID

from sqlalchemy import ColumnElement, Select, bindparam, or_, select

from wortwright.records.recipe import Recipe
from wortwright.store import rows
from wortwright.store.database import Tx
from wortwright.store.documents import from_document, to_document
from wortwright.store.models import RecipeRow
from wortwright.store.stored import NotFoundError, Page, RowFacts, Scope, Stored


def add(
    tx: Tx, club_id: UUID, brewer_id: UUID | None, recipe: Recipe, facts: RowFacts | None = None
) -> Stored[Recipe]:
    """Store a new recipe of a brewer, or of the club where ``brewer_id`` is None."""
    row = RecipeRow(
        club_id=club_id, brewer_id=brewer_id, name=recipe.name, document=to_document(recipe)
    )
    rows.add(tx, row, facts)
    return _read(row)


def get(tx: Tx, scope: Scope, recipe_id: UUID) -> Stored[Recipe]:
    """Give a recipe that the scope may read: a brewer reads the club's recipes too."""
    found = rows.fetch(tx, _BY_ID[scope.brewer_id is not None], scope, row_id=recipe_id)
    if found is None:
        raise NotFoundError(RecipeRow.thing, recipe_id)
    return _read(found)


def get_many(tx: Tx, scope: Scope, recipe_ids: Sequence[UUID]) -> dict[UUID, Stored[Recipe]]:
    """Give those of some recipes that are there, in one query."""
    found = tx.scalars(_readable(scope).where(RecipeRow.id.in_(recipe_ids)))
    return {row.id: _read(row) for row in found}


def page(tx: Tx, scope: Scope, after: UUID | None, limit: int) -> Page[Stored[Recipe]]:
    """Give the next readable recipes, newest first."""
    return rows.page(tx, RecipeRow, _readable(scope), _read, after=after, limit=limit)


def replace(tx: Tx, scope: Scope, recipe_id: UUID, expected: int, recipe: Recipe) -> Stored[Recipe]:
    """Put another document in place of a recipe that the scope owns."""
    row = rows.one(tx, RecipeRow, rows.in_scope(RecipeRow, scope), recipe_id)
    rows.expect_version(row, expected)
    row.name, row.document = recipe.name, to_document(recipe)
    rows.flush(tx, row)
    return _read(row)


def remove(tx: Tx, scope: Scope, recipe_id: UUID, expected: int) -> None:
    """Delete a recipe that the scope owns."""
    found = rows.in_scope(RecipeRow, scope)
    rows.remove(tx, rows.one(tx, RecipeRow, found, recipe_id), expected)


def _readable(scope: Scope) -> Select[RecipeRow]:
    return select(RecipeRow).where(_may_read(RecipeRow, scope))


def _may_read(columns: Any, scope: Scope) -> ColumnElement[bool]:
    of_club: ColumnElement[bool] = columns.club_id == scope.club_id
    if scope.brewer_id is None:
        return of_club
    return of_club & or_(columns.brewer_id == scope.brewer_id, columns.brewer_id.is_(None))


def _by_id(of_brewer: bool) -> Select[Any]:
    found, columns = rows.to_read(RecipeRow, of_brewer, _may_read)
    return found.where(columns.id == bindparam("row_id"))


_BY_ID = {of_brewer: _by_id(of_brewer) for of_brewer in (False, True)}


def _read(row: RecipeRow) -> Stored[Recipe]:
    return Stored(**rows.facts(row), value=from_document(row.document, Recipe))
