"""Changes of the mill: how soon a forecast follows one that was recorded, or was not.

A house brews on, then its mill changes the mash efficiency of a usual brew by 6 percentage
points up or down. Errors are in points of gravity as in `calibration.py`, as a ratio to those
of a brewhouse known exactly.
"""

import datetime as dt
from dataclasses import dataclass, replace

import numpy as np

from benchmarks.brewhouse import USUAL, Noise, brew, draw_house, draw_plan, luck
from benchmarks.recorded_sessions import draw_session, recorded
from benchmarks.scoring import SEED, bar, figure, mash_plan, points, ratio, share
from wortwright.calibration.efficiency import mean_mash_efficiency
from wortwright.calibration.fit import fit_calibration
from wortwright.records.setup import Change, Changed

FIRST_DAY = dt.datetime(2025, 1, 1, tzinfo=dt.UTC)
DAYS_BETWEEN = 14
CHANGE = 0.06
BEFORE, AFTER, UNCHANGED = 8, 6, 20
MOST_EFFICIENT_MILL = 0.99


@dataclass(frozen=True)
class Found:
    """What a few houses gave.

    ``recorded`` and ``silent`` are errors by the number of sessions after the change, each
    beside those of the house known exactly; ``followed`` is how much of the change the silent
    forecast had made its own after the last of them.
    """

    recorded: dict
    silent: dict
    known: dict
    pointed_out: list
    falsely: list
    followed: list


def run(houses, record="full", **drawn):
    found = Found({}, {}, {}, [], [], [])
    for number in range(houses):
        rng = np.random.default_rng([SEED, 1, number])
        house = draw_house(rng, **drawn)
        _change(found, rng, house, remilled(rng, house), record)
        brewed = dated(_brewed(rng, house, UNCHANGED, record))
        counts = range(1, UNCHANGED + 1)
        found.falsely.append(
            any(fit_calibration(house.setup, brewed[:count]).suspected for count in counts)
        )
    return found


def remilled(rng, house):
    """The house with its mill set finer or coarser."""
    plan = draw_plan(rng, house, USUAL)
    efficiency = brew(house, plan).kettle_kg / (plan.grain_kg * plan.extract_yield)
    finer, coarser = (
        house.conversion * (1.0 + change / efficiency) for change in (CHANGE, -CHANGE)
    )
    is_finer = finer < MOST_EFFICIENT_MILL and rng.uniform() < 0.5
    return replace(house, conversion=finer if is_finer else coarser)


def dated(sessions):
    days = (FIRST_DAY + dt.timedelta(days=DAYS_BETWEEN * place) for place in range(len(sessions)))
    return [
        (f"{place:03d}", replace(session, brewed_at=day))
        for place, (session, day) in enumerate(zip(sessions, days, strict=True))
    ]


def _brewed(rng, house, count, record):
    return [recorded(draw_session(rng, house, USUAL), record) for _ in range(count)]


def _change(found, rng, old, new, record):
    brewed = dated(_brewed(rng, old, BEFORE, record) + _brewed(rng, new, AFTER, record))
    changed = Change(brewed[BEFORE][1].brewed_at.date(), Changed.MILL)
    told = replace(old.setup, changes=(changed,))
    plan = draw_plan(rng, new, USUAL)
    known = brew(new, plan)
    true = points(brew(new, plan, **luck(rng, new, Noise())).kettle_kg, plan)
    suspected = False
    for after in range(AFTER + 1):
        sessions = brewed[: BEFORE + after]
        silent = fit_calibration(old.setup, sessions)
        silent_kg = _forecast_kg(silent, new, plan, known)
        recorded_kg = _forecast_kg(fit_calibration(told, sessions), new, plan, known)
        for errors, extract_kg in (
            (found.recorded, recorded_kg),
            (found.silent, silent_kg),
            (found.known, known.kettle_kg),
        ):
            errors.setdefault(after, []).append(points(extract_kg, plan) - true)
        suspected = suspected or (0 < after <= 4 and bool(silent.suspected))
    found.pointed_out.append(suspected)
    old_kg = brew(old, plan).kettle_kg
    found.followed.append((silent_kg - old_kg) / (known.kettle_kg - old_kg))


def _forecast_kg(calibration, house, plan, known):
    efficiency = mean_mash_efficiency(calibration, mash_plan(house, plan, known))
    return efficiency * plan.grain_kg * plan.extract_yield


def report(found, record):
    print(f"\nmill changed by 6 points after {BEFORE} usual brews: record '{record}'")
    print("  brews since, ratio to a house known exactly: recorded, not recorded")
    for after in range(AFTER + 1):
        recorded, silent = (
            figure(ratio(errors[after], found.known[after]))
            for errors in (found.recorded, found.silent)
        )
        print(f"  {after}  {recorded}  {silent}")
    bar("recorded, after three", ratio(found.recorded[3], found.known[3]), most=1.5)
    bar("pointed out within four", share(found.pointed_out), least=0.80)
    bar(f"pointed out wrongly in {UNCHANGED}", share(found.falsely), most=0.05)
    nearer = [followed > 0.5 for followed in found.followed]
    bar(f"nearer the new mill after {AFTER}", share(nearer), least=0.80)
    print(f"  of the change followed after {AFTER}: {np.mean(found.followed):.2f} on average")
