"""How well every constant of a setup is learnt; prints a table of coverage and errors.

    PYTHONPATH=service python tests/benchmarks/constants.py --setups 400

Coverage: how often mean +- 1.2816 sd holds the truth; 80 % is meant. Error: |mean - truth|, beside
that of the prior. Then what plans make of it: errors of the final gravity, of the mash after a
strike temperature was computed, of the end of the rest and of the volume packaged, as ratios to
those of a setup that is known exactly, in brackets the 95 % bootstrap interval.
"""

import argparse
import sys
from collections import defaultdict
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from benchmarks.brew_notes import GRAIN_C, draw_brewer, misread, note
from benchmarks.brewhouse import USUAL
from benchmarks.recorded_sessions import blundered
from benchmarks.scoring import SEED, figure, ratio
from wortwright.brewing.heat import strike_temperature_c
from wortwright.calibration.attenuation import Ferment, expected_attenuation
from wortwright.calibration.fit import fit_calibration

COUNTS = (0, 1, 3, 5, 10, 20)
SCORE_80 = 1.2816
WANTED_C, REST_H = 66.0, 1.0


class Learnt:
    """What some hundred setups gave, by constant or forecast and the number of sessions."""

    def __init__(self):
        self.held, self.errors, self.before = (defaultdict(list) for _ in range(3))
        self.forecast, self.known = defaultdict(list), defaultdict(list)

    def coverage(self, name, count):
        return float(np.mean(self.held[name, count]))

    def error(self, name, count):
        """Mean error of a constant, and as a share of the prior's."""
        error = np.mean(np.abs(self.errors[name, count]))
        return error, error / np.mean(np.abs(self.before[name, count]))

    def ratio(self, name, count):
        return ratio(self.forecast[name, count], self.known[name, count])


def run(setups, counts=COUNTS, *, blunders=False):
    learnt = Learnt()
    for number in range(setups):
        rng = np.random.default_rng([SEED, 7, number])
        brewer = draw_brewer(rng)
        noted = [note(rng, brewer, USUAL) for _ in range(max(counts) + 1)]
        sessions = [one.session for one in noted]
        if blunders:
            sessions = [misread(rng, blundered(rng, one)) for one in sessions]
        for count in counts:
            brews = [(f"{place:03d}", one) for place, one in enumerate(sessions[:count])]
            known = fit_calibration(brewer.house.setup, brews)
            _score_constants(learnt, count, brewer, known)
            _score_forecasts(learnt, count, brewer, known, noted[-1])
    return learnt


def _score_constants(learnt, count, brewer, known):
    for name, truth in brewer.truth.items():
        one = known.constants[name]
        if not one.prior_sd:
            continue
        error = one.mean - truth
        learnt.held[name, count].append(abs(error) <= SCORE_80 * one.sd)
        learnt.errors[name, count].append(error)
        learnt.before[name, count].append(one.prior_mean - truth)


def _score_forecasts(learnt, count, brewer, known, ahead):
    """Forecasts of a brew not yet seen, by what was learnt and by knowing the setup exactly."""

    def add(name, forecast, by_truth, came):
        learnt.forecast[name, count].append(forecast - came)
        learnt.known[name, count].append(by_truth - came)

    constants = {name: one.mean for name, one in known.constants.items()}
    yeast = brewer.yeasts[ahead.yeast][0]
    ferment = Ferment(ahead.original_gravity, ahead.mash_c, 0.0, yeast)
    attained = expected_attenuation(known.attenuation, ferment)
    strength = 1000.0 * (ahead.original_gravity - 1.0)
    truly = brewer.attenuation(ahead.yeast, ahead.mash_c)
    came = 1000.0 * (ahead.final_gravity - 1.0)
    add("final gravity", strength * (1.0 - attained.mean), strength * (1.0 - truly), came)
    off = strength * (1.0 - attained.mean) - came
    learnt.held["final gravity", count].append(abs(off) <= SCORE_80 * strength * attained.sd)
    _score_mash(add, brewer, constants, ahead)
    packaged_l = ahead.fermenter_l - constants["fermenter_loss_l"]
    by_truth_l = ahead.fermenter_l - brewer.fermenter_loss_l
    add("volume packaged", packaged_l, by_truth_l, ahead.packaged_l)


def _score_mash(add, brewer, constants, ahead):
    """The mash that the computed strike water gives, with the luck that the brew had."""
    grain_kg, water_kg = ahead.session.grist[0].mass_kg, 0.998 * ahead.strike_l

    def mashed_in_c(offset_c, heat_kg):
        heat_kg = heat_kg if brewer.poured else 0.0
        strike_c = strike_temperature_c(
            WANTED_C - offset_c, grain_kg, GRAIN_C, water_kg, heat_kg, GRAIN_C
        )
        return brewer.mash_in_c(strike_c, water_kg, grain_kg) + ahead.mash_in_luck_c

    by_truth = mashed_in_c(brewer.mash_in_offset_c, brewer.vessel_heat_kg)
    learnt = mashed_in_c(constants["mash_in_offset_c"], constants["vessel_heat_kg"])
    add("mash temperature", learnt, by_truth, WANTED_C)
    ends_c = ahead.mash_c - REST_H * constants["mash_heat_loss_c_per_h"]
    truly_c = brewer.after_c(ahead.mash_c, REST_H)
    add("end of the rest", ends_c, truly_c, truly_c + ahead.cooling_luck_c)


def show(title, learnt, counts=COUNTS):
    print(f"\n{title}: coverage of the 80 % interval, and error as a share of the prior's")
    print(f"  {'':30s}" + "".join(f"{f'n = {count}':>16s}" for count in counts))
    for name in dict.fromkeys(name for name, _ in learnt.errors):
        cells = [
            f"{100.0 * learnt.coverage(name, count):5.0f} % {learnt.error(name, count)[1]:6.2f}"
            for count in counts
        ]
        print(f"  {name:30s}" + "".join(f"{cell:>16s}" for cell in cells))
    cells = [f"{100.0 * learnt.coverage('final gravity', count):5.0f} %       " for count in counts]
    print(f"  {'final gravity of a beer':30s}" + "".join(f"{cell:>16s}" for cell in cells))
    print("  errors of forecasts by those of a setup known exactly")
    for name in dict.fromkeys(name for name, _ in learnt.forecast):
        cells = [figure(learnt.ratio(name, count)) for count in counts]
        print(f"  {name:20s}" + "".join(f"{cell:>20s}" for cell in cells))


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--setups", type=int, default=400)
    setups = parser.parse_args().setups
    show("clean", run(setups))
    show("15 % blunders", run(setups, blunders=True))


if __name__ == "__main__":
    main()
