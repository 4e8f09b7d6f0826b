"""The brew sheet: the day in order on one or two printed pages, with room to write.

Made from the answer that any client gets, so that the sheet says what the API says.
"""

from collections.abc import Iterable, Mapping
from typing import Any

from wortwright.pages import sheet_steps as steps
from wortwright.pages.amounts import amount, ends
from wortwright.pages.care import by_section, doubts
from wortwright.pages.kettle_scale import KettleScale
from wortwright.pages.preboil_table import preboil_rows
from wortwright.pages.rendering import render

Wire = Mapping[str, Any]

_PARTS = ("water_treatment", "mash_ph", "pitch", "bottling")


def brew_sheet(scaling: Wire, *, what_ifs: Iterable[Wire] = (), nonce: str) -> str:
    """Write the sheet as one HTML page that needs no script.

    Parameters
    ----------
    scaling : mapping
        The scaling as the API answers it, in the units wanted.
    what_ifs : iterable of mapping
        Kettle logs as the API writes them, each of another gravity before the boil.
    nonce : str
        Of the page's content security policy, for its one style.

    Returns
    -------
    str
        HTML.
    """
    plan = scaling["plan"]
    kettle = KettleScale(scaling["setup"]["vessels"]["kettle"])
    carried = [
        plan,
        *(scaling[part] for part in _PARTS if scaling[part]),
        *scaling["hops_in_store"],
    ]
    return render(
        "brew_sheet.html",
        nonce=nonce,
        plan=plan,
        care=by_section(part for part in carried if "cautions" in part),
        doubts=doubts(part for part in carried if part is not scaling["bottling"]),
        before_the_day=steps.before_the_day(scaling["pitch"]),
        grist_steps=list(steps.grist_steps(plan)),
        water_steps=list(steps.water_steps(scaling["water_treatment"])),
        mash_steps=list(steps.mash_steps(scaling, kettle)),
        ph_dose=steps.ph_dose(scaling["mash_ph"]),
        boil_steps=list(steps.boil_steps(plan, kettle)),
        preboil_rows=preboil_rows(what_ifs, kettle),
        addition_steps=list(steps.addition_steps(plan)),
        fermenter_steps=list(steps.fermenter_steps(plan, scaling["pitch"])),
        finish_steps=list(steps.finish_steps(plan, scaling["bottling"])),
        bottle_note=steps.bottle_note(scaling["bottling"]),
        expectation=_expectation(plan["forecast"]),
    )


def _expectation(forecast: Wire) -> str:
    """Put the forecast into words."""
    formula = forecast["bitterness_formula"].capitalize()
    return (
        f"Four brews like this in five start between {ends(forecast['original_gravity'])} and "
        f"end between {ends(forecast['final_gravity'])}, with between "
        f"{ends(forecast['alcohol_by_volume'])} of alcohol by volume. The mash is expected to "
        f"give {amount(forecast['mash_efficiency']['mean'])} of what the grain holds, between "
        f"{ends(forecast['mash_efficiency'])}. About {amount(forecast['bitterness'])} by "
        f"{formula} and {amount(forecast['colour'])}."
    )
