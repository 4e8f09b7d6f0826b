"""A plan as text that a person can brew from, made from the answer that any client gets."""

from collections.abc import Iterable, Mapping
from typing import Any

from rich.console import Console, Group, RenderableType
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from wortwright.pages.amounts import amount, interval, percent, roughly
from wortwright.pages.kettle_scale import COOLED, whole
from wortwright.pages.wording import WHERE, hop_moment

Wire = Mapping[str, Any]

WIDTH = 96


def print_plan(plan: Wire, console: Console) -> None:
    """Print a plan, in the order of the brew day.

    Parameters
    ----------
    plan : mapping
        The plan as the API answers it.
    console : Console
        Where to print it.
    """
    asked = plan["asked"]
    console.rule(f"{plan['recipe_name']} on {plan['setup_name']}", align="left")
    console.print(
        f"{amount(asked['volume'])} {WHERE[asked['volume_at']]} at {amount(asked['gravity'])}, "
        f"{amount(asked['bitterness'])}"
    )
    console.print(_verdict(plan["fit"]))
    for title, body in _sections(plan):
        console.print()
        console.print(Text(title, style="bold"))
        console.print(Padding(body, (0, 0, 0, 2)))


def _sections(plan: Wire) -> Iterable[tuple[str, RenderableType]]:
    yield "Weigh", _grist(plan)
    yield "Hops", _hops(plan["hop_bill"])
    cold = whole(COOLED, plan["temperatures"]["grain"]["unit"])
    yield f"Water and wort (at {cold})", _water(plan["water"])
    yield "Temperatures", _temperatures(plan["temperatures"])
    yield "Forecast, with the range that holds it four times in five", _forecast(plan)
    yield "Room in the vessels", _vessels(plan["fit"])
    yield "Have in reserve", _reserve(plan["in_reserve"])
    yield "Had the recipe been scaled by a fixed efficiency", _compared(plan)
    if plan["warnings"]:
        yield "Doubts", _lines(warning["detail"] for warning in plan["warnings"])
    if plan["ways_out"]:
        yield "Ways out", _ways_out(plan["ways_out"])
    yield "Take care", _lines(f"{row['hazard']} {row['advice']}" for row in plan["cautions"])


def _verdict(fit: Wire) -> Text:
    if not fit["reaches_gravity"]:
        return Text(f"Out of reach: one mash gives {amount(fit['ceiling_gravity'])} at most.")
    if not fit["fits"]:
        return Text("Does not fit this setup; see the ways out.")
    return Text("Fits every vessel.")


def _table(*columns: str, right: tuple[int, ...] = ()) -> Table:
    table = Table(box=None, padding=(0, 2, 0, 0), show_header=any(columns), header_style="dim")
    for index, column in enumerate(columns):
        table.add_column(column, justify="right" if index in right else "left")
    return table


def _lines(lines: Iterable[str]) -> RenderableType:
    table = _table("", "")
    for line in lines:
        table.add_row("-", line)
    return table


def _grist(plan: Wire) -> RenderableType:
    table = _table("mass", "", "goes into", "share of extract", right=(0, 3))
    for line in plan["grist"]:
        table.add_row(
            amount(line["to_weigh"]),
            line["name"],
            f"the {line['added_to']}",
            percent(line["share_of_extract"], decimals=0),
        )
    return Group(table, Text(f"{amount(plan['grain'])} of grain in the mash."))


def _hops(hop_bill: list[Wire]) -> RenderableType:
    table = _table("mass", "", "alpha", "when", "bitterness", right=(0, 2, 4))
    for hop in hop_bill:
        table.add_row(
            amount(hop["to_weigh"]),
            f"{hop['name']} ({hop['form']})",
            percent(hop["alpha"]),
            hop_moment(hop),
            amount(hop["bitterness"]),
        )
    return table if hop_bill else Text("None in this recipe.")


def _water(water: Wire) -> RenderableType:
    table = _table("", "", "", right=(0,))
    table.add_row(amount(water["strike"]), "strike water", "")
    for number, sparge in enumerate(water["sparge"], start=1):
        table.add_row(amount(sparge), f"sparge {number}", "")
    rows = (
        ("preboil", "in the kettle before the boil", f"reads {amount(water['preboil_hot'])} hot"),
        ("postboil", "after the boil", f"reads {amount(water['postboil_hot'])} hot"),
        ("fermenter", "into the fermenter", f"{amount(water['kettle_loss'])} stay behind"),
        ("packaged", "to package", f"{amount(water['fermenter_loss'])} stay behind"),
    )
    for name, what, remark in rows:
        table.add_row(amount(water[name]), what, remark)
    return table


def _temperatures(temperatures: Wire) -> RenderableType:
    table = _table("", "", right=(0,))
    grain = amount(temperatures["grain"])
    table.add_row(amount(temperatures["strike_water"]), f"strike water, for grain at {grain}")
    for rest in temperatures["mash"]:
        table.add_row(amount(rest["temperature"]), f"mash for {amount(rest['time'])}")
    table.add_row(amount(temperatures["boil_time"]), "boil")
    return table


def _forecast(plan: Wire) -> RenderableType:
    forecast = plan["forecast"]
    table = _table("", "", "", right=(1,))
    rows = (
        ("mash efficiency", "mash_efficiency"),
        ("gravity before the boil", "preboil_gravity"),
        ("original gravity", "original_gravity"),
        ("final gravity", "final_gravity"),
        ("alcohol by volume", "alcohol_by_volume"),
        ("volume after the boil", "postboil"),
    )
    for label, name in rows:
        table.add_row(label, amount(forecast[name]["mean"]), interval(forecast[name]))
    formula = forecast["bitterness_formula"].capitalize()
    table.add_row("bitterness", amount(forecast["bitterness"]), f"by {formula}")
    table.add_row("colour", amount(forecast["colour"]), "")
    return table


def _vessels(fit: Wire) -> RenderableType:
    table = _table("", "", "")
    for check in fit["checks"]:
        verdict = "fits" if check["fits"] else "DOES NOT FIT"
        table.add_row(f"{check['vessel']}, {check['at']}", verdict, check["detail"])
    largest = f"The largest grain bill that fits is {amount(fit['largest_grain_bill'])}."
    if fit["wet_bag_lifted"] is not None:
        largest += (
            f" The bag weighs {roughly(fit['wet_bag_lifted'])} when first lifted and "
            f"{roughly(fit['wet_bag_drained'])} drained."
        )
    return Group(table, Text(largest))


def _reserve(in_reserve: Wire) -> RenderableType:
    table = _table("", "", right=(0,))
    table.add_row(amount(in_reserve["dry_extract"]), "dry malt extract, for the low end")
    table.add_row(amount(in_reserve["top_up"]), "boiled water to top up with, for the high end")
    return table


def _compared(plan: Wire) -> RenderableType:
    table = _table("", "", "grain", "would come out at", right=(1, 2))
    rules = (("stated", "the recipe's own"), ("average", "the plain average of past brews"))
    for name, label in rules:
        other = plan["compared_with"][f"{name}_efficiency"]
        if other is not None:
            gravity = other["original_gravity"]
            table.add_row(
                label,
                percent(other["efficiency"]),
                amount(other["grain"]),
                f"{amount(gravity['mean'])}  {interval(gravity)}",
            )
    gravity = plan["forecast"]["original_gravity"]
    table.add_row(
        "this plan",
        percent(plan["forecast"]["mash_efficiency"]["mean"]),
        amount(plan["grain"]),
        f"{amount(gravity['mean'])}  {interval(gravity)}",
    )
    return table


def _ways_out(ways_out: list[Wire]) -> RenderableType:
    table = _table("", "grain", "boil", "original gravity", right=(1, 2))
    for way in ways_out:
        gravity = way["plan"]["forecast"]["original_gravity"]
        table.add_row(
            way["detail"],
            amount(way["grain"]),
            amount(way["burner_time"]),
            f"{amount(gravity['mean'])}  {interval(gravity)}",
        )
    return table
