"""Setups that share in a club: what a newcomer gains, and what the others lose.

A club moves the conversion and absorption of all its setups to one side of what is usual, or
not at all. Errors are in points of gravity as in `calibration.py`, as a ratio to those of the
same setup that does not share.
"""

from dataclasses import dataclass, replace

import numpy as np

from benchmarks.brewhouse import (
    ABSORPTION,
    CONVERSION,
    STRONG,
    USUAL,
    Noise,
    brew,
    draw_house,
    draw_plan,
    draw_session,
    luck,
)
from benchmarks.changes import dated
from benchmarks.scoring import SEED, bar, figure, mash_plan, points, ratio
from wortwright.calibration.efficiency import mean_mash_efficiency
from wortwright.calibration.fit import fit_calibration
from wortwright.records.setup import BagDrained, Crush, GrainHeldBy

CLUB_SD, OWN_SD = {"conversion": 0.04, "absorption": 0.15}, {"conversion": 0.02, "absorption": 0.08}
OTHERS, SESSIONS, MANY = 8, 8, 20
COUNTS = (0, 1, 3, MANY)


@dataclass(frozen=True)
class Found:
    """Errors by strength and session count, shared and alone, and how far the forecast moved."""

    shared: dict
    alone: dict
    moved: list


def run(clubs, *, common):
    found = Found({}, {}, [])
    for number in range(clubs):
        rng = np.random.default_rng([SEED, 2, number])
        newcomer, *others = _club(rng, common)
        words = [_word(rng, house) for house in others]
        sessions = dated([draw_session(rng, newcomer, USUAL) for _ in range(MANY)])
        for strength, potential in (("usual", USUAL), ("strong", STRONG)):
            plan = draw_plan(rng, newcomer, potential)
            true_kg = brew(newcomer, plan, **luck(rng, newcomer, Noise())).kettle_kg
            for count in COUNTS:
                both = _errors(newcomer, sessions[:count], words, plan, true_kg)
                for errors, error in zip((found.shared, found.alone), both[:2], strict=True):
                    errors.setdefault((strength, count), []).append(error)
                if count == MANY:
                    found.moved.append(100.0 * abs(both[2]))
    return found


def _errors(house, sessions, words, plan, true_kg):
    """Errors of the forecast in points, shared and alone, and how far sharing moved it."""
    asked = mash_plan(house, plan, brew(house, plan))
    setup = replace(house.setup, shares_with_club=True)
    shared = mean_mash_efficiency(fit_calibration(setup, sessions, words), asked)
    alone = mean_mash_efficiency(fit_calibration(house.setup, sessions), asked)
    potential_kg = plan.grain_kg * plan.extract_yield
    true = points(true_kg, plan)
    return (
        points(shared * potential_kg, plan) - true,
        points(alone * potential_kg, plan) - true,
        shared - alone,
    )


def _word(rng, house):
    setup = replace(house.setup, shares_with_club=True)
    return fit_calibration(
        setup, dated([draw_session(rng, house, USUAL) for _ in range(SESSIONS)])
    ).own_word


def _club(rng, common):
    """Houses of one method, moved to one side together, or each drawn for itself.

    All are described in full, so that what is common is not how they are described.
    """
    method = draw_house(rng).method
    houses = []
    while len(houses) <= OTHERS:
        house = draw_house(rng)
        if house.method is method and house.crush is Crush.SHOP:
            houses.append(_told_in_full(house))
    if not common:
        return houses
    club = {name: rng.normal(0.0, sd) for name, sd in CLUB_SD.items()}
    return [_moved(rng, house, club) for house in houses]


def _told_in_full(house):
    in_bag = house.holder != "false bottom"
    setup = replace(
        house.setup,
        crush=house.crush,
        grain_held_by=GrainHeldBy.BAG if in_bag else GrainHeldBy.FALSE_BOTTOM,
        bag_drained=BagDrained(house.holder) if in_bag else None,
    )
    return replace(house, setup=setup)


def _moved(rng, house, club):
    usual = {
        "conversion": CONVERSION[house.crush][0],
        "absorption": ABSORPTION[house.holder][0],
    }
    moved = {name: usual[name] + club[name] + rng.normal(0.0, OWN_SD[name]) for name in usual}
    return replace(
        house,
        conversion=float(np.clip(moved["conversion"], 0.5, 0.995)),
        absorption=float(max(moved["absorption"], 0.4)),
    )


def report(common, apart):
    print(f"\nclub of {OTHERS} setups with {SESSIONS} sessions each and a newcomer")
    print("  error shared by error alone: with something in common, without")
    for strength, count in common.shared:
        key = (strength, count)
        figures = [
            figure(ratio(found.shared[key], found.alone[key]), "{:.3f}")
            for found in (common, apart)
        ]
        print(f"  {strength:6s} {count:2d}  {figures[0]}  {figures[1]}")
    for strength in ("usual", "strong"):
        one = (strength, 1)
        bar(
            f"newcomer, {strength}, after one",
            ratio(common.shared[one], common.alone[one]),
            most=0.85,
        )
        worst = max(
            (
                ratio(apart.shared[strength, count], apart.alone[strength, count])
                for count in COUNTS
            ),
            key=lambda triple: triple[0],
        )
        bar(f"nothing in common, {strength}, worst", worst, most=1.03)
    moved = np.array(common.moved + apart.moved)
    spread = moved.mean(), *np.quantile(moved, (0.5, 0.95))
    bar(f"moved after {MANY}, percentage points", spread, most=0.3)
