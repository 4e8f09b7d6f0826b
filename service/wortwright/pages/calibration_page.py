"""The page of a calibration: what the sessions say of a setup, and whether to trust it."""

from collections.abc import Mapping
from typing import Any

from markupsafe import Markup

from wortwright.pages.amounts import amount, between
from wortwright.pages.calibration_marks import curve_told, marks_of, next_brew, standing_out
from wortwright.pages.efficiency_chart import efficiency_chart, written_load
from wortwright.pages.estimate_range import Range, estimate_range
from wortwright.pages.rendering import render
from wortwright.units import UnitSystem

Wire = Mapping[str, Any]

SCORE_80 = 1.2816
"""Standard deviations from the mean to either end of an 80 % interval."""

CONSTANTS = {
    "conversion": "conversion in a thin mash",
    "absorption": "water the grain keeps",
    "dead_space": "wort left under the false bottom",
    "boil_off": "boiled off",
    "kettle_loss": "left in the kettle, beside what hops drink",
    "fermenter_loss": "left in the fermenter",
    "mash_heat_loss": "cooling of the mash",
    "vessel_heat": "heat the vessel takes, as so much water",
}
# What cannot be below nothing, and conversion not above all.
_MOST = {"conversion": 1.0}


def calibration_chart(known: Wire, system: UnitSystem) -> str:
    """Draw the efficiency curve of a setup as SVG.

    Parameters
    ----------
    known : mapping
        ``calibration`` and ``report`` as the API writes them, ``brewed_at`` by session,
        ``set_aside``, ``next_brew``.
    system : UnitSystem
        For the grain load.

    Returns
    -------
    str
        SVG.
    """
    curve = known["report"]["curve"]
    seen = known["calibration"]["seen"]
    return efficiency_chart(
        curve,
        None if seen is None else tuple(seen["grain_load_kg_per_l"]),
        marks_of(known),
        system,
        curve_told(curve, known, system),
    )


def calibration_page(known: Wire, system: UnitSystem, *, nonce: str) -> str:
    """Write the page.

    Parameters
    ----------
    known : mapping
        As `calibration_chart`; and ``setup_name``.
    system : UnitSystem
        For the grain load.
    nonce : str
        Of the page's content security policy.

    Returns
    -------
    str
        HTML.
    """
    report, calibration = known["report"], known["calibration"]
    seen = calibration["seen"]
    return render(
        "calibration.html",
        nonce=nonce,
        setup_name=known["setup_name"],
        session_count=calibration["session_count"],
        # The chart escapes what it is given.
        chart=Markup(calibration_chart(known, system)),
        preboil=report["preboil_volume"],
        seen=seen and [written_load(load, system) for load in seen["grain_load_kg_per_l"]],
        next_brew=next_brew(known["next_brew"], system),
        record=_record(report["leave_one_out"]),
        standing_out=standing_out(known),
        curve=[(written_load(row["grain_load_kg_per_l"], system), row) for row in report["curve"]],
        constants=list(_constants(calibration["constants"])),
    )


def _record(left_out: Wire | None) -> str:
    """Say how well the sessions would have been forecast, each from all others."""
    if left_out is None:
        return "With fewer than two sessions there is no record of its forecasts yet."
    model, average = left_out["model_points"], left_out["average_points"]
    said = (
        f"Forecast each of these {left_out['session_count']} sessions from the others alone, and "
        f"its gravity before the boil is missed by {model:.1f} points on average. The plain "
        f"average of past efficiencies misses it by {average:.1f}"
    )
    return f"{said}, and has done better here so far." if average < model else f"{said}."


def _constants(estimates: list[Wire]) -> list[dict[str, Any]]:
    return [
        {
            "what": CONSTANTS[row["name"]],
            "mean": amount(row["mean"]),
            "now": _written(now, row),
            "before": _written(before, row),
            "picture": Markup(estimate_range(now, before)),
            "session_count": row["session_count"],
        }
        for row in estimates
        if row["name"] in CONSTANTS and row["prior_sd"]["value"] > 0.0
        for now, before in [(_range(row, ""), _range(row, "prior_"))]
    ]


def _range(row: Wire, which: str) -> Range:
    mean, sd = row[f"{which}mean"]["value"], row[f"{which}sd"]["value"]
    most = _MOST.get(row["name"], float("inf"))
    return max(0.0, mean - SCORE_80 * sd), min(most, mean + SCORE_80 * sd)


def _written(ends: Range, row: Wire) -> str:
    unit = row["mean"]["unit"]
    return between(*({"value": end, "unit": unit} for end in ends))
