"""Sessions as the brewers of invented brewhouses record them: volumes and gravities, with error."""

import datetime as dt
from dataclasses import replace

import numpy as np

from benchmarks.brewhouse import USUAL_NOISE, draw_day, gravity_of, wort_litres
from wortwright.records.grist import AddedTo, Fermentable, Kind, Role
from wortwright.records.session import Reading, Session, SessionState, Stage, WaterUsed

MOISTURE = 0.04


def draw_session(rng, house, potential, noise=USUAL_NOISE):
    """One brew with everything read: reduce it with `recorded`."""
    return written_down(rng, draw_day(rng, house, potential, noise), noise)


def written_down(rng, day, noise=USUAL_NOISE):
    """What its brewer read of it."""
    done, plan = day.done, day.done.plan

    def volume(true_l):
        return float(true_l * (1.0 + rng.normal(0.0, noise.volume)))

    def gravity(litres):
        return float(gravity_of(done.kettle_kg / litres) + rng.normal(0.0, noise.gravity))

    mashed_kg = done.first_wort_kg_per_kg * np.exp(rng.normal(0.0, noise.first_wort))
    first_wort = gravity_of(_per_litre(mashed_kg))
    return Session(
        brewed_at=dt.datetime(2025, 1, 1, tzinfo=dt.UTC),
        grist=(grain(plan.grain_kg, plan.extract_yield),),
        readings=(
            Reading(Stage.FIRST_WORT, gravity=float(first_wort)),
            Reading(Stage.PRE_BOIL, volume(done.preboil_l), gravity=gravity(done.preboil_l)),
            Reading(Stage.POST_BOIL, volume(day.postboil_l)),
            Reading(Stage.FERMENTER, volume(day.fermenter_l), gravity=gravity(day.postboil_l)),
        ),
        planned_preboil_l=float(plan.preboil_l),
        water=WaterUsed(volume(done.strike_l), volume(done.sparge_l)),
        boil_time_min=day.boil_min,
        state=SessionState.CLOSED,
    )


def _per_litre(kg_per_kg):
    return kg_per_kg / wort_litres(1.0 - kg_per_kg, kg_per_kg)


def grain(mass_kg, as_is_yield):
    dry_yield = as_is_yield / (1.0 - MOISTURE)
    return Fermentable(
        "invented malt",
        Kind.BASE_MALT,
        float(dry_yield),
        MOISTURE,
        5.0,
        AddedTo.MASH,
        Role.BASE,
        mass_kg=float(mass_kg),
    )


RECORDS = {
    "least": {Stage.FERMENTER},
    "pre-boil": {Stage.PRE_BOIL},
    "full": {Stage.PRE_BOIL, Stage.POST_BOIL, Stage.FERMENTER},
    "first wort": set(Stage),
}
"""Which stages are read. `least` and `pre-boil` know no water, `least` no planned volume; `full`
is water, planned and all other volumes, pre-boil and original gravity."""


def recorded(session, record):
    stages = RECORDS[record]
    readings = tuple(reading for reading in session.readings if reading.stage in stages)
    session = replace(session, readings=readings)
    if record in ("least", "pre-boil"):
        session = replace(session, water=WaterUsed())
    return replace(session, planned_preboil_l=None) if record == "least" else session


def blundered(rng, session, share=0.15):
    """With the chance `share`, one gravity of the session is off by -0.012 to +0.010."""
    spots = [i for i, reading in enumerate(session.readings) if reading.gravity]
    wrong = spots[rng.integers(len(spots))]
    shift = rng.uniform(-0.012, 0.010)
    if rng.uniform() > share:
        return session
    readings = list(session.readings)
    readings[wrong] = replace(readings[wrong], gravity=readings[wrong].gravity + shift)
    return replace(session, readings=tuple(readings))
