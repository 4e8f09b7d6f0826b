"""The brews on the chart of a calibration, and what is to be said of those that stand out."""

from collections.abc import Mapping, Sequence
from typing import Any

from wortwright.pages.amounts import amount, interval
from wortwright.pages.efficiency_chart import Mark, written_load
from wortwright.pages.wording import day_of
from wortwright.records.sentence import in_percent
from wortwright.units import UnitSystem

Wire = Mapping[str, Any]

CHANGED = {
    "mill": "the mill",
    "bag": "the bag",
    "kettle": "the kettle",
    "method": "the way of mashing or sparging",
}


def marks_of(known: Wire) -> list[Mark]:
    """Give every brew as a mark.

    Parameters
    ----------
    known : mapping
        ``report`` as the API writes it; ``brewed_at`` by session; ``set_aside`` and
        ``next_brew`` as the page has them.

    Returns
    -------
    list of Mark
        Sessions, those set aside, the next brew.
    """
    told = [_session(point, known["brewed_at"]) for point in known["report"]["sessions"]]
    aside = [
        Mark(
            "set_aside",
            one["point"]["grain_load_kg_per_l"],
            one["point"]["observed"]["value"],
            f"set aside, {day_of(one['brewed_at'])}",
        )
        for one in known["set_aside"]
        if one["point"] is not None
    ]
    return [*told, *aside, *_next(known["next_brew"])]


def _session(point: Wire, brewed_at: Mapping[str, str]) -> Mark:
    place = (point["grain_load_kg_per_l"], point["observed"]["value"])
    if point["reason"] is None:
        return Mark("before_change" if point["before_change"] else "session", *place)
    return Mark("doubted", *place, f"doubted, {day_of(brewed_at[point['session_id']])}")


def _next(plan: Wire | None) -> list[Mark]:
    if plan is None:
        return []
    forecast = plan["forecast"]
    efficiency = forecast["mash_efficiency"]
    ends = tuple(efficiency["interval_80"][end]["value"] for end in ("low", "high"))
    mean = efficiency["mean"]["value"]
    return [Mark("next", forecast["grain_load_kg_per_l"], mean, "next brew", (ends[0], ends[1]))]


def standing_out(known: Wire) -> list[str]:
    """Say which sessions are doubted, trusted although they were, or set aside, and why."""
    doubted = [
        f"{day_of(known['brewed_at'][suspect['session_id']])}, doubted: {suspect['reason']}"
        for suspect in known["calibration"]["suspects"]
    ]
    aside = [
        f"{day_of(one['brewed_at'])}, set aside: {one['because'] or 'no reason was written down'}"
        for one in known["set_aside"]
    ]
    trusted = [
        f"{day_of(known['brewed_at'][session_id])}, trusted: {reason}"
        for session_id, reason in known["trusted"].items()
    ]
    return doubted + trusted + aside


def changed(changes: Sequence[Wire]) -> list[str]:
    """Say what was changed and when; that nothing was is no news."""
    return [
        f"{day_of(change['on'])}: {CHANGED[change['what']]}" + (f". {note}" if note else "")
        for change in changes
        for note in [change.get("note")]
        if change["what"] in CHANGED
    ]


def next_brew(plan: Wire | None, system: UnitSystem) -> str | None:
    """Say where the next brew lies."""
    if plan is None:
        return None
    forecast = plan["forecast"]
    efficiency = forecast["mash_efficiency"]
    said = (
        f"{plan['recipe_name']} comes to {written_load(forecast['grain_load_kg_per_l'], system)}; "
        f"{amount(efficiency['mean'])} of its extract is expected {interval(efficiency)}"
    )
    beyond = forecast["outside_seen_range"]
    if beyond:
        said += f", {in_percent(beyond)} beyond anything seen so far"
    return f"{said}."


def curve_told(curve: Sequence[Wire], known: Wire, system: UnitSystem) -> str:
    """Tell the chart to who cannot see it."""
    first, last = curve[0], curve[-1]
    count = len(known["report"]["sessions"])
    return (
        f"The forecast falls from {amount(first['mean'])} at "
        f"{written_load(first['grain_load_kg_per_l'], system)} to {amount(last['mean'])} at "
        f"{written_load(last['grain_load_kg_per_l'], system)}. "
        f"{count} {'session lies' if count == 1 else 'sessions lie'} beside it. "
        "The same is told in words and numbers on the page."
    )
