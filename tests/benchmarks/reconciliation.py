"""How well one session's readings are reconciled, and how honest the certainties are.

    PYTHONPATH=service python tests/benchmarks/reconciliation.py --houses 400

Invented brewhouses with six sessions: five calibrate, the sixth is reconciled. Printed are how
often the 80 % intervals hold the truth, how often a reading that is off by so many points, or
parts in a hundred, is the one that is named, how often one is named where none is wrong, and how
often a claim about where the extract was lost is right, beside the certainty it was made with;
that is only claimed of brews whose first wort was read.
"""

import argparse
import sys
from dataclasses import dataclass, field, replace
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from benchmarks.brewhouse import USUAL, WATER, Noise, draw_day, draw_house, gravity_of
from benchmarks.recorded_sessions import draw_session, recorded, written_down
from wortwright.calibration.curve import (
    PARAMETERS,
    Mash,
    Parameters,
    conversion_at,
    mash_efficiency,
)
from wortwright.calibration.extract_lost import Place
from wortwright.calibration.fit import fit_calibration
from wortwright.calibration.reconciliation import reconcile
from wortwright.records.session import Stage

SEED = 41
TAUGHT = 5


@dataclass
class Scores:
    """What was found over all houses."""

    held: dict = field(default_factory=dict)
    named: dict = field(default_factory=dict)
    claims: list = field(default_factory=list)
    tried: int = 0

    def coverage(self):
        return {name: float(np.mean(held)) for name, held in self.held.items()}

    def claimed(self):
        """Share of sessions with a claim, how often it was right, and its mean certainty."""
        right, certainty = np.array(self.claims, dtype=float).reshape(-1, 2).T
        return len(right) / self.tried, float(right.mean()), float(certainty.mean())


BLUNDERS = {
    "pre-boil gravity": (Stage.PRE_BOIL, "gravity", 0.009),
    "original gravity": (Stage.FERMENTER, "gravity", 0.009),
    "first wort": (Stage.FIRST_WORT, "gravity", 0.012),
    "pre-boil volume": (Stage.PRE_BOIL, "volume_l", 0.15),
    "post-boil volume": (Stage.POST_BOIL, "volume_l", 0.15),
    "fermenter volume": (Stage.FERMENTER, "volume_l", 0.15),
}
"""Gravities are off by so much, volumes by such a part, to either side."""

NAMES = {
    "pre-boil gravity": "preboil_gravity",
    "original gravity": "fermenter_gravity",
    "first wort": "first_wort_gravity",
    "pre-boil volume": "preboil_volume",
    "post-boil volume": "postboil_volume",
    "fermenter volume": "fermenter_volume",
}


def drawn(rng, *, faults=False):
    """The calibration of a house, and a brew beside it; with ``faults`` some mashes go wrong."""
    house = draw_house(rng)
    taught = [(str(i), draw_session(rng, house, USUAL)) for i in range(TAUGHT)]
    calibration = fit_calibration(house.setup, taught)
    brewing = house
    kind = rng.choice(["none", "conversion", "washing"]) if faults else "none"
    size = rng.uniform(0.04, 0.12)
    if kind == "conversion":
        brewing = replace(house, conversion=house.conversion * np.exp(-size))
    day = draw_day(rng, brewing, USUAL)
    if kind == "washing":
        kettle_kg = day.done.kettle_kg * np.exp(-size)
        day = replace(day, done=replace(day.done, kettle_kg=kettle_kg))
    return calibration, day


def truth_of(day):
    """What was truly there, by the names of the answer."""
    done = day.done
    potential_kg = done.plan.grain_kg * done.plan.extract_yield
    dissolved = done.first_wort_kg_per_kg
    dissolved_kg = dissolved / (1.0 - dissolved) * done.strike_l * WATER
    return {
        "water_in": done.strike_l + done.sparge_l,
        "preboil_volume": done.preboil_l,
        "postboil_volume": day.postboil_l,
        "fermenter_volume": day.fermenter_l,
        "preboil_gravity": gravity_of(done.kettle_kg / done.preboil_l),
        "fermenter_gravity": gravity_of(done.kettle_kg / day.postboil_l),
        "conversion": dissolved_kg / potential_kg,
        "mash_efficiency": done.kettle_kg / potential_kg,
        "boil_off": (done.preboil_l - day.postboil_l) / day.boil_min * 60.0,
        "kettle_loss": day.postboil_l - day.fermenter_l,
    }


def shortfalls(calibration, day):
    """Conversion and washing against what was expected of this mash, as logarithms."""
    done, posterior = day.done, calibration.efficiency
    theta = Parameters(*posterior.mean[: len(PARAMETERS)])
    plan = done.plan
    mash = Mash(plan.grain_kg, plan.extract_yield, done.preboil_l, done.strike_l)
    conversion = conversion_at(theta, plan.grain_kg / done.strike_l)
    efficiency = mash_efficiency(theta, posterior.method, posterior.runnings, mash)
    truth = truth_of(day)
    by_conversion = np.log(truth["conversion"] / conversion)
    return by_conversion, np.log(truth["mash_efficiency"] / efficiency) - by_conversion


def wrong(rng, session, blunder):
    stage, what, size = BLUNDERS[blunder]
    size *= rng.choice([-1.0, 1.0])

    def off(reading):
        value = getattr(reading, what)
        return replace(reading, **{what: value + size if what == "gravity" else value * (1 + size)})

    readings = tuple(off(one) if one.stage is stage else one for one in session.readings)
    return replace(session, readings=readings)


def run(houses, *, record="first wort", faults=False, blunders=()):
    scores = Scores()
    for number in range(houses):
        rng = np.random.default_rng([SEED, number])
        calibration, day = drawn(rng, faults=faults)
        session = recorded(written_down(rng, day, Noise()), record)
        answer = reconcile(session, calibration)
        scores.tried += 1
        truth = truth_of(day)
        for one in answer.quantities:
            if one.name in truth:
                held = one.low_80.value <= truth[one.name] <= one.high_80.value
                scores.held.setdefault(str(one.name), []).append(held)
        names = [one.name for one in answer.disagreements]
        scores.named.setdefault("none", []).append((bool(names), bool(names)))
        for blunder in blunders:
            found = reconcile(wrong(rng, session, blunder), calibration).disagreements
            names = [str(one.name) for one in found]
            named = (NAMES[blunder] in names[:1], NAMES[blunder] in names)
            scores.named.setdefault(blunder, []).append(named)
        lost = answer.extract_lost
        if lost.place is not None:
            conversion, washing = shortfalls(calibration, day)
            right = (conversion < washing) == (lost.place is Place.CONVERSION)
            scores.claims.append((right, lost.certainty))
    return scores


def main():
    asked = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    asked.add_argument("--houses", type=int, default=400)
    houses = asked.parse_args().houses
    scores = run(houses, blunders=BLUNDERS)
    print("80 % intervals that held the truth")
    for name, share in scores.coverage().items():
        print(f"  {name:20s} {share:6.1%}")
    print("a wrong reading: named first / named at all (`none`: where no reading is wrong)")
    for name, found in scores.named.items():
        first, at_all = np.mean(found, axis=0)
        print(f"  {name:20s} {first:6.1%} {at_all:6.1%}")
    print("where the extract was lost: sessions with a claim, claims right, certainty claimed")
    for faults in (False, True):
        found = run(houses, faults=faults)
        if found.claims:
            share, right, certainty = found.claimed()
            kind = "with faulty mashes" if faults else "usual mashes"
            print(f"  {kind:20s} {share:6.1%} {right:6.1%} {certainty:6.1%}")


if __name__ == "__main__":
    main()
