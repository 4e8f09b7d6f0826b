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
    luck,
)
from benchmarks.changes import dated
from benchmarks.recorded_sessions import draw_session, recorded
from benchmarks.scoring import SEED, bar, figure, mash_plan, points, ratio
from wortwright.calibration.efficiency import mean_mash_efficiency
from wortwright.calibration.fit import fit_calibration
from wortwright.calibration.history import SHARED
from wortwright.calibration.posterior import OwnWord
from wortwright.records.setup import BagDrained, Crush, GrainHeldBy

CLUB_SD, OWN_SD = {"conversion": 0.04, "absorption": 0.15}, {"conversion": 0.02, "absorption": 0.08}
OTHERS, SESSIONS, MANY = 8, 8, 20
NEARLY_NOTHING = 1e-3
COUNTS = (0, 1, 3, MANY)


@dataclass(frozen=True)
class Found:
    """Errors by predictor, strength and session count; and how far sharing moved a forecast.

    The predictors are ``shared``, ``alone``, and ``told``: of others that are known exactly.
    Each is set once against the brew with its luck and once, ``curve``, against what the house
    does on average.
    """

    errors: dict
    moved: list

    def against_alone(self, predictor, strength, count, of="brew"):
        key = (of, strength, count)
        return ratio(self.errors[(predictor, *key)], self.errors[("alone", *key)])


def run(clubs, *, common, record="full", counts=COUNTS):
    found = Found({}, [])
    for number in range(clubs):
        rng = np.random.default_rng([SEED, 2, number])
        newcomer, *others = _club(rng, common)
        words = {
            "shared": [_word(rng, house, record) for house in others],
            "alone": (),
            "told": [_exact_word(house) for house in others],
        }
        brewed = [recorded(draw_session(rng, newcomer, USUAL), record) for _ in range(MANY)]
        for strength, potential in (("usual", USUAL), ("strong", STRONG)):
            plan = draw_plan(rng, newcomer, potential)
            for count in counts:
                _score(found, rng, newcomer, dated(brewed[:count]), words, (strength, plan))
    return found


def _score(found, rng, house, sessions, words, asked):
    strength, plan = asked
    known = brew(house, plan)
    brewed = brew(house, plan, **luck(rng, house, Noise()))
    forecasts = {}
    for predictor, said in words.items():
        calibration = fit_calibration(house.setup, sessions, said)
        forecasts[predictor] = mean_mash_efficiency(calibration, mash_plan(house, plan, known))
        extract_kg = forecasts[predictor] * plan.grain_kg * plan.extract_yield
        for of, true_kg in (("brew", brewed.kettle_kg), ("curve", known.kettle_kg)):
            error = points(extract_kg, plan) - points(true_kg, plan)
            key = (predictor, of, strength, len(sessions))
            found.errors.setdefault(key, []).append(error)
    if len(sessions) == MANY:
        found.moved.append(100.0 * abs(forecasts["shared"] - forecasts["alone"]))


def _word(rng, house, record):
    """What the sessions of one setup say to its club."""
    brewed = [recorded(draw_session(rng, house, USUAL), record) for _ in range(SESSIONS)]
    return fit_calibration(replace(house.setup, shares_with_club=True), dated(brewed)).own_word


def _exact_word(house):
    """What a setup would say that is known exactly."""
    mean, variance = np.zeros(len(SHARED)), np.ones(len(SHARED))
    for name, value, usual in (
        ("conversion", house.conversion, CONVERSION[house.crush]),
        ("true_absorption_l_per_kg", house.absorption, ABSORPTION[house.holder]),
    ):
        mean[SHARED.index(name)] = (value - usual[0]) / usual[1]
        variance[SHARED.index(name)] = NEARLY_NOTHING
    return OwnWord(tuple(mean.tolist()), tuple(variance.tolist()))


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


def report(common, apart, record):
    print(
        f"\nclub of {OTHERS} setups with {SESSIONS} sessions each and a newcomer: record '{record}'"
    )
    print("  error by that of a newcomer alone: sharing, its error of the curve alone,")
    print("  told of others known exactly; sharing with nothing in common")
    for strength in ("usual", "strong"):
        for count in COUNTS:
            figures = [
                figure(found.against_alone(predictor, strength, count, of), "{:.3f}")
                for found, predictor, of in (
                    (common, "shared", "brew"),
                    (common, "shared", "curve"),
                    (common, "told", "brew"),
                    (apart, "shared", "brew"),
                )
            ]
            print(f"  {strength:6s} {count:2d}  {'  '.join(figures)}")
    for strength in ("usual", "strong"):
        gain = common.against_alone("shared", strength, 1)
        bar(f"newcomer, {strength}, after one", gain, most=0.85)
        worst = max(apart.against_alone("shared", strength, count) for count in COUNTS)
        bar(f"nothing in common, {strength}, worst", worst, most=1.03)
    moved = np.array(common.moved + apart.moved)
    spread = moved.mean(), *np.quantile(moved, (0.5, 0.95))
    bar(f"moved after {MANY}, percentage points", spread, most=0.3)
