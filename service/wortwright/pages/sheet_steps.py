"""The steps of a brew day in order, each with what to reach: the rows of the brew sheet."""

from collections.abc import Iterator, Mapping
from typing import Any

from wortwright.pages.amounts import amount, ends, percent, roughly
from wortwright.pages.kettle_scale import COOLED, KettleScale, whole
from wortwright.pages.wording import hop_moment, listed
from wortwright.records.sentence import in_percent

Wire = Mapping[str, Any]

Step = tuple[str, str]
"""What to reach, empty where it is only to be read; and what is done."""


def grist_steps(plan: Wire) -> Iterator[Step]:
    """Grain and sugar to weigh."""
    for line in plan["grist"]:
        yield amount(line["to_weigh"]), f"{line['name']}, into the {line['added_to']}"


def water_steps(treatment: Wire | None) -> Iterator[Step]:
    """Water to mix, salts to weigh."""
    if treatment is None:
        return
    if treatment["dilution_volume"]["value"] > 0.0:
        yield amount(treatment["source_volume"]), "of your own water"
        yield amount(treatment["dilution_volume"]), "of the water to thin it with"
    for place in ("mash", "sparge"):
        for row in treatment["salts"]:
            if row[place]["value"] > 0.0:
                salt = row["salt"].replace("_", " ")
                yield amount(row[place]), f"{salt}, into the {place} water"


def mash_steps(scaling: Wire, kettle: KettleScale) -> Iterator[Step]:
    """Strike water, rests, what to read of the mash, sparges, the bag."""
    plan, mash_ph = scaling["plan"], scaling["mash_ph"]
    water, heat = plan["water"], plan["temperatures"]
    in_kettle = scaling["setup"]["vessels"]["mash_tun"] is None
    hot = kettle.read_hot(water["strike"], heat["strike_water"])
    yield amount(water["strike"]), f"strike water, measured cold; {hot}"
    yield amount(heat["strike_water"]), f"strike water, for grain at {amount(heat['grain'])}"
    for check in plan["fit"]["checks"]:
        if in_kettle and check["at"] == "mash":
            yield amount(check["needed"]), f"the mash in the kettle{kettle.deep(check['needed'])}"
    for rest in heat["mash"]:
        yield amount(rest["temperature"]), f"rest for {amount(rest['time'])}; at its start, its end"
    if heat["first_rest_ends"] is not None:
        yield amount(heat["first_rest_ends"]), "where the first rest ends if no heat is added"
    if mash_ph is not None:
        between = f"{mash_ph['low']:.2f} to {mash_ph['high']:.2f}"
        yield f"pH {mash_ph['ph']:.2f}", f"of a sample cooled to room temperature; {between}"
    yield from _hop_steps(plan, ("mash",))
    yield "", "gravity of the stirred mash at its end: it tells conversion from washing"
    for number, sparge in enumerate(water["sparge"], start=1):
        yield amount(sparge), f"sparge water {number}, measured cold"
    if plan["fit"]["wet_bag_lifted"] is not None:
        drained = roughly(plan["fit"]["wet_bag_drained"])
        yield roughly(plan["fit"]["wet_bag_lifted"]), f"the bag as it is lifted; drained {drained}"
    yield from _hop_steps(plan, ("first_wort",))


def boil_steps(plan: Wire, kettle: KettleScale) -> Iterator[Step]:
    """Kettle volumes as they read hot, and gravities."""
    water, forecast = plan["water"], plan["forecast"]
    boil_time = amount(plan["temperatures"]["boil_time"])
    at = whole(COOLED, plan["temperatures"]["grain"]["unit"])
    for name, when, gravity, what in (
        ("preboil", "before the boil", "preboil_gravity", "gravity before the boil"),
        ("postboil", f"after {boil_time} of boil", "original_gravity", "original gravity"),
    ):
        deep = kettle.deep(water[f"{name}_hot"])
        yield amount(water[f"{name}_hot"]), f"{when}, hot{deep}; {amount(water[name])} cold"
        yield amount(forecast[gravity]["mean"]), f"{what}, of a sample cooled to {at}"


def addition_steps(plan: Wire) -> Iterator[Step]:
    """Hops from the boil on and what else goes into the kettle, in order."""
    yield from _hop_steps(plan, ("boil",))
    for line in plan["grist"]:
        if line["added_to"] == "kettle":
            when = "in the last 15 min of the boil, stirred in with the heat off"
            yield amount(line["to_weigh"]), f"{line['name']}, {when}"
    yield from _hop_steps(plan, ("stand", "dry"))


def _hop_steps(plan: Wire, moments: tuple[str, ...]) -> Iterator[Step]:
    hops = [hop for hop in plan["hop_bill"] if hop["moment"] in moments]
    for hop in sorted(hops, key=lambda hop: (moments.index(hop["moment"]), -hop["time"]["value"])):
        what = f"{hop['name']}, {hop['form']}, {percent(hop['alpha'])} alpha acid"
        yield amount(hop["to_weigh"]), f"{what}; {hop_moment(hop)}"


def fermenter_steps(plan: Wire, pitch: Wire | None) -> Iterator[Step]:
    """Wort into the fermenter, yeast, oxygen."""
    water = plan["water"]
    lost = amount(water["kettle_loss"])
    yield amount(water["fermenter"]), f"into the fermenter; {lost} stay in the kettle"
    for line in plan["grist"]:
        if line["added_to"] == "fermenter":
            yield amount(line["to_weigh"]), f"{line['name']}, into the fermenter"
    if pitch is None:
        return
    pitched = pitch["pitched"]
    how_much = "" if pitched is None else _pitched(pitched)
    yield how_much, f"yeast; this wort wants {amount(pitch['cells_wanted'])}"
    oxygen = pitch["oxygen"]
    yield amount(oxygen["wanted"]), "oxygen at pitching"


def finish_steps(plan: Wire, bottling: Wire | None) -> Iterator[Step]:
    """Final gravity, beer to package, priming."""
    water, forecast = plan["water"], plan["forecast"]
    expected = forecast["final_gravity"]
    yield (
        amount(expected["mean"]),
        f"final gravity, the same on three days ({ends(expected, ' to ')})",
    )
    lost = amount(water["fermenter_loss"])
    yield amount(water["packaged"]), f"to package or to age; {lost} stay behind"
    if bottling is None:
        return
    if bottling["sugar"]["value"] > 0.0:
        wanted = amount(bottling["carbonation"])
        yield amount(bottling["sugar"]), f"priming sugar, for {wanted} of carbon dioxide"
    if bottling["yeast"] is not None:
        yield amount(bottling["yeast"]), "fresh dry yeast for the bottles"


def bottle_note(bottling: Wire | None) -> str | None:
    """What the bottles will be under, and the doubts about it."""
    if bottling is None:
        return None
    held = f"{amount(bottling['carbonation'])} and {amount(bottling['pressure'])}"
    doubts = (row["detail"] for row in bottling["warnings"])
    return " ".join((f"The bottles will come to {held}.", *doubts))


def before_the_day(pitch: Wire | None) -> list[str]:
    """What is begun days before: the starter."""
    if pitch is None or not pitch["starter"]:
        return []
    steps = [
        f"{amount(step['volume'])} with {amount(step['dry_extract'])} of dry malt extract"
        for step in pitch["starter"]
    ]
    grown = amount(pitch["starter"][-1]["cells_after"])
    return [f"Grow a starter: {listed(steps, 'then')}. It makes {grown} of the yeast at hand."]


def ph_dose(mash_ph: Wire | None) -> str | None:
    """What corrects the pH of the mash."""
    if mash_ph is None or mash_ph["dose"] is None:
        return None
    dose = mash_ph["dose"]
    given = dose["acid"] or dose["base"]
    if given is None:
        return None
    agent = dose["agent"].replace("_", " ")
    if dose["acid"]:
        agent = f"{agent} acid of {percent(dose['acid_strength_by_mass'], decimals=0)}"
    return (
        f"For a pH of {dose['target_ph']:.2f}: {amount(given['first'])} of {agent}, half of "
        f"{amount(given['total'])}. {dose['advice']}"
    )


def _pitched(pitched: Wire) -> str:
    if pitched["slurry"] is not None:
        return f"{amount(pitched['slurry'])} of slurry"
    if pitched["cake_share"] is not None:
        return f"{in_percent(pitched['cake_share']['value'])} of the cake"
    name = "packet" if pitched["form"] == "dry" else "pack"
    return f"{pitched['packets']} {name}{'' if pitched['packets'] == 1 else 's'}"
