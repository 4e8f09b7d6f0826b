"""When what is to be done: the brew day by the minute, then the days until the beer is ready.

Every date follows from the start that is passed in; nothing here looks at a clock. All
durations are common practice without a source, to be replaced by the brewer's own.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from wortwright.planning.fit import AGED_FROM_GRAVITY
from wortwright.planning.plan import Plan, PlannedHop
from wortwright.planning.target import TargetError
from wortwright.records.grist import Moment
from wortwright.records.setup import Vessel

PRIMARY_DAYS = ((1.060, 10), (1.080, 14), (9.9, 21))
"""Days in the fermenter for gravities below."""

AGEING_DAYS = ((AGED_FROM_GRAVITY, 0), (1.090, 60), (9.9, 180))
"""Days in the ageing vessel for gravities below."""


@dataclass(frozen=True, slots=True)
class Durations:
    """How long things take; days that are None follow from the gravity."""

    heat_strike_min: float = 45.0
    drain_min: float = 20.0
    sparge_min: float = 20.0
    heat_to_boil_min: float = 40.0
    chill_min: float = 40.0
    primary_days: int | None = None
    dry_hop_days: int = 4
    ageing_days: int | None = None
    conditioning_days: int = 14


@dataclass(frozen=True, slots=True)
class Step:
    """One thing to do. ``code`` is stable, ``detail`` a sentence for a person."""

    code: str
    at: datetime
    detail: str


@dataclass(frozen=True, slots=True)
class Schedule:
    """A brew from the strike water to the first glass; ``fermenter_free_at`` by its plan."""

    steps: tuple[Step, ...]
    fermenter_free_at: datetime
    ready_at: datetime


@dataclass(frozen=True, slots=True)
class ScheduledBrew:
    """One brew of a set: its fermenter and its schedule."""

    recipe_name: str
    fermenter: str
    schedule: Schedule


def schedule_brew(plan: Plan, starts_at: datetime, durations: Durations | None = None) -> Schedule:
    """Lay out a brew in time.

    Parameters
    ----------
    plan : Plan
        What is brewed.
    starts_at : datetime
        When the strike water goes on the heat.
    durations : Durations, optional
        The brewer's own.

    Returns
    -------
    Schedule
        Steps in the order of time.
    """
    takes = durations or Durations()
    times = _times(plan, starts_at, takes)
    primary = takes.primary_days or _days_for(plan, PRIMARY_DAYS)
    free_at = times.pitched_at + timedelta(days=primary)
    after, ready_at = _after_fermentation(plan, free_at, takes)
    cellar = _fermentation(plan, times.pitched_at, free_at, takes)
    steps = sorted([*_brew_day(plan, times, takes), *cellar, *after], key=lambda step: step.at)
    return Schedule(tuple(steps), free_at, ready_at)


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
        if vessel.capacity_l * (1.0 - vessel.foam_room) >= plan.water.fermenter_l - 1e-9
    ]
    if not holds:
        raise TargetError(
            "fermenters", f"no single fermenter holds {plan.water.fermenter_l:.1f} L with its foam"
        )
    return min(holds)[2]


def _same_time_of_day(first: datetime, not_before: datetime) -> datetime:
    days = (not_before - first) / timedelta(days=1)
    whole = int(days) if days == int(days) else int(days) + 1
    return first + timedelta(days=whole)


@dataclass(frozen=True, slots=True)
class _Times:
    """The turns of a brew day."""

    starts_at: datetime
    mashes_at: datetime
    drains_at: datetime
    read_at: datetime
    boils_at: datetime
    boil_ends_at: datetime
    chills_at: datetime
    pitched_at: datetime


def _times(plan: Plan, starts_at: datetime, takes: Durations) -> _Times:
    heat = plan.temperatures
    stand_min = max((h.time_min for h in plan.hop_bill if h.moment is Moment.STAND), default=0.0)
    turns, now = [starts_at], starts_at
    for minutes in (
        takes.heat_strike_min,
        sum(rest.time_min for rest in heat.mash),
        takes.drain_min + takes.sparge_min * len(plan.water.sparge_l),
        takes.heat_to_boil_min,
        heat.boil_time_min,
        stand_min,
        takes.chill_min,
    ):
        now += timedelta(minutes=minutes)
        turns.append(now)
    return _Times(*turns)


def _brew_day(plan: Plan, times: _Times, takes: Durations) -> Iterator[Step]:
    heat, water = plan.temperatures, plan.water
    yield Step(
        "heat_strike_water",
        times.starts_at,
        f"Heat {water.strike_l:.1f} L of strike water to {heat.strike_water_c:.1f} degC.",
    )
    yield Step("mash_in", times.mashes_at, f"Mash in {plan.grain_kg:.2f} kg of grain.")
    now = times.mashes_at
    for rest in heat.mash:
        said = f"Rest at {rest.temperature_c:.1f} degC for {rest.time_min:.0f} min."
        yield Step("rest", now, said)
        now += timedelta(minutes=rest.time_min)
    yield Step("drain", times.drains_at, "Read the first wort and drain the grain.")
    now = times.drains_at + timedelta(minutes=takes.drain_min)
    for litres in water.sparge_l:
        yield Step("sparge", now, f"Sparge with {litres:.1f} L and drain again.")
        now += timedelta(minutes=takes.sparge_min)
    said = f"Read volume and gravity, {water.preboil_l:.1f} L cold expected; heat to the boil."
    yield Step("read_before_boil", times.read_at, said)
    yield Step("boil", times.boils_at, f"Boil for {heat.boil_time_min:.0f} min.")
    yield from _hops_in_kettle(plan, times)
    yield Step("chill", times.chills_at, "Read volume and gravity after the boil; chill.")
    said = f"Run {water.fermenter_l:.1f} L into the fermenter, aerate, pitch the yeast."
    yield Step("pitch", times.pitched_at, said)


def _hops_in_kettle(plan: Plan, times: _Times) -> Iterator[Step]:
    for hop in plan.hop_bill:
        if hop.moment is Moment.DRY or hop.to_weigh_kg <= 0.0:
            continue
        at = {
            Moment.MASH: times.mashes_at,
            Moment.FIRST_WORT: times.read_at,
            Moment.BOIL: times.boil_ends_at - timedelta(minutes=hop.time_min),
            Moment.STAND: times.boil_ends_at,
        }[hop.moment]
        yield Step("hops", at, _hop_said(hop))


def _hop_said(hop: PlannedHop) -> str:
    grams = f"{1000.0 * hop.to_weigh_kg:.1f} g of {hop.name}"
    if hop.moment is Moment.BOIL:
        return f"Add {grams}: {hop.time_min:.0f} min in the boil."
    if hop.moment is Moment.STAND:
        return f"Add {grams} and let it stand for {hop.time_min:.0f} min."
    return f"Add {grams}."


def _fermentation(
    plan: Plan, pitched_at: datetime, free_at: datetime, takes: Durations
) -> Iterator[Step]:
    dry = [hop for hop in plan.hop_bill if hop.moment is Moment.DRY and hop.to_weigh_kg > 0.0]
    at = max(pitched_at, free_at - timedelta(days=takes.dry_hop_days))
    for hop in dry:
        yield Step("dry_hop", at, f"Add {1000.0 * hop.to_weigh_kg:.1f} g of {hop.name} dry.")
    expected = plan.forecast.final_gravity.mean
    for days in (2, 0):
        when = max(pitched_at, free_at - timedelta(days=days))
        yield Step("read_gravity", when, f"Read the gravity; about {expected:.3f} is expected.")


def _after_fermentation(
    plan: Plan, free_at: datetime, takes: Durations
) -> tuple[list[Step], datetime]:
    """Racking, ageing and packaging, all on condition that the gravity has come to rest."""
    ageing = _days_for(plan, AGEING_DAYS) if takes.ageing_days is None else takes.ageing_days
    steps, packaged_at = [], free_at
    if ageing > 0:
        said = "Rack to the ageing vessels, to the neck, under an airlock, once the gravity stays."
        steps.append(Step("rack", free_at, said))
        packaged_at = free_at + timedelta(days=ageing)
    said = f"Package {plan.water.packaged_l:.1f} L, if the gravity was the same for three days."
    steps.append(Step("package", packaged_at, said))
    ready_at = packaged_at + timedelta(days=takes.conditioning_days)
    steps.append(Step("ready", ready_at, "The first bottle may be opened."))
    return steps, ready_at


def _days_for(plan: Plan, table: tuple[tuple[float, int], ...]) -> int:
    return next(days for below, days in table if plan.asked.gravity < below)
