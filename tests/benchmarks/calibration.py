"""How well the calibration forecasts brews of invented brewhouses; prints a table of bars.

    PYTHONPATH=service python tests/benchmarks/calibration.py --houses 400

Error: |gravity of the forecast extract - gravity of the extract the kettle then really held|,
both at the planned post-boil volume, in points (0.001). Ratio: by the same error of a brewhouse
that is known exactly, on the same brews. In brackets the 95 % bootstrap interval over houses.
"""

import argparse
import sys
import time
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from benchmarks import changes, clubs
from benchmarks.brewhouse import (
    STRONG,
    USUAL,
    Noise,
    Plan,
    brew,
    draw_house,
    draw_plan,
    extract_per_litre,
    gravity_of,
    luck,
)
from benchmarks.recorded_sessions import blundered, draw_session, recorded
from benchmarks.scoring import SEED, figure, mash_plan, points, ratio
from wortwright.calibration.efficiency import (
    forecast_mash_efficiency,
    mean_mash_efficiency,
)
from wortwright.calibration.fit import fit_calibration
from wortwright.calibration.posterior import MashPlan

COUNTS = (0, 1, 2, 3, 5, 10, 20)
PROBABILITIES = (0.5, 0.8, 0.95)


@dataclass(frozen=True)
class Case:
    """One benchmark case: which houses, what is written down, what goes wrong."""

    name: str
    record: str = "full"
    blunders: bool = False
    foreign: float = 0.0
    brew_log_sd: float | None = None
    thick: bool = False


CASES = (
    Case("clean"),
    Case("first wort", record="first wort"),
    Case("blunders", blunders=True),
    Case("foreign", foreign=1.0),
    Case("pre-boil only", record="pre-boil"),
    Case("least record", record="least"),
    Case("scatter 0.05", brew_log_sd=0.05),
    Case("foreign twice", foreign=2.0),
    Case("thick mash", thick=True),
)
"""The first four carry the bars; the others tell where the limits are."""


@dataclass
class Scores:
    """What one case gave, by strength and session count: errors, coverage, slopes."""

    errors: dict = field(default_factory=dict)
    held: dict = field(default_factory=dict)
    slopes: dict = field(default_factory=dict)

    def add(self, key, predictor, points):
        self.errors.setdefault((*key, predictor), []).append(points)

    def ratio(self, strength, count, predictor="model"):
        key = (strength, count)
        return ratio(self.errors[(*key, predictor)], self.errors[(*key, "known")])

    def bias(self, strength, count):
        return np.mean(self.errors[strength, count, "model"])

    def coverage(self, strength, count, probability=0.8):
        held = np.array(self.held[strength, count], dtype=float)
        held = held[:, PROBABILITIES.index(probability)]
        half = 1.96 * np.sqrt(held.mean() * (1.0 - held.mean()) / len(held))
        return held.mean(), held.mean() - half, held.mean() + half


def run(case, houses, counts=COUNTS):
    scores = Scores()
    for number in range(houses):
        rng = np.random.default_rng([SEED, number])
        house = draw_house(
            rng, foreign=case.foreign, brew_log_sd=case.brew_log_sd, thick=case.thick
        )
        sessions = [
            recorded(draw_session(rng, house, USUAL), case.record) for _ in range(max(counts))
        ]
        if case.blunders:
            sessions = [blundered(rng, session) for session in sessions]
        asked = {
            name: _asked(rng, house, potential)
            for name, potential in (("usual", USUAL), ("strong", STRONG))
        }
        for count in counts:
            _score(scores, house, sessions[:count], asked)
    return scores


def _asked(rng, house, potential):
    """A plan, the extract the kettle then holds, and what the exactly known house forecasts."""
    plan = draw_plan(rng, house, potential)
    return plan, brew(house, plan, **luck(rng, house, Noise())).kettle_kg, brew(house, plan)


def _score(scores, house, sessions, asked):
    calibration = fit_calibration(house.setup, [(str(i), s) for i, s in enumerate(sessions)])
    for strength, (plan, true_kg, known) in asked.items():
        key = (strength, len(sessions))
        potential_kg = plan.grain_kg * plan.extract_yield
        forecast = forecast_mash_efficiency(calibration, mash_plan(house, plan, known))
        guesses = {"known": known.kettle_kg, "model": forecast.mean * potential_kg}
        if sessions:
            guesses["average"] = average_efficiency(sessions) * potential_kg
        if len(sessions) in (3, 5):
            guesses["least squares"] = least_squares(sessions, plan) * potential_kg
        for predictor, extract_kg in guesses.items():
            scores.add(key, predictor, points(extract_kg, plan) - points(true_kg, plan))
        intervals = [forecast.interval(probability) for probability in PROBABILITIES]
        scores.held.setdefault(key, []).append(
            [low <= true_kg / potential_kg <= high for low, high in intervals]
        )
    scores.slopes.setdefault(len(sessions), []).append(_slope_error(calibration, house))


def _slope_error(calibration, house):
    """Error of the curve's slope over the usual loads, percentage points per 0.1 kg/L."""
    drop = []
    for potential in USUAL:
        plan = Plan(potential * house.batch_l / 0.76, 0.76, house.batch_l)
        known = brew(house, plan)
        forecast = mean_mash_efficiency(calibration, mash_plan(house, plan, known))
        drop.append(forecast - known.kettle_kg / (plan.grain_kg * plan.extract_yield))
    return 100.0 * (drop[1] - drop[0]) / ((USUAL[1] - USUAL[0]) / 0.76) * 0.1


def _as_read(session):
    """Mash efficiency, grain load and gravity by one session's readings, naively."""
    reading = next((r for r in session.readings if r.stage == "pre_boil"), session.readings[-1])
    volume_l = reading.volume_l + (1.2 if reading.stage == "fermenter" else 0.0)
    grain = session.grist[0]
    extract_kg = volume_l * extract_per_litre(reading.gravity)
    return (
        extract_kg / (grain.mass_kg * grain.as_is_yield),
        grain.mass_kg / volume_l,
        reading.gravity,
    )


def average_efficiency(sessions):
    return np.mean([_as_read(session)[0] for session in sessions])


def least_squares(sessions, plan):
    """The trap: efficiency on grain load and *measured* gravity, then asked at the plan."""
    efficiency, load, gravity = np.array([_as_read(session) for session in sessions]).T
    design = np.column_stack([np.ones_like(load), load, 1000.0 * (gravity - 1.0)])
    slopes = np.linalg.lstsq(design, efficiency, rcond=None)[0]
    load_asked = plan.grain_kg / plan.preboil_l
    aim = np.mean(efficiency)
    for _ in range(50):
        extract = aim * plan.grain_kg * plan.extract_yield / plan.preboil_l
        points = 1000.0 * (gravity_of(max(extract, 0.0)) - 1.0)
        aim = 0.5 * aim + 0.5 * np.clip(slopes @ [1.0, load_asked, points], 0.02, 1.0)
    return aim


def report(case, scores, counts):
    print(f"\n{case.name}: record '{case.record}'")
    print("  sessions, ratio of the model, of the average, of least squares; held by 50/80/95 %")
    for strength in ("usual", "strong"):
        for count in counts:
            others = [
                figure(scores.ratio(strength, count, name))
                if (strength, count, name) in scores.errors
                else "-"
                for name in ("average", "least squares")
            ]
            held = [scores.coverage(strength, count, p)[0] for p in PROBABILITIES]
            print(
                f"  {strength:6s} {count:2d}  {figure(scores.ratio(strength, count))}"
                f"  {others[0]:>20s}  {others[1]:>20s}  "
                + " / ".join(f"{share:.3f}" for share in held)
                + f"  bias {scores.bias(strength, count):+.2f} points"
            )
    for count in counts[-2:]:
        error = np.array(scores.slopes[count])
        print(
            f"  slope over the usual loads after {count}: mean error {error.mean():+.2f} +- "
            f"{1.96 * error.std() / np.sqrt(len(error)):.2f} percentage points per 0.1 kg/L"
        )


def bars(results, counts):
    """The bars of the calibration beside what was measured."""
    rows = [
        ("strong after 3, clean", 1.35, "clean", "strong", 3),
        ("strong after 3, with first wort", 1.25, "first wort", "strong", 3),
        ("strong after 3, 15 % blunders", 1.45, "blunders", "strong", 3),
        ("strong after 3, foreign physics", 1.38, "foreign", "strong", 3),
        ("usual after 5, clean", 1.22, "clean", "usual", 5),
    ]
    print("\nbars")
    for label, bar, case, strength, count in rows:
        if case in results and count in counts:
            measured = results[case].ratio(strength, count)
            verdict = "met" if measured[0] <= bar else "NOT MET"
            print(f"  {label:34s} at most {bar:.2f}: {figure(measured)}  {verdict}")
    for case, low, high in (
        ("clean", 0.76, 0.86),
        ("first wort", 0.76, 0.86),
        ("blunders", 0.70, 0.88),
        ("foreign", 0.70, 0.88),
    ):
        if case in results:
            for strength in ("usual", "strong"):
                shares = [results[case].coverage(strength, count)[0] for count in counts]
                inside = low <= min(shares) and max(shares) <= high
                print(
                    f"  80 % interval, {case:10s} {strength:6s} {low:.2f} to {high:.2f}: "
                    f"{min(shares):.3f} to {max(shares):.3f}  {'met' if inside else 'NOT MET'}"
                )


def timings(repeats=30):
    """Milliseconds of processor time: the median of the refits, and of one forecast."""
    rng = np.random.default_rng(SEED)
    house = draw_house(rng)
    sessions = [
        (str(i), recorded(draw_session(rng, house, USUAL), "first wort")) for i in range(500)
    ]
    plan = MashPlan(8.0, 0.76, 25.0)

    def median_ms(action):
        spent = []
        for _ in range(repeats):
            begun = time.process_time()
            action()
            spent.append(1000.0 * (time.process_time() - begun))
        return np.median(spent)

    print("\ntimes")
    for count, bar in ((5, 5.0), (50, 10.0), (500, 20.0)):
        refit = median_ms(lambda count=count: fit_calibration(house.setup, sessions[:count]))
        calibration = fit_calibration(house.setup, sessions[:count])
        forecasts = median_ms(
            lambda calibration=calibration: [
                forecast_mash_efficiency(calibration, plan) for _ in range(1000)
            ]
        )
        print(
            f"  {count:3d} sessions: refit {refit:.1f} ms (bar {bar:.0f}), "
            f"one forecast {forecasts / 1000.0:.4f} ms (bar 0.1)"
        )


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--houses", type=int, default=400)
    parser.add_argument(
        "--case", action="append", choices=[*(case.name for case in CASES), "changes", "club"]
    )
    parser.add_argument("--counts", type=int, nargs="+", default=COUNTS)
    arguments = parser.parse_args()
    results = {}
    for case in CASES:
        if arguments.case is None or case.name in arguments.case:
            results[case.name] = run(case, arguments.houses, arguments.counts)
            report(case, results[case.name], arguments.counts)
    bars(results, arguments.counts)
    if arguments.case is None or "changes" in arguments.case:
        for record in ("full", "first wort", "pre-boil"):
            changes.report(changes.run(arguments.houses, record), record)
    if arguments.case is None or "club" in arguments.case:
        for record in ("full", "least"):
            found = (clubs.run(arguments.houses, common=c, record=record) for c in (True, False))
            clubs.report(*found, record)
    timings()


if __name__ == "__main__":
    main()
