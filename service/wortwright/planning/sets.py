"""Several brews as one set: what to buy and weigh for all of them, and their blend."""

from collections.abc import Sequence
from dataclasses import dataclass

from wortwright.planning.blend import BlendForecast, blend_forecast, lot_of_plan
from wortwright.planning.plan import Plan
from wortwright.records.grist import HopForm, Kind


@dataclass(frozen=True, slots=True)
class FermentableTotal:
    """One fermentable over all brews of a set. [kg]"""

    name: str
    kind: Kind
    mass_kg: float


@dataclass(frozen=True, slots=True)
class HopTotal:
    """One lot of hops over all brews of a set. [kg]"""

    name: str
    form: HopForm
    alpha: float
    mass_kg: float


@dataclass(frozen=True, slots=True)
class BrewSet:
    """Brews that belong together; ``blend`` is all of them in one vessel."""

    plans: tuple[Plan, ...]
    fermentables: tuple[FermentableTotal, ...]
    hops: tuple[HopTotal, ...]
    grain_kg: float
    water_l: float
    burner_min: float
    fermenter_l: tuple[float, ...]
    packaged_l: float
    dry_extract_in_reserve_kg: float
    blend: BlendForecast


def make_set(plans: Sequence[Plan]) -> BrewSet:
    """Put several brews together.

    Parameters
    ----------
    plans : sequence of Plan
        At least one; the same plan may stand several times.

    Returns
    -------
    BrewSet
        Totals as weighed, in the order in which they first occur, and the blend.

    Raises
    ------
    OutOfRangeError
        Without a brew.
    """
    fermentables: dict[tuple[str, Kind], float] = {}
    hops: dict[tuple[str, HopForm, float], float] = {}
    for plan in plans:
        for line in plan.grist:
            key = (line.name, line.kind)
            fermentables[key] = fermentables.get(key, 0.0) + line.to_weigh_kg
        for hop in plan.hop_bill:
            lot = (hop.name, hop.form, hop.alpha)
            hops[lot] = hops.get(lot, 0.0) + hop.to_weigh_kg
    return BrewSet(
        plans=tuple(plans),
        fermentables=tuple(FermentableTotal(*key, mass) for key, mass in fermentables.items()),
        hops=tuple(HopTotal(*lot, mass) for lot, mass in hops.items()),
        grain_kg=sum(plan.grain_kg for plan in plans),
        water_l=sum(plan.water.total_l for plan in plans),
        burner_min=sum(plan.temperatures.boil_time_min for plan in plans),
        fermenter_l=tuple(plan.water.fermenter_l for plan in plans),
        packaged_l=sum(plan.water.packaged_l for plan in plans),
        dry_extract_in_reserve_kg=sum(plan.in_reserve.dry_extract_kg for plan in plans),
        blend=blend_forecast([lot_of_plan(plan) for plan in plans]),
    )
