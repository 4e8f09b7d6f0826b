"""Beers together: blends, the second brew of a pair, sets of brews. Nothing is stored."""

from dataclasses import dataclass, field
from datetime import datetime
from uuid import UUID

from wortwright.brewing.blending import WantedBlend
from wortwright.planning.blends.blend import (
    BeerLot,
    PlannedBlend,
    blend_forecast,
    lot_of_plan,
    lot_of_session,
    plan_blend,
)
from wortwright.planning.blends.lot_figures import LotFigures, lot_of_figures
from wortwright.planning.blends.same_ingredients import SameAgain, same_ingredients
from wortwright.planning.blends.second_brew import Pair, SecondBrew, plan_second_brew
from wortwright.planning.kettle.kettle_reading import ReadingError
from wortwright.planning.set_schedule import ScheduledBrew, schedule_set
from wortwright.planning.sets import BrewSet, SetAsked, plan_set
from wortwright.records.sentence import litres, say
from wortwright.store import scalings, sessions, setups
from wortwright.store.database import Database, Tx
from wortwright.store.documents import from_document
from wortwright.store.stored import Scope
from wortwright.usecases.basis import (
    CannotScaleError,
    HouseAsked,
    basis_of,
    house_of,
    recipe_of,
    refusals,
)
from wortwright.usecases.brew_days import Planned, calibration_then, planned_for
from wortwright.usecases.callers import Caller
from wortwright.usecases.rights import may_read
from wortwright.usecases.scalings import Scaled


@dataclass(frozen=True, slots=True)
class StoredLot:
    """A beer that was brewed here, or is planned here; exactly one of the ids is given.

    Without ``volume_l`` it is all of it.
    """

    session_id: UUID | None = None
    scaling_id: UUID | None = None
    volume_l: float | None = None


@dataclass(frozen=True, slots=True)
class BlendAsked:
    """Beers to blend: all of each or, for a volume and properties wanted, as much as it takes."""

    lots: tuple[StoredLot | LotFigures, ...]
    volume_l: float | None = None
    wanted: WantedBlend = field(default_factory=WantedBlend)


@dataclass(frozen=True, slots=True)
class Blended:
    """The lots as they went in, and the blend."""

    lots: tuple[BeerLot, ...]
    planned: PlannedBlend


@dataclass(frozen=True, slots=True)
class SecondAsked:
    """A first brew, the recipe and setup of the second, and what the blend should be."""

    house: HouseAsked
    first: StoredLot | LotFigures
    second_l: float
    wanted: WantedBlend = field(default_factory=WantedBlend)


@dataclass(frozen=True, slots=True)
class SecondPlanned:
    """The second brew; ``same`` is the first's own ingredients in less volume, if that helps."""

    first: BeerLot
    second: SecondBrew
    same: SameAgain | None


@dataclass(frozen=True, slots=True)
class BrewSetAsked:
    """A set of brews of one recipe; ``starts_at`` lays those to come out in time."""

    house: HouseAsked
    packaged_l: float
    brews: int
    gravity: float | None = None
    bitterness_ibu: float | None = None
    brewed: tuple[StoredLot | LotFigures, ...] = ()
    starts_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class BrewSetPlanned:
    """A set of brews, and when each of those to come is done."""

    made: BrewSet
    schedule: tuple[ScheduledBrew, ...]


@dataclass(frozen=True, slots=True)
class _Known:
    """A beer, and what it was brewed by if that is kept."""

    lot: BeerLot
    planned: Planned | None = None


def compute_blend(database: Database, caller: Caller, asked: BlendAsked) -> Blended:
    """Blend beers, or find how much of each makes the blend wanted."""
    with database.read() as tx:
        lots = _lots(tx, caller, asked.lots, "/lots")
    total_l = sum(lot.volume_l for lot in lots)
    with refusals():
        if asked.volume_l is None and not asked.wanted.named():
            whole = tuple(lot.volume_l for lot in lots)
            return Blended(lots, PlannedBlend(whole, blend_forecast(lots), ()))
        wanted_l = total_l if asked.volume_l is None else asked.volume_l
        if wanted_l > total_l * (1.0 + 1e-9):
            raise CannotScaleError(
                "/volume", say("There are only {all} in all.", all=litres(total_l))
            )
        return Blended(lots, plan_blend(lots, min(wanted_l, total_l), asked.wanted))


def compute_second_brew(database: Database, caller: Caller, asked: SecondAsked) -> SecondPlanned:
    """Plan the second brew of a pair."""
    with database.read() as tx:
        first = _known(tx, caller, asked.first, "/first")
        basis = basis_of(tx, caller, asked.house.setup)
        recipe, stored = recipe_of(tx, basis, asked.house.recipe)
    pair = Pair(first.lot, first.lot.volume_l, asked.second_l, asked.wanted)
    preferences = asked.house.preferences
    with refusals(stored=stored is not None):
        second = plan_second_brew(recipe, basis.setup, basis.calibration, pair, preferences)
        same = None
        if first.planned is not None:
            scaled, gravity = first.planned.scaled, asked.wanted.original_gravity
            same = same_ingredients(
                scaled.recipe,
                scaled.plan,
                basis.setup,
                basis.calibration,
                first.lot,
                scaled.plan.asked.gravity if gravity is None else gravity,
                preferences,
            )
    return SecondPlanned(first.lot, second, same)


def compute_brew_set(database: Database, caller: Caller, asked: BrewSetAsked) -> BrewSetPlanned:
    """Plan the brews of a set that are still to come."""
    with database.read() as tx:
        house = house_of(tx, caller, asked.house)
        brewed = _lots(tx, caller, asked.brewed, "/brewed")
    whole = SetAsked(asked.packaged_l, asked.brews, asked.gravity, asked.bitterness_ibu, brewed)
    setup = house.setup
    with refusals(stored=isinstance(asked.house.recipe, UUID)):
        made = plan_set(house.read.recipe, setup, house.calibration, whole, asked.house.preferences)
        if asked.starts_at is None:
            return BrewSetPlanned(made, ())
        fermenters = setup.vessels.fermenters
        return BrewSetPlanned(made, schedule_set(made.plans, asked.starts_at, fermenters))


def _lots(
    tx: Tx, caller: Caller, asked: tuple[StoredLot | LotFigures, ...], pointer: str
) -> tuple[BeerLot, ...]:
    return tuple(
        _known(tx, caller, one, f"{pointer}/{place}").lot for place, one in enumerate(asked)
    )


def _known(tx: Tx, caller: Caller, asked: StoredLot | LotFigures, pointer: str) -> _Known:
    if isinstance(asked, LotFigures):
        return _Known(lot_of_figures(asked))
    known = (
        _of_scaling(tx, caller, asked.scaling_id)
        if asked.scaling_id is not None
        else _of_session(tx, caller, asked.session_id, pointer)
    )
    return known if asked.volume_l is None else _Known(known.lot.of(asked.volume_l), known.planned)


def _of_scaling(tx: Tx, caller: Caller, scaling_id: UUID) -> _Known:
    found = scalings.get(tx, may_read(caller), scaling_id)
    scaled = from_document(found.value, Scaled)
    owner = Scope(found.club_id, found.brewer_id)
    calibration = calibration_then(tx, owner, found.computed_from, scaled.setup)
    return _Known(lot_of_plan(scaled.plan), Planned(scaled, calibration))


def _of_session(tx: Tx, caller: Caller, session_id: UUID | None, pointer: str) -> _Known:
    assert session_id is not None
    session = sessions.get(tx, may_read(caller), session_id)
    planned = planned_for(tx, session)
    where = f"{pointer}/session_id"
    if planned is None:
        raise CannotScaleError(where, "This session was planned nowhere here; give its figures.")
    setup = setups.get(tx, Scope(session.club_id, session.brewer_id), session.setup_id).value
    try:
        lot = lot_of_session(session.value, planned.scaled.plan, setup, planned.calibration)
    except ReadingError as error:
        raise CannotScaleError(where, f"Its readings do not go together: {error}.") from error
    return _Known(lot, planned)
