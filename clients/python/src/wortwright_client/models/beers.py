"""Beers that go together: blends, second brews and sets of brews."""

from dataclasses import dataclass

from wortwright_client._reading import Model
from wortwright_client.models.findings import Doubt
from wortwright_client.models.plans import Plan
from wortwright_client.models.recipes import RecipeContent
from wortwright_client.models.schedules import Schedule
from wortwright_client.quantities import Forecast, Quantity


@dataclass(frozen=True, kw_only=True)
class BeerLot(Model):
    """One beer with what is known of it."""

    name: str
    volume: Quantity
    original_gravity: Forecast
    apparent_attenuation: Forecast
    bitterness: Quantity
    colour: Quantity


@dataclass(frozen=True, kw_only=True)
class BlendPart(BeerLot):
    """One beer, and how much of it is taken."""

    taken: Quantity


@dataclass(frozen=True, kw_only=True)
class BlendForecast(Model):
    """What a blend will be. ``original_extract_plato`` is of its mean gravity."""

    volume: Quantity
    original_gravity: Forecast
    original_extract_plato: float
    final_gravity: Forecast
    alcohol_by_volume: Forecast
    apparent_attenuation: Forecast
    real_attenuation: Forecast
    bitterness: Quantity
    colour: Quantity
    warnings: tuple[Doubt, ...]


@dataclass(frozen=True, kw_only=True)
class Miss(Model):
    """A property that is not what was wanted; ``by`` is got less wanted, below 0 if too low."""

    property: str
    wanted: Quantity
    got: Quantity
    by: Quantity


@dataclass(frozen=True, kw_only=True)
class Blend(Model):
    """How much of each beer, and the blend; ``misses`` is empty if it is what was wanted."""

    parts: tuple[BlendPart, ...]
    blend: BlendForecast
    misses: tuple[Miss, ...]


@dataclass(frozen=True, kw_only=True)
class SecondPlan(Model):
    """A second brew and the blend that it makes; ``misses`` is empty if that was wanted.

    ``character_factor`` is what the masses per volume of the character malts are multiplied by
    for the colour; ``recipe`` is the one that was planned with.
    """

    original_gravity: Quantity
    final_gravity: Quantity
    apparent_attenuation: Quantity
    bitterness: Quantity
    colour: Quantity
    mash_temperature: Quantity
    character_factor: float
    recipe: RecipeContent
    plan: Plan
    blend: BlendForecast
    misses: tuple[Miss, ...]


@dataclass(frozen=True, kw_only=True)
class SameAgain(Model):
    """The first brew's ingredients brewed again to less volume, all of both blended."""

    packaged: Quantity
    original_gravity: Quantity
    recipe: RecipeContent
    plan: Plan
    blend: BlendForecast


@dataclass(frozen=True, kw_only=True)
class SecondBrew(Model):
    """The second brew of a pair, and whether the blend is what was wanted.

    ``same_ingredients`` is None where the first was planned nowhere here, was not too weak, or
    no smaller volume makes up for it.
    """

    first: BeerLot
    reached: bool
    second: SecondPlan
    same_ingredients: SameAgain | None


@dataclass(frozen=True, kw_only=True)
class FermentableTotal(Model):
    """One fermentable over all brews to come."""

    name: str
    kind: str
    mass: Quantity


@dataclass(frozen=True, kw_only=True)
class HopTotal(Model):
    """One lot of hops over all brews to come."""

    name: str
    form: str
    alpha: Quantity
    mass: Quantity


@dataclass(frozen=True, kw_only=True)
class ScheduledBrew(Model):
    """One brew of a set: its fermenter and its schedule."""

    recipe_name: str
    fermenter: str
    schedule: Schedule


@dataclass(frozen=True, kw_only=True)
class BrewSet(Model):
    """The brews of a set that are still to come, each by ``plan``; totals are of those.

    ``blend`` is of all brews. ``misses`` tells what of it is not what was wanted, once some have
    been brewed. ``schedule`` is empty without a start.
    """

    brewed: tuple[BeerLot, ...]
    to_brew: int
    plan: Plan
    fermentables: tuple[FermentableTotal, ...]
    hops: tuple[HopTotal, ...]
    grain: Quantity
    water: Quantity
    burner_time: Quantity
    packaged: Quantity
    dry_extract_in_reserve: Quantity
    blend: BlendForecast
    misses: tuple[Miss, ...]
    schedule: tuple[ScheduledBrew, ...]
