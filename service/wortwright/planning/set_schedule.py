"""Several brews in time, on the fermenters there are."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from wortwright.planning.foam import usable_l
from wortwright.planning.plan import Plan
from wortwright.planning.schedule import Durations, Schedule, schedule_brew
from wortwright.planning.target import TargetError
from wortwright.records.sentence import litres, say
from wortwright.records.setup import Vessel


@dataclass(frozen=True, slots=True)
class ScheduledBrew:
    """One brew of a set: its fermenter and its schedule."""

    recipe_name: str
    fermenter: str
    schedule: Schedule


def schedule_set(
    plans: Sequence[Plan],
    starts_at: datetime,
    fermenters: Sequence[Vessel],
    days_between: int = 1,
    durations: Durations | None = None,
) -> tuple[ScheduledBrew, ...]:
    """Lay out several brews on the fermenters there are.

    Parameters
    ----------
    plans : sequence of Plan
        In the order of brewing.
    starts_at : datetime
        Start of the first.
    fermenters : sequence of Vessel
        Each holds one brew at a time.
    days_between : int
        Least days from one brew day to the next.
    durations : Durations, optional
        The brewer's own.

    Returns
    -------
    tuple of ScheduledBrew
        Each starts at the same time of day as the first, once a fermenter that holds it with
        its room for foam is free.

    Raises
    ------
    TargetError
        If no fermenter holds one of the brews.
    """
    free_at = dict.fromkeys(range(len(fermenters)), starts_at)
    earliest, scheduled = starts_at, []
    for plan in plans:
        place = _fermenter_for(plan, fermenters, free_at)
        begins = _same_time_of_day(starts_at, max(earliest, free_at[place]))
        schedule = schedule_brew(plan, begins, durations)
        name = fermenters[place].name or f"fermenter {place + 1}"
        scheduled.append(ScheduledBrew(plan.recipe_name, name, schedule))
        free_at[place] = schedule.fermenter_free_at
        earliest = begins + timedelta(days=days_between)
    return tuple(scheduled)


def _fermenter_for(plan: Plan, fermenters: Sequence[Vessel], free_at: dict[int, datetime]) -> int:
    """The one that is free first; of several, the smallest that holds it."""
    holds = [
        (free_at[place], vessel.capacity_l, place)
        for place, vessel in enumerate(fermenters)
        if usable_l(vessel, plan.fit.foam) >= plan.water.fermenter_l - 1e-9
    ]
    if not holds:
        raise TargetError(
            "fermenters",
            say(
                "no single fermenter holds {volume} with its foam",
                volume=litres(plan.water.fermenter_l),
            ),
        )
    return min(holds)[2]


def _same_time_of_day(first: datetime, not_before: datetime) -> datetime:
    days = (not_before - first) / timedelta(days=1)
    whole = int(days) if days == int(days) else int(days) + 1
    return first + timedelta(days=whole)
