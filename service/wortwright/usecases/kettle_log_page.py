"""The kettle log as a person sees it: the day so far beside what was planned for it."""

from dataclasses import dataclass
from uuid import UUID

from wortwright.planning.plan import Plan
from wortwright.records.brewer import UnitSystem
from wortwright.records.setup import Setup
from wortwright.store import setups
from wortwright.store.database import Database
from wortwright.store.stored import Scope
from wortwright.usecases.brew_days import BrewDay, get_brew_day, planned_for
from wortwright.usecases.brewers import units_of
from wortwright.usecases.callers import Caller


@dataclass(frozen=True, slots=True)
class DayShown:
    """A brew day with its plan, None where nothing was planned; ``units`` are the brewer's."""

    day: BrewDay
    plan: Plan | None
    setup: Setup
    units: UnitSystem | None


def show_brew_day(database: Database, caller: Caller, session_id: UUID) -> DayShown:
    """Give a session's day with what was planned for it."""
    day = get_brew_day(database, caller, session_id)
    session = day.session
    with database.read() as tx:
        owner = Scope(session.club_id, session.brewer_id)
        planned = planned_for(tx, session)
        setup = setups.get(tx, owner, session.setup_id).value
        units = units_of(tx, caller, session.brewer_id)
    return DayShown(day, None if planned is None else planned.scaled.plan, setup, units)
