"""CPU time of plans, ways out and batches: `PYTHONPATH=service python tests/benchmarks/plans.py`.

Prints figures and judges none: a machine that is busy takes longer. Times are of this process
(`time.process_time`), the best of several runs, so that other work on the machine counts little.
"""

import random
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from planning.kit import BAG, BARLEY_WINE, BITTER, bag_calibration, crystal, hop, pale
from wortwright.api import examples
from wortwright.api.app import create_app
from wortwright.api.extensions import DATABASE
from wortwright.brewing.errors import OutOfRangeError
from wortwright.planning.batch import size_batch
from wortwright.planning.limits import Limits
from wortwright.planning.plan import Asked
from wortwright.planning.recipe import read_recipe
from wortwright.planning.refit import make_plan
from wortwright.planning.target import Preferences, Target, TargetError
from wortwright.records.brewer import Club
from wortwright.records.grist import Moment, Purpose
from wortwright.records.recipe import Recipe, VolumeAt
from wortwright.records.setup import LauterMethod, Setup, Vessel
from wortwright.settings import Settings
from wortwright.usecases.clubs import create_club

PREFERENCES = Preferences()
FREEST = Preferences(limits=Limits(max_boil_min=240.0, max_brews=6, largest_extract_share=0.8))
KNOWN = bag_calibration()
PEPPER = "a pepper that is only good for measuring"


def cpu_ms(work: Callable[[], object], times: int = 10, rounds: int = 4) -> float:
    """CPU time of one call, the best of several rounds. [ms]"""
    work()
    best = float("inf")
    for _ in range(rounds):
        begun = time.process_time()
        for _ in range(times):
            work()
        best = min(best, (time.process_time() - begun) / times)
    return 1e3 * best


def any_recipe(rng: random.Random) -> Recipe:
    """An invented recipe of one to four hops, ordinary to strong."""
    gravity = rng.uniform(1.036, 1.110)
    litres = rng.uniform(10.0, 40.0)
    pale_kg = litres * (gravity - 1.0) * 3.4
    bill = tuple(
        hop(rng.uniform(0.01, 0.05), minutes, purpose, moment)
        for minutes, purpose, moment in (
            (60.0, Purpose.BITTERNESS, Moment.BOIL),
            (20.0, Purpose.BITTERNESS, Moment.BOIL),
            (5.0, Purpose.AROMA, Moment.BOIL),
            (0.0, Purpose.AROMA, Moment.DRY),
        )[: rng.randint(1, 4)]
    )
    grist = (pale(pale_kg), crystal(rng.uniform(0.02, 0.08) * pale_kg))
    return replace(
        BITTER,
        volume_l=litres,
        grist=grist,
        original_gravity=gravity,
        final_gravity=1.0 + 0.24 * (gravity - 1.0),
        hop_bill=bill,
    )


def any_setup(rng: random.Random) -> tuple[Setup, LauterMethod]:
    """A kettle of 15 to 60 L, with or without a sparge."""
    method = rng.choice(list(LauterMethod))
    vessels = replace(
        BAG.vessels,
        kettle=Vessel(rng.uniform(15.0, 60.0)),
        mash_tun=rng.choice([None, Vessel(rng.uniform(15.0, 45.0))]),
    )
    return replace(BAG, lauter_method=method, vessels=vessels), method


def ways_out(count: int, preferences: Preferences) -> list[float]:
    """CPU time of plans that do not fit, each with all its ways out. [ms]"""
    rng, took = random.Random(7), []
    while len(took) < count:
        (setup, method), recipe = any_setup(rng), any_recipe(rng)
        known = bag_calibration(method=method)
        target = Target(rng.uniform(10.0, 40.0), VolumeAt.FERMENTER)
        try:
            plan = make_plan(recipe, setup, known, target, preferences)
        except (TargetError, OutOfRangeError):
            continue
        if not plan.fit.fits or not plan.fit.reaches_gravity:
            took.append(
                cpu_ms(lambda: make_plan(recipe, setup, known, target, preferences), 1, 2)  # noqa: B023
            )
    return sorted(took)


def solver(volume_at: VolumeAt) -> float:
    """CPU time of the solver for one recipe of a batch of 200. [ms]"""
    rng = random.Random(3)
    reads = [read_recipe(any_recipe(rng)) for _ in range(200)]
    asked = [Asked(18.0, volume_at, read.original_gravity, None) for read in reads]
    return cpu_ms(lambda: size_batch(reads, asked, BAG, KNOWN, PREFERENCES), 3) / 200.0


def over_http() -> tuple[float, float]:
    """CPU time of one of 200 single calls, and of one recipe of a batch, end to end. [ms]"""
    with tempfile.TemporaryDirectory() as folder:
        url = f"sqlite:///{folder}/bench.sqlite3"
        settings = Settings(pepper=PEPPER, database_url=url, rate_limit="1000000 per minute")
        app = create_app(settings)
        app.extensions[DATABASE].migrate()
        try:
            key = create_club(app.extensions[DATABASE], Club("Millrace Lane"), PEPPER)[1]
            return _calls(app.test_client(), {"Authorization": f"Bearer {key}"})
        finally:
            app.extensions[DATABASE].close()


def _calls(client, headers) -> tuple[float, float]:
    def post(path, body):
        answer = client.post(path, json=body, headers=headers)
        assert answer.status_code in (200, 201), answer.text
        return answer.json

    brewer = post("/v1/brewers", examples.BREWER)["id"]
    setup = post("/v1/setups", {**examples.SETUP, "brewer_id": brewer})["id"]
    recipe = {**examples.RECIPE, "owner": "club", "original_gravity": 1.048, "efficiency": None}
    recipe["grist"] = [{"name": "Pale ale malt", "mass": "4.4 kg"}]
    ids = [post("/v1/recipes", {**recipe, "name": f"Beer {n}"})["id"] for n in range(200)]
    target = {"volume": "18 L", "volume_at": "fermenter"}

    def single():
        for one in ids[:20]:
            post(
                "/v1/scalings?store=false",
                {"setup_id": setup, "recipe_id": one, "target": target},
            )

    def batch():
        post("/v1/scalings/batch", {"setup_id": setup, "recipe_ids": ids, "target": target})

    return cpu_ms(single, 1, 3) / 20.0, cpu_ms(batch, 1, 3) / 200.0


def main() -> None:
    fits = cpu_ms(lambda: make_plan(BITTER, BAG, KNOWN, Target(18.0), PREFERENCES))
    print(f"plan that fits: {fits:.2f} ms (bar 5)")
    case = cpu_ms(lambda: make_plan(BARLEY_WINE, BAG, KNOWN, Target(19.0), PREFERENCES), 3)
    print(f"19 L at 1.110 in 35 L, all ways out: {case:.1f} ms (bar 50)")
    for name, preferences in (("usual limits", PREFERENCES), ("freest limits", FREEST)):
        took = ways_out(60, preferences)
        print(
            f"60 plans that do not fit, {name}: median {took[30]:.1f}, "
            f"most {took[-1]:.1f} ms (bar 50)"
        )
    for volume_at in (VolumeAt.FERMENTER, VolumeAt.PACKAGE):
        print(f"solver, {volume_at}: {solver(volume_at):.3f} ms a recipe (bar 0.10)")
    single, batch = over_http()
    print(
        f"end to end: {single:.2f} ms a single call, {batch:.3f} ms a recipe of a batch: "
        f"{single / batch:.1f} times faster (bar 3)"
    )


if __name__ == "__main__":
    main()
