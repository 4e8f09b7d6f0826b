"""From the notes of past brews to the plan of the next strong beer.

    WORTWRIGHT_KEY=... python clients/python/examples/strong_beer_from_notes.py

Bring in a table of past brews, let the setup learn from them, look at the curve, and ask for a
beer that is much stronger than any of them. The brews are invented.
"""

import os
from pathlib import Path

from wortwright_client import Client
from wortwright_client.documents.recipes import RecipeDocument
from wortwright_client.documents.setups import SetupDocument
from wortwright_client.models.reports import CalibrationReport
from wortwright_client.models.scalings import Scaling
from wortwright_client.notes.importing import check, store
from wortwright_client.notes.rows import Row, read_notes

NOTES = Path(__file__).parent / "brews.csv"

SETUP: SetupDocument = {
    "name": "35 L electric kettle with a bag",
    "lauter_method": "no_sparge",
    "grain_held_by": "bag",
    "bag_drained": "hung",
    "crush": "shop",
    "vessels": {
        "kettle": {"capacity": "35 L"},
        "fermenters": [{"capacity": "27 L"}],
        "ageing": [{"capacity": "10 L"}],
    },
}
RECIPE: RecipeDocument = {
    "name": "Long Night Barley Wine",
    "volume": "20 L",
    "volume_at": "kettle",
    "efficiency": "78 %",
    "efficiency_kind": "mash",
    "original_gravity": 1.108,
    "final_gravity": 1.026,
    "boil_time": "90 min",
    "grist": [
        {"name": "Pale ale malt", "mass": "7.6 kg"},
        {"name": "Munich malt, light", "mass": "800 g"},
        {"name": "Crystal 60 L", "mass": "350 g"},
        {"name": "Demerara sugar", "mass": "400 g"},
    ],
    "hop_bill": [
        {"name": "Target", "mass": "62 g", "alpha": "10.5 %", "moment": "boil", "time": "75 min"}
    ],
}


def main(address: str, key: str) -> None:
    """Bring the notes in, and plan."""
    with Client(address, key) as club:
        ada = club.create_brewer({"name": "Ada Sluice", "units": "metric"})
        setup = club.create_setup({**SETUP, "brewer_id": ada.id})
        recipe = club.create_recipe({**RECIPE, "owner": "club"})
        bring_in(club, setup.id)
        print_curve(club.report_calibration(setup.id))
        asked = {"volume": "10 L", "volume_at": "package"}
        print_plan(
            club.create_scaling(
                {"setup_id": setup.id, "recipe_id": recipe.id, "target": asked}, units="metric"
            )
        )


def bring_in(club: Client, setup_id: str) -> None:
    """Store every brew of the notes; stop where one is refused."""

    def told(row: Row, became: str) -> None:
        print(f"Row {row.number}: {became}")

    rows = read_notes(NOTES.read_text(encoding="utf-8").splitlines(), setup_id).rows
    checked = check(club, setup_id, rows, lambda *_: None)
    if checked.refused:
        raise SystemExit("\n".join(map(str, checked.refused)))
    for _ in store(club, checked.new, told):
        pass


def print_curve(report: CalibrationReport) -> None:
    """Print what a mash will give, by how much grain there is to a litre of wort."""
    print(f"\nMash efficiency, for {report.preboil_volume:.0f} of wort before the boil")
    print("kg of grain per L   expected   four brews in five")
    for point in report.curve:
        low, high = (100 * end.value for end in (point.interval_80.low, point.interval_80.high))
        mean = 100 * point.mean.value
        print(f"{point.grain_load_kg_per_l:17.2f}   {mean:6.1f} %   {low:.1f} to {high:.1f} %")
    if report.leave_one_out is not None:
        record = report.leave_one_out
        print(
            f"Each of {record.session_count} brews forecast from the others: "
            f"{record.model_points:.1f} points off; the plain average of past efficiencies: "
            f"{record.average_points:.1f}."
        )


def print_plan(scaling: Scaling) -> None:
    """Print what to weigh, and what to expect."""
    plan = scaling.plan
    print(f"\n{plan.recipe_name}: {plan.asked.volume:.0f} to package")
    for line in plan.grist:
        print(f"  {line.to_weigh:.2f}  {line.name}")
    for hop in plan.hop_bill:
        print(f"  {hop.to_weigh:.0f}  {hop.name}, {hop.time:.0f} before the end of the boil")
    print(f"  {plan.water.strike:.1f} of strike water at {plan.temperatures.strike_water:.0f}")
    print(f"Mash efficiency {plan.forecast.mash_efficiency:.0%}")
    print(f"Original gravity {plan.forecast.original_gravity:.3f}")
    print(f"Have {plan.in_reserve.dry_extract:.2f} of dry malt extract in reserve.")
    for doubt in plan.warnings:
        print(f"- {doubt.detail}")
    for caution in plan.cautions:
        print(f"! {caution.hazard} {caution.advice}")


if __name__ == "__main__":
    main(
        os.environ.get("WORTWRIGHT_ADDRESS", "http://127.0.0.1:8080"), os.environ["WORTWRIGHT_KEY"]
    )
