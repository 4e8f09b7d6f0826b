"""The plan: a recipe refitted to a setup."""

from dataclasses import dataclass

from wortwright_client._reading import Model
from wortwright_client.models.findings import Caution, Doubt
from wortwright_client.models.recipes import MashStep, RecipeContent
from wortwright_client.models.setups import SetupContent
from wortwright_client.quantities import Forecast, Quantity


@dataclass(frozen=True, kw_only=True)
class Asked(Model):
    """The target with every default filled in."""

    volume: Quantity
    volume_at: str
    gravity: Quantity
    bitterness: Quantity | None


@dataclass(frozen=True, kw_only=True)
class RecipeReading(Model):
    """How the recipe was read, and which of its numbers were believed."""

    volume: Quantity
    volume_at: str
    original_gravity: Quantity
    implied_efficiency: Quantity
    stated_efficiency: Quantity | None
    bitterness: Quantity
    colour: Quantity
    believed: str


@dataclass(frozen=True, kw_only=True)
class PlannedFermentable(Model):
    """One line of the grist: the exact mass, and what a scale can do."""

    name: str
    kind: str
    added_to: str
    role: str
    exact: Quantity
    to_weigh: Quantity
    share_of_extract: Quantity


@dataclass(frozen=True, kw_only=True)
class PlannedHop(Model):
    """One hop addition: the exact mass, and what a scale can do."""

    name: str
    form: str
    moment: str
    purpose: str
    alpha: Quantity
    time: Quantity
    temperature: Quantity | None
    exact: Quantity
    to_weigh: Quantity
    bitterness: Quantity


@dataclass(frozen=True, kw_only=True)
class WaterPlan(Model):
    """Water in and wort out, at 20 degC unless it says hot; ``sparge`` has one entry a sparge."""

    strike: Quantity
    sparge: tuple[Quantity, ...]
    total: Quantity
    absorbed: Quantity
    dead_space: Quantity
    preboil: Quantity
    preboil_hot: Quantity
    boiled_off: Quantity
    postboil: Quantity
    postboil_hot: Quantity
    kettle_loss: Quantity
    fermenter: Quantity
    fermenter_loss: Quantity
    packaged: Quantity


@dataclass(frozen=True, kw_only=True)
class TemperaturePlan(Model):
    """Temperatures to reach.

    ``first_rest_ends`` is where the first rest ends if no heat is added; None in plans made
    before that was told.
    """

    strike_water: Quantity
    grain: Quantity
    mash: tuple[MashStep, ...]
    first_rest_ends: Quantity | None
    boil_time: Quantity


@dataclass(frozen=True, kw_only=True)
class BeerForecast(Model):
    """What this setup will make of what is weighed.

    ``outside_seen_range`` tells how far the brew lies beyond what the sessions tried, as a
    fraction of the nearest; it is None before any session. ``potential_gravity`` is None beyond
    the end of the scale of gravity.
    """

    mash_efficiency: Forecast
    brewhouse_efficiency: Forecast
    preboil_gravity: Forecast
    original_gravity: Forecast
    final_gravity: Forecast
    alcohol_by_volume: Forecast
    apparent_attenuation: Quantity
    apparent_attenuation_sd: Quantity
    postboil: Forecast
    bitterness: Quantity
    bitterness_formula: str
    colour: Quantity
    grain_load_kg_per_l: float
    potential_gravity: Quantity | None
    outside_seen_range: float | None


@dataclass(frozen=True, kw_only=True)
class VesselFit(Model):
    """One volume against one vessel, as hot as it will be."""

    vessel: str
    at: str
    needed: Quantity
    usable: Quantity
    capacity: Quantity
    fits: bool
    detail: str


@dataclass(frozen=True, kw_only=True)
class Fit(Model):
    """Whether it all goes in, and reaches its gravity."""

    fits: bool
    reaches_gravity: bool
    checks: tuple[VesselFit, ...]
    largest_grain_bill: Quantity
    ceiling_gravity: Quantity | None
    wet_bag_drained: Quantity | None
    wet_bag_lifted: Quantity | None


@dataclass(frozen=True, kw_only=True)
class InReserve(Model):
    """What to have at hand: dry extract for the low end, water for the high end."""

    dry_extract: Quantity
    top_up: Quantity


@dataclass(frozen=True, kw_only=True)
class Alternative(Model):
    """What would come of the grain that another rule asks for."""

    efficiency: Quantity
    grain: Quantity
    original_gravity: Forecast


@dataclass(frozen=True, kw_only=True)
class ComparedWith(Model):
    """The plan beside the two rules in common use; None where a rule has no number."""

    stated_efficiency: Alternative | None
    average_efficiency: Alternative | None


@dataclass(frozen=True, kw_only=True)
class WayOut(Model):
    """One alternative where the plan does not fit: a whole plan, and its price.

    ``plan`` is of one brew, made ``brews`` times; the figures beside it are of all of them.
    ``added_extract`` is malt extract or sugar that the recipe does not have, ``burner_time`` the
    time at the boil, ``rinse`` the water over the drained grain. ``recipe`` and ``setup`` are
    what was planned with, None where the way changes nothing about them.
    """

    kind: str
    detail: str
    brews: int
    volume: Quantity
    original_gravity: Quantity
    grain: Quantity
    added_extract: Quantity
    burner_time: Quantity
    rinse: Quantity
    risks: tuple[Doubt, ...]
    recipe: RecipeContent | None
    setup: SetupContent | None
    plan: "Plan"


@dataclass(frozen=True, kw_only=True)
class Plan(Model):
    """A recipe refitted to a setup."""

    recipe_name: str
    setup_name: str
    asked: Asked
    recipe_reading: RecipeReading
    grist: tuple[PlannedFermentable, ...]
    grain: Quantity
    hop_bill: tuple[PlannedHop, ...]
    water: WaterPlan
    temperatures: TemperaturePlan
    forecast: BeerForecast
    fit: Fit
    in_reserve: InReserve
    compared_with: ComparedWith
    warnings: tuple[Doubt, ...]
    cautions: tuple[Caution, ...]
    ways_out: tuple[WayOut, ...]
