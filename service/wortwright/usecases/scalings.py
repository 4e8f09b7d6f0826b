"""Scalings: a recipe refitted to a setup; the main job."""

from dataclasses import dataclass, field, replace
from datetime import datetime
from uuid import UUID

from wortwright.brewing.bottling import BottlePressureError
from wortwright.planning.batch import BatchLine, size_batch
from wortwright.planning.cellar.finishing import (
    Finishing,
    FinishingAsked,
    make_finished_plan,
)
from wortwright.planning.cellar.packaging import told_pressure
from wortwright.planning.plan import Plan
from wortwright.planning.recipe import IncompleteRecipeError, ReadRecipe, read_recipe
from wortwright.planning.refit import asked_of
from wortwright.planning.target import Preferences, Target
from wortwright.records.recipe import Recipe
from wortwright.records.sentence import Said
from wortwright.records.setup import Setup
from wortwright.store import recipes, scalings
from wortwright.store.database import Database, Tx
from wortwright.store.documents import from_document, to_document
from wortwright.store.scalings import ComputedFrom, StoredScaling
from wortwright.store.stored import NotFoundError, Page, Stored
from wortwright.usecases.basis import (
    Basis,
    CannotScaleError,
    basis_of,
    recipe_of,
    refusals,
    stored_basis,
)
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
class BatchItem:
    """What came of one recipe: its line, or why there is none."""

    recipe_id: UUID
    recipe_version: int | None = None
    line: BatchLine | None = None
    refused_because: Said | None = None


@dataclass(frozen=True, slots=True)
class Batch:
    """What came of each recipe, in the order asked for; one refused stops no other."""

    computed_from: ComputedFrom
    items: tuple[BatchItem, ...]


def compute_batch(database: Database, caller: Caller, asked: BatchAsked) -> Batch:
    """Size many stored recipes for one setup at once, and store nothing."""
    with database.read() as tx:
        basis = stored_basis(tx, caller, asked.setup_id)
        found = recipes.get_many(tx, basis.owner, asked.recipe_ids)
    refused: dict[UUID, Said] = {}
    reads: dict[UUID, ReadRecipe] = {}
    for recipe_id in dict.fromkeys(asked.recipe_ids):
        try:
            if recipe_id not in found:
                raise NotFoundError("recipe", recipe_id)
            reads[recipe_id] = read_recipe(found[recipe_id].value)
        except (NotFoundError, IncompleteRecipeError) as error:
            refused[recipe_id] = str(error)
    targets = [asked_of(read, asked.target) for read in reads.values()]
    sized = size_batch(
        list(reads.values()), targets, basis.setup, basis.calibration, asked.preferences
    )
    items = {one: BatchItem(one, refused_because=why) for one, why in refused.items()}
    for recipe_id, line in zip(reads, sized, strict=True):
        version = found[recipe_id].version
        items[recipe_id] = (
            BatchItem(recipe_id, version, line)
            if line.refused is None
            else BatchItem(recipe_id, version, refused_because=line.refused)
        )
    return Batch(basis.computed_from, tuple(items[one] for one in asked.recipe_ids))


def _compute(tx: Tx, caller: Caller, asked: ScalingAsked) -> Scaling:
    basis = basis_of(tx, caller, asked.setup)
    recipe, stored = recipe_of(tx, basis, asked.recipe)
    return _planned(basis, recipe, stored, asked.target, asked.preferences, asked.also)


def _planned(
    basis: Basis,
    recipe: Recipe,
    stored: Stored[Recipe] | None,
    target: Target,
    preferences: Preferences,
    also: FinishingAsked,
) -> Scaling:
    try:
        with refusals(stored=stored is not None, target="/target"):
            plan, finishing = make_finished_plan(
                recipe, basis.setup, basis.calibration, target, preferences, also
            )
    except BottlePressureError as error:
        raise CannotScaleError("/packaging", told_pressure(error)) from error
    computed_from = basis.computed_from
    if stored is not None:
        computed_from = replace(computed_from, recipe_id=stored.id, recipe_version=stored.version)
    owner = basis.owner.brewer_id or (stored.brewer_id if stored else None)
    scaled = Scaled(recipe, basis.setup, target, preferences, plan, also, finishing)
    return Scaling(owner, computed_from, scaled)


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
