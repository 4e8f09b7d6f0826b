"""Scalings: written once, read for ever after."""

from dataclasses import dataclass
from typing import Any
from uuid import UUID

from wortwright.store import rows
from wortwright.store.database import Tx
from wortwright.store.models import ScalingRow
from wortwright.store.stored import Page, RowFacts, Scope, Stored


@dataclass(frozen=True, slots=True)
class ComputedFrom:
    """The stored things, and their versions, that a scaling rests on; None where inline."""

    setup_id: UUID | None = None
    setup_version: int | None = None
    recipe_id: UUID | None = None
    recipe_version: int | None = None
    calibration_number: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class StoredScaling(Stored[dict[str, Any]]):
    """A scaling's document with what it was computed from."""

    computed_from: ComputedFrom


def add(
    tx: Tx,
    club_id: UUID,
    brewer_id: UUID | None,
    computed_from: ComputedFrom,
    document: dict[str, Any],
    facts: RowFacts | None = None,
) -> StoredScaling:
    """Store a new scaling."""
    row = ScalingRow(
        club_id=club_id,
        brewer_id=brewer_id,
        setup_id=computed_from.setup_id,
        setup_version=computed_from.setup_version,
        recipe_id=computed_from.recipe_id,
        recipe_version=computed_from.recipe_version,
        calibration_number=computed_from.calibration_number,
        document=document,
    )
    rows.add(tx, row, facts)
    return _read(row)


def get(tx: Tx, scope: Scope, scaling_id: UUID) -> StoredScaling:
    """Give a scaling."""
    return _read(rows.read(tx, ScalingRow, scope, scaling_id))


def page(tx: Tx, scope: Scope, after: UUID | None, limit: int) -> Page[StoredScaling]:
    """Give the next scalings, newest first."""
    return rows.page(
        tx, ScalingRow, rows.in_scope(ScalingRow, scope), _read, after=after, limit=limit
    )


def remove(tx: Tx, scope: Scope, scaling_id: UUID, expected: int) -> None:
    """Delete a scaling."""
    found = rows.in_scope(ScalingRow, scope)
    rows.remove(tx, rows.one(tx, ScalingRow, found, scaling_id), expected)


def _read(row: ScalingRow) -> StoredScaling:
    return StoredScaling(
        **rows.facts(row),
        value=row.document,
        computed_from=ComputedFrom(
            row.setup_id,
            row.setup_version,
            row.recipe_id,
            row.recipe_version,
            row.calibration_number,
        ),
    )
