"""The kettle log: readings typed stage by stage, where the brew ends, what corrects it."""

from collections.abc import Callable, Mapping
from typing import Any

from wortwright.pages.amounts import amount, interval
from wortwright.pages.correction_text import hops_anew, what_to_do, where_it_ends
from wortwright.pages.kettle_scale import AT_THE_BOIL, COOLED, KettleScale, whole
from wortwright.pages.reading_form import FIELDS, OTHER_WAYS, Typed, as_typed
from wortwright.pages.rendering import render
from wortwright.pages.wording import STAGES
from wortwright.units import Dimension, UnitSystem, preferred

Wire = Mapping[str, Any]

_BEFORE_THE_BOIL = ("strike_water", "mash_in", "mash_end", "first_wort", "pre_boil")
_IN_KETTLE = (*_BEFORE_THE_BOIL, "mid_boil", "post_boil")
_ORDER = tuple(STAGES)
# What the API says of data, said to a person.
_SAID = {
    "nothing_planned": (
        "Nothing was planned for this brew, so there is no forecast of where it ends. What is "
        "read is kept all the same, and teaches the setup once the brew is closed."
    )
}


def kettle_log(
    shown: Wire,
    system: UnitSystem,
    *,
    send_to: str,
    once: Callable[[], str],
    typed: Typed | None = None,
    nonce: str,
) -> str:
    """Write the page.

    Parameters
    ----------
    shown : mapping
        ``day`` and ``session`` as the API writes them, ``plan`` or None, ``kettle``.
    system : UnitSystem
        Of the numbers typed.
    send_to : str
        Address that takes a reading.
    once : callable
        Makes a word that tells one form sent from another, so that none counts twice.
    typed : Typed, optional
        What was typed and refused.
    nonce : str
        Of the page's content security policy.

    Returns
    -------
    str
        HTML.
    """
    session, plan, log = shown["session"], shown["plan"], shown["day"]["log"]
    return render(
        "kettle_log.html",
        nonce=nonce,
        title="Kettle log" if plan is None else plan["recipe_name"],
        session=session,
        plan=plan,
        stands=None if log is None else _stands(log, shown["kettle"]),
        why_not=[_SAID.get(row["code"], row["detail"]) for row in shown["day"]["warnings"]],
        readings=_readings(session, shown["day"]),
        stages=STAGES,
        forms=_next_first(_open_stage(session, typed)),
        fields=FIELDS,
        other_ways=_other_ways(shown["kettle"]),
        system=system,
        hints=_hints(system),
        open_stage=_open_stage(session, typed),
        typed=typed,
        first_wrong=None if typed is None else next(iter(typed.wrong), None),
        typed_otherwise=[]
        if typed is None
        else [name for name, text in typed.values.items() if text],
        send_to=send_to,
        once=once,
    )


def _other_ways(kettle: Wire) -> dict[str, list[Any]]:
    """A depth tells a volume only where the kettle's diameter is known."""
    known = kettle["inner_diameter"] is not None
    return {
        stage: [one for one in ways if known or one.name != "depth"]
        for stage, ways in OTHER_WAYS.items()
    }


def _hints(system: UnitSystem) -> dict[str, str]:
    degrees = preferred(Dimension.TEMPERATURE, system)
    boiling = whole(AT_THE_BOIL, degrees)
    return {
        "cooled": f"leave it empty if the sample was cooled to {whole(COOLED, degrees)}",
        "hot": f"near the boil it is {boiling}; leave it empty if the wort was cold",
    }


def _open_stage(session: Wire, typed: Typed | None) -> str:
    """Give the stage to type next: that which was refused, else the one after the last."""
    if typed is not None:
        return typed.stage
    read = [_ORDER.index(reading["stage"]) for reading in session["readings"]]
    return _ORDER[min(max(read, default=-1) + 1, len(_ORDER) - 1)]


def _next_first(stage: str) -> dict[str, str]:
    """Give the stages with the one to type next on top, in reach of the thumb."""
    return {stage: STAGES[stage], **STAGES}


def _stands(log: Wire, kettle: Wire) -> dict[str, Any]:
    end = log["outlook"]
    return {
        "stage": log["stage"],
        "now": f"{amount(log['volume']['mean'])} at {amount(log['gravity'])}",
        "gravity": amount(end["original_gravity"]["mean"]),
        "range": interval(end["original_gravity"]),
        "volume": amount(end["fermenter"]["mean"]),
        "more": (
            f"{amount(end['bitterness'])}; final gravity {amount(end['final_gravity']['mean'])}, "
            f"{amount(end['alcohol_by_volume']['mean'])} of alcohol by volume"
        ),
        "on_target": log["on_target"],
        "corrections": [_correction(one, log["stage"], kettle) for one in log["corrections"]],
        "lost": [row["detail"] for row in log["cannot_be_mended"]],
        "warnings": [row["detail"] for row in log["warnings"]],
    }


def _correction(one: Wire, stage: str, kettle: Wire) -> dict[str, Any]:
    boil_is = "in all" if stage in _BEFORE_THE_BOIL else "more from now"
    when = "after the boil" if stage in _IN_KETTLE else "in the fermenter, boiled and cooled first"
    said = what_to_do(one, KettleScale(kettle), boil_is=boil_is, when=when)
    return {
        "do": f"{said[0].upper()}{said[1:]}.",
        "hops": hops_anew(one),
        "ends": where_it_ends(one["end"]),
    }


def _readings(session: Wire, day: Wire) -> list[dict[str, Any]]:
    return [
        {
            "stage": STAGES[reading["stage"]],
            "read": as_typed(reading),
            "corrected": "; ".join(
                amount(corrected[name])
                for name in ("volume", "gravity")
                if corrected[name] is not None
            ),
            "warnings": [row["detail"] for row in corrected["warnings"]],
        }
        for reading, corrected in zip(session["readings"], day["corrected"], strict=True)
    ]
