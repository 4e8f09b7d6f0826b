"""When what is to be done: the brew day by the minute, then the days until the beer is ready.

Every date follows from the start that is passed in; nothing here looks at a clock. All
durations are common practice without a source, to be replaced by the brewer's own.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import NamedTuple

from wortwright.planning.fit import AGED_FROM_GRAVITY
from wortwright.planning.plan import Plan, PlannedHop
from wortwright.records.grist import Moment
from wortwright.records.sentence import Said, Sentence, degrees, grams, kilograms, litres, say


class Days(NamedTuple):
    """How many days something takes: at least, usually, at most."""

    least: int
    usual: int
    most: int


PRIMARY_DAYS = ((1.060, Days(7, 10, 14)), (1.080, Days(10, 14, 21)), (9.9, Days(14, 21, 35)))
"""Days in the fermenter for gravities below."""

AGEING_DAYS = (
    (AGED_FROM_GRAVITY, Days(0, 0, 0)),
    (1.090, Days(30, 60, 120)),
    (9.9, Days(90, 180, 365)),
)
"""Days in the ageing vessel for gravities below."""

CONDITIONING_DAYS = Days(10, 14, 28)
"""Days in the bottle before the first is opened."""


@dataclass(frozen=True, slots=True)
class Durations:
    """How long things take; days that are None are the usual ones, by the gravity."""

    heat_strike_min: float = 45.0
    drain_min: float = 20.0
    sparge_min: float = 20.0
    heat_to_boil_min: float = 40.0
    chill_min: float = 40.0
    primary_days: int | None = None
    dry_hop_days: int = 4
    ageing_days: int | None = None
    conditioning_days: int | None = None


@dataclass(frozen=True, slots=True)
class Step:
    """One thing to do. ``code`` is stable, ``detail`` a sentence for a person.

    ``at`` is when it is usually done. What waits for the beer is done between ``earliest_at``
    and ``latest_at``; both are None on the brew day.
    """

    code: str
    at: datetime
    detail: Said
    earliest_at: datetime | None = None
    latest_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class Schedule:
    """A brew from the strike water to the first glass; ``fermenter_free_at`` by its plan."""

    steps: tuple[Step, ...]
    fermenter_free_at: datetime
    ready_at: datetime


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
    pitched = _Window(times.pitched_at, times.pitched_at, times.pitched_at)
    free = pitched.after(_days(takes.primary_days, _days_for(plan, PRIMARY_DAYS)))
    after = _after_fermentation(plan, free, takes)
    cellar = _fermentation(plan, times.pitched_at, free, takes)
    steps = sorted([*_brew_day(plan, times, takes), *cellar, *after], key=lambda step: step.at)
    return Schedule(tuple(steps), free.at, after[-1].at)


class _Window(NamedTuple):
    """When something that waits for the beer is done."""

    earliest_at: datetime
    at: datetime
    latest_at: datetime

    def after(self, days: Days) -> "_Window":
        """So many days later."""
        return _Window(
            self.earliest_at + timedelta(days=days.least),
            self.at + timedelta(days=days.usual),
            self.latest_at + timedelta(days=days.most),
        )

    def before(self, days: int, not_before: datetime) -> "_Window":
        """So many days sooner, but not before that."""
        sooner = (max(not_before, moment - timedelta(days=days)) for moment in self)
        return _Window(*sooner)

    def step(self, code: str, detail: Said) -> Step:
        """What is to be done then."""
        return Step(code, self.at, detail, self.earliest_at, self.latest_at)


def _days(own: int | None, usual: Days) -> Days:
    return usual if own is None else Days(own, own, own)


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
        say(
            "Heat {water} of strike water to {hot}.",
            water=litres(water.strike_l),
            hot=degrees(heat.strike_water_c),
        ),
    )
    yield Step(
        "mash_in", times.mashes_at, say("Mash in {grain} of grain.", grain=kilograms(plan.grain_kg))
    )
    now = times.mashes_at
    for rest in heat.mash:
        said = say(
            "Rest at {warm} for {time:.0f} min.",
            warm=degrees(rest.temperature_c),
            time=rest.time_min,
        )
        yield Step("rest", now, said)
        now += timedelta(minutes=rest.time_min)
    yield Step("drain", times.drains_at, "Read the first wort and drain the grain.")
    now = times.drains_at + timedelta(minutes=takes.drain_min)
    for sparge_l in water.sparge_l:
        said = say("Sparge with {water} and drain again.", water=litres(sparge_l))
        yield Step("sparge", now, said)
        now += timedelta(minutes=takes.sparge_min)
    said = say(
        "Read volume and gravity, {wort} cold expected; heat to the boil.",
        wort=litres(water.preboil_l),
    )
    yield Step("read_before_boil", times.read_at, said)
    yield Step("boil", times.boils_at, f"Boil for {heat.boil_time_min:.0f} min.")
    yield from _hops_in_kettle(plan, times)
    yield Step("chill", times.chills_at, "Read volume and gravity after the boil; chill.")
    said = say(
        "Run {wort} into the fermenter, aerate, pitch the yeast.", wort=litres(water.fermenter_l)
    )
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


def _hop_said(hop: PlannedHop) -> Sentence:
    then = {
        Moment.BOIL: ": {time:.0f} min in the boil.",
        Moment.STAND: " and let it stand for {time:.0f} min.",
        Moment.DRY: " dry.",
    }.get(hop.moment, ".")
    mass = grams(hop.to_weigh_kg)
    return say("Add {mass} of {hop}" + then, mass=mass, hop=hop.name, time=hop.time_min)


def _fermentation(
    plan: Plan, pitched_at: datetime, free: _Window, takes: Durations
) -> Iterator[Step]:
    dry = [hop for hop in plan.hop_bill if hop.moment is Moment.DRY and hop.to_weigh_kg > 0.0]
    adds = free.before(takes.dry_hop_days, pitched_at)
    for hop in dry:
        yield adds.step("dry_hop", _hop_said(hop))
    expected = plan.forecast.final_gravity.mean
    for days in (2, 0):
        said = f"Read the gravity; about {expected:.3f} is expected."
        yield free.before(days, pitched_at).step("read_gravity", said)


def _after_fermentation(plan: Plan, free: _Window, takes: Durations) -> list[Step]:
    """Racking, ageing and packaging, all on condition that the gravity has come to rest."""
    ageing = _days(takes.ageing_days, _days_for(plan, AGEING_DAYS))
    steps, packaged = [], free.after(ageing)
    if ageing.most > 0:
        said = "Rack to the ageing vessels, to the neck, under an airlock, once the gravity stays."
        steps.append(free.step("rack", said))
    package = say(
        "Package {beer}, if the gravity was the same for three days.",
        beer=litres(plan.water.packaged_l),
    )
    steps.append(packaged.step("package", package))
    ready = packaged.after(_days(takes.conditioning_days, CONDITIONING_DAYS))
    steps.append(ready.step("ready", "The first bottle may be opened."))
    return steps


def _days_for(plan: Plan, table: tuple[tuple[float, Days], ...]) -> Days:
    return next(days for below, days in table if plan.asked.gravity < below)
