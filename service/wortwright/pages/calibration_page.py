"""The page of a calibration: what the sessions say of a setup, and whether to trust it."""

from collections.abc import Iterator, Mapping
from typing import Any

from markupsafe import Markup

from wortwright.calibration.intervals import SCORE_80
from wortwright.pages.amounts import amount, between
from wortwright.pages.calibration_marks import (
    changed,
    curve_told,
    marks_of,
    next_brew,
    standing_out,
)
from wortwright.pages.efficiency_chart import efficiency_chart, written_load
from wortwright.pages.estimate_range import Range, estimate_range
from wortwright.pages.rendering import render
from wortwright.units import Dimension, UnitSystem, preferred, to_base

Wire = Mapping[str, Any]

CONSTANTS = {
    "conversion": "conversion in a thin mash",
    "true_absorption": "wort the grain holds",
    "absorption": "water the grain keeps",
    "dead_space": "wort left under the false bottom",
    "boil_off": "boiled off",
    "kettle_loss": "left in the kettle, beside what hops drink",
    "fermenter_loss": "left in the fermenter",
    "mash_in_offset": "mash-ins, warmer (+) or colder (-) than the heat balance says",
    "mash_heat_loss": "cooling of the mash",
    "vessel_heat": "heat the vessel takes, as so much water",
    "attenuation_offset": "attenuation beyond what is stated of the yeasts",
}
# The others cannot be below nothing, and conversion not above all.
_BOTH_WAYS = frozenset({"mash_in_offset", "attenuation_offset", "attenuation_per_c"})
_MOST = {"conversion": 1.0}
_AMOUNTS = ("mean", "sd", "prior_mean", "prior_sd")

THICKER_KG_PER_L = 0.1
"""A step from a usual mash to a thick one, to tell the loss of conversion by."""


def calibration_chart(known: Wire, system: UnitSystem) -> str:
    """Draw the efficiency curve of a setup as SVG.

    Parameters
    ----------
    known : mapping
        ``calibration`` and ``report`` as the API writes them, ``brewed_at`` by session,
        why it is ``trusted`` by session, ``set_aside``, ``next_brew``.
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
        As `calibration_chart`; and ``setup_name``, ``changes`` of the setup.
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
        record=_record(report),
        changed=changed(known["changes"]),
        suspected=[change["reason"] for change in calibration["suspected_changes"]],
        standing_out=standing_out(known),
        curve=[(written_load(row["grain_load_kg_per_l"], system), row) for row in report["curve"]],
        constants=constants_told(calibration, system),
    )


def constants_told(calibration: Wire, system: UnitSystem) -> list[dict[str, Any]]:
    """Tell every constant of a setup, now and before any session, with its range.

    Parameters
    ----------
    calibration : mapping
        As the API writes it.
    system : UnitSystem
        For what is told by steps of something.

    Returns
    -------
    list of dict
        ``what``, ``mean``, ``now`` and ``before`` in words; ``picture``; ``session_count``.
    """
    return _constants([*_by_steps(calibration["constants"], system), *_by_yeast(calibration)])


def _record(report: Wire) -> str:
    """Say how well the sessions would have been forecast, each from all others."""
    left_out = report["leave_one_out"]
    if left_out is None:
        return "With fewer than two sessions there is no record of its forecasts yet."
    model, average = left_out["model_points"], left_out["average_points"]
    is_changed = any(point["before_change"] for point in report["sessions"])
    which = f"the {left_out['session_count']} sessions{' since the last change' * is_changed}"
    said = (
        f"Forecast each of {which} from all others alone, and its gravity before the boil is "
        f"missed by {model:.1f} points on average. The plain average of past efficiencies misses "
        f"it by {average:.1f}"
    )
    return f"{said}, and has done better here so far." if average < model else f"{said}."


def _by_yeast(calibration: Wire) -> list[Wire]:
    return [
        {**row, "name": "attenuation", "what": f"attenuation of {row['yeast']}"}
        for row in calibration["attenuation_by_yeast"]
    ]


def _by_steps(estimates: list[Wire], system: UnitSystem) -> Iterator[Wire]:
    """Give what is known per unit of something as a part of the whole for a step of it."""
    unit = preferred(Dimension.TEMPERATURE_DIFFERENCE, system)
    degree_c = to_base(1.0, unit, Dimension.TEMPERATURE_DIFFERENCE)
    degree = amount({"value": 1.0, "unit": unit})
    thicker = written_load(THICKER_KG_PER_L, system)
    steps = {
        "conversion_loss_per_kg_per_l": (
            THICKER_KG_PER_L,
            f"conversion lost by a mash thicker by {thicker}",
        ),
        "attenuation_per_c": (degree_c, f"attenuation by a mash warmer by {degree}"),
    }
    for row in estimates:
        if row["name"] in steps:
            step, what = steps[row["name"]]
            parts = {
                name: {"value": step * row[name]["value"], "unit": "fraction"} for name in _AMOUNTS
            }
            yield {**row, **parts, "what": what}
        else:
            yield row


def _constants(estimates: list[Wire]) -> list[dict[str, Any]]:
    return [
        {
            "what": row.get("what") or CONSTANTS[row["name"]],
            "mean": amount(row["mean"]),
            "now": _written(now, row),
            "before": _written(before, row),
            "picture": Markup(estimate_range(now, before)),
            "session_count": row["session_count"],
        }
        for row in estimates
        if ("what" in row or row["name"] in CONSTANTS) and row["prior_sd"]["value"] > 0.0
        for now, before in [(_range(row, ""), _range(row, "prior_"))]
    ]


def _range(row: Wire, which: str) -> Range:
    mean, sd = row[f"{which}mean"]["value"], row[f"{which}sd"]["value"]
    most = _MOST.get(row["name"], float("inf"))
    least = -most if row["name"] in _BOTH_WAYS else 0.0
    return max(least, mean - SCORE_80 * sd), min(most, mean + SCORE_80 * sd)


def _written(ends: Range, row: Wire) -> str:
    unit = row["mean"]["unit"]
    return between(*({"value": end, "unit": unit} for end in ends))
