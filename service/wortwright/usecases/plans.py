"""Plans beside a scaling: audit, vessel chain, small beer, schedule. Nothing is stored."""

from dataclasses import dataclass, field
from datetime import datetime
from uuid import UUID

from wortwright.brewing.hops import UtilisationModel
from wortwright.planning.audit import RecipeAudit, audit_recipe
from wortwright.planning.plan import Plan
from wortwright.planning.refit import asked_of
from wortwright.planning.schedule import Schedule, schedule_brew
from wortwright.planning.spent_grain import SmallBeer, small_beer, small_beer_of_gravity
from wortwright.planning.target import Target
from wortwright.planning.vessel_chain import ChainAsked, VesselChain, chain_back
from wortwright.records.recipe import Recipe
from wortwright.store import recipes, scalings, sessions
from wortwright.store.database import Database
from wortwright.store.documents import from_document
from wortwright.store.stored import Scope
from wortwright.usecases.basis import CannotScaleError, HouseAsked, house_of, refusals
from wortwright.usecases.brew_days import calibration_then
from wortwright.usecases.callers import Caller
from wortwright.usecases.rights import may_open, may_read
from wortwright.usecases.scalings import Scaled


@dataclass(frozen=True, slots=True)
class ChainWanted:
    """Beer wanted in bottles, of a recipe on a setup."""

    house: HouseAsked
    chain: ChainAsked


@dataclass(frozen=True, slots=True)
class SmallBeerAsked:
    """A brew, stored or not, and either the rinse of its grain or the gravity that should give."""

    of: UUID | HouseAsked
    target: Target = field(default_factory=Target)
    rinse_l: float | None = None
    gravity: float | None = None
    boil_min: float = 60.0


@dataclass(frozen=True, slots=True)
class Scheduled:
    """The schedule of a scaling, and what names it in a calendar."""

    scaling_id: UUID
    planned_at: datetime
    plan: Plan
    schedule: Schedule


class NoStartError(ValueError):
    """Nothing tells when a brew begins."""

    def __init__(self) -> None:
        super().__init__("No session of this scaling tells when it begins; say starts_at.")


def compute_recipe_audit(recipe: Recipe, formula: UtilisationModel) -> RecipeAudit:
    """Hold a recipe against its own numbers."""
    with refusals():
        return audit_recipe(recipe, formula)


def audit_stored_recipe(
    database: Database, caller: Caller, recipe_id: UUID, formula: UtilisationModel
) -> RecipeAudit:
    """Hold a stored recipe against its own numbers."""
    with database.read() as tx:
        recipe = recipes.get(tx, may_read(caller), recipe_id).value
    with refusals():
        return audit_recipe(recipe, formula)


def compute_vessel_chain(database: Database, caller: Caller, asked: ChainWanted) -> VesselChain:
    """Plan the brews for a volume wanted in bottles."""
    with database.read() as tx:
        house = house_of(tx, caller, asked.house)
    with refusals():
        return chain_back(house, asked.chain)


def compute_small_beer(database: Database, caller: Caller, asked: SmallBeerAsked) -> SmallBeer:
    """Forecast the small beer that rinsing the grain of a brew would give."""
    with database.read() as tx:
        if isinstance(asked.of, UUID):
            found = scalings.get(tx, may_read(caller), asked.of)
            scaled = from_document(found.value, Scaled)
            owner = Scope(found.club_id, found.brewer_id)
            plan = scaled.plan
            known = calibration_then(tx, owner, found.computed_from, scaled.setup)
        else:
            house = house_of(tx, caller, asked.of)
            known = house.calibration
            with refusals(target="/target"):
                plan = house.plan(asked_of(house.read, asked.target))
    with refusals():
        if asked.rinse_l is not None:
            return small_beer(plan, known, asked.rinse_l, asked.boil_min)
        if asked.gravity is None:
            raise CannotScaleError("/rinse", "Give either rinse or gravity.")
        return small_beer_of_gravity(plan, known, asked.gravity, asked.boil_min)


def schedule_scaling(
    database: Database, caller: Caller, scaling_id: UUID, starts_at: datetime | None
) -> Scheduled:
    """Lay a scaling out in time: from a start, or from when it was last brewed."""
    with database.read() as tx:
        found = scalings.get(tx, may_open(caller, "scaling", scaling_id), scaling_id)
        owner = Scope(found.club_id, found.brewer_id)
        begins = starts_at or sessions.last_brewed_at(tx, owner, scaling_id)
    if begins is None:
        raise NoStartError
    plan = from_document(found.value, Scaled).plan
    return Scheduled(scaling_id, found.created_at, plan, schedule_brew(plan, begins))
