"""Scalings: a recipe refitted to a setup; the main job."""

from dataclasses import dataclass, field, replace
from datetime import datetime
from uuid import UUID

from wortwright.brewing.bottling import BottlePressureError
from wortwright.brewing.errors import OutOfRangeError
from wortwright.calibration.fit import fit_calibration
from wortwright.calibration.posterior import Calibration
from wortwright.planning.cellar.finishing import (
    NOTHING_ELSE,
    Finishing,
    FinishingAsked,
    make_finished_plan,
)
from wortwright.planning.cellar.packaging import told_pressure
from wortwright.planning.plan import Plan
from wortwright.planning.recipe import IncompleteRecipeError
from wortwright.planning.target import Preferences, Target, TargetError
from wortwright.records.recipe import Recipe
from wortwright.records.setup import Setup
from wortwright.store import calibrations, recipes, scalings, setups
from wortwright.store.database import Database, Tx
from wortwright.store.documents import from_document, to_document
from wortwright.store.scalings import ComputedFrom, StoredScaling
from wortwright.store.stored import NotFoundError, Page, Scope, Stored
from wortwright.usecases.callers import Caller
from wortwright.usecases.rights import may_open, may_read, may_write
from wortwright.usecases.work import storing


@dataclass(frozen=True, slots=True)
class ScalingAsked:
    """What to scale onto what: each by the id of a stored one or written out."""

    setup: UUID | Setup
    recipe: UUID | Recipe
    target: Target = field(default_factory=Target)
    preferences: Preferences = field(default_factory=Preferences)
    also: FinishingAsked = field(default_factory=FinishingAsked)


@dataclass(frozen=True, slots=True)
class Scaled:
    """A scaling's document: copies of all that went in, and the plan that came out.

    ``also`` is what was told beside recipe and setup, ``finishing`` what came of it.
    """

    recipe: Recipe
    setup: Setup
    target: Target
    preferences: Preferences
    plan: Plan
    also: FinishingAsked = field(default_factory=FinishingAsked)
    finishing: Finishing = field(default_factory=Finishing)


@dataclass(frozen=True, slots=True)
class Scaling:
    """A scaling; ``id``, ``version`` and ``created_at`` are None where it is not stored."""

    brewer_id: UUID | None
    computed_from: ComputedFrom
    scaled: Scaled
    id: UUID | None = None
    version: int | None = None
    created_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class ScalingListed:
    """A stored scaling in a list: enough to find it by."""

    id: UUID
    created_at: datetime
    brewer_id: UUID | None
    computed_from: ComputedFrom
    recipe_name: str
    setup_name: str


@dataclass(frozen=True, slots=True)
class BatchAsked:
    """What to scale onto one setup."""

    setup_id: UUID
    recipe_ids: tuple[UUID, ...]
    target: Target = field(default_factory=Target)
    preferences: Preferences = field(default_factory=Preferences)


class CannotScaleError(ValueError):
    """What was asked for cannot be scaled; ``pointer`` tells the field of the request."""

    def __init__(self, pointer: str, detail: str) -> None:
        super().__init__(detail)
        self.pointer = pointer


@dataclass(frozen=True, slots=True)
class _Basis:
    """The setup of a scaling with what is known of it, and whose it is."""

    setup: Setup
    calibration: Calibration
    owner: Scope
    computed_from: ComputedFrom = field(default_factory=ComputedFrom)


def compute_scaling(database: Database, caller: Caller, asked: ScalingAsked) -> Scaling:
    """Scale a recipe and store nothing."""
    with database.read() as tx:
        return _compute(tx, caller, asked)


@storing
def create_scaling(tx: Tx, caller: Caller, asked: ScalingAsked) -> Scaling:
    """Scale a recipe and keep the plan with all it was computed from."""
    made = _compute(tx, caller, asked)
    document = to_document(made.scaled)
    return _read(scalings.add(tx, caller.club_id, made.brewer_id, made.computed_from, document))


def get_scaling(database: Database, caller: Caller, scaling_id: UUID) -> Scaling:
    """Give a scaling as it was made."""
    with database.read() as tx:
        return _read(scalings.get(tx, may_open(caller, "scaling", scaling_id), scaling_id))


def list_scalings(
    database: Database, caller: Caller, after: UUID | None, limit: int
) -> Page[ScalingListed]:
    """List the scalings that the caller may see, without their plans."""
    with database.read() as tx:
        found = scalings.page(tx, may_read(caller), after, limit)
    return Page(tuple(map(_listed, found.items)), found.has_more)


@storing
def delete_scaling(tx: Tx, caller: Caller, scaling_id: UUID, expected: int) -> None:
    """Delete a scaling. Sessions brewed from it stay."""
    scalings.remove(tx, may_write(caller, "delete scalings"), scaling_id, expected)


@dataclass(frozen=True, slots=True)
class Batch:
    """What came of each recipe, in the order asked for; one refused stops no other."""

    computed_from: ComputedFrom
    items: tuple[tuple[UUID, Scaling | CannotScaleError], ...]


def compute_batch(database: Database, caller: Caller, asked: BatchAsked) -> Batch:
    """Scale many stored recipes onto one setup and store nothing."""
    with database.read() as tx:
        basis = _stored_basis(tx, caller, asked.setup_id)
        found = recipes.get_many(tx, basis.owner, asked.recipe_ids)
    return Batch(
        basis.computed_from,
        tuple(
            (recipe_id, _planned_or_refused(basis, found.get(recipe_id), recipe_id, asked))
            for recipe_id in asked.recipe_ids
        ),
    )


def _compute(tx: Tx, caller: Caller, asked: ScalingAsked) -> Scaling:
    if isinstance(asked.setup, UUID):
        basis = _stored_basis(tx, caller, asked.setup)
    else:
        basis = _Basis(asked.setup, fit_calibration(asked.setup, ()), may_read(caller))
    if isinstance(asked.recipe, Recipe):
        return _planned(basis, asked.recipe, None, asked.target, asked.preferences, asked.also)
    # Read as the setup's owner: a recipe of another brewer does not go onto this setup.
    stored = recipes.get(tx, basis.owner, asked.recipe)
    return _planned(basis, stored.value, stored, asked.target, asked.preferences, asked.also)


def _stored_basis(tx: Tx, caller: Caller, setup_id: UUID) -> _Basis:
    setup = setups.get(tx, may_read(caller), setup_id)
    owner = Scope(setup.club_id, setup.brewer_id)
    known = calibrations.latest(tx, owner, setup_id)
    computed_from = ComputedFrom(setup.id, setup.version, calibration_number=known.number)
    return _Basis(setup.value, known.value, owner, computed_from)


def _planned(
    basis: _Basis,
    recipe: Recipe,
    stored: Stored[Recipe] | None,
    target: Target,
    preferences: Preferences,
    also: FinishingAsked = NOTHING_ELSE,
) -> Scaling:
    try:
        plan, finishing = make_finished_plan(
            recipe, basis.setup, basis.calibration, target, preferences, also
        )
    except IncompleteRecipeError as error:
        where = f"/recipe/{error.field}" if stored is None else "/recipe_id"
        raise CannotScaleError(where, str(error)) from error
    except TargetError as error:
        raise CannotScaleError(f"/target/{error.field}", str(error)) from error
    except BottlePressureError as error:
        raise CannotScaleError("/packaging", told_pressure(error)) from error
    except OutOfRangeError as error:
        raise CannotScaleError("", f"This cannot be computed: {error}.") from error
    computed_from = basis.computed_from
    if stored is not None:
        computed_from = replace(computed_from, recipe_id=stored.id, recipe_version=stored.version)
    owner = basis.owner.brewer_id or (stored.brewer_id if stored else None)
    scaled = Scaled(recipe, basis.setup, target, preferences, plan, also, finishing)
    return Scaling(owner, computed_from, scaled)


def _planned_or_refused(
    basis: _Basis, stored: Stored[Recipe] | None, recipe_id: UUID, asked: BatchAsked
) -> Scaling | CannotScaleError:
    if stored is None:
        return CannotScaleError("/recipe_ids", str(NotFoundError("recipe", recipe_id)))
    try:
        return _planned(basis, stored.value, stored, asked.target, asked.preferences)
    except CannotScaleError as error:
        return error


def _read(stored: StoredScaling) -> Scaling:
    return Scaling(
        stored.brewer_id,
        stored.computed_from,
        from_document(stored.value, Scaled),
        stored.id,
        stored.version,
        stored.created_at,
    )


def _listed(stored: StoredScaling) -> ScalingListed:
    return ScalingListed(
        stored.id,
        stored.created_at,
        stored.brewer_id,
        stored.computed_from,
        stored.value["recipe"]["name"],
        stored.value["setup"]["name"],
    )
