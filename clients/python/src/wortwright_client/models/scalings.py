"""Scalings: plans with all they were computed from."""

from dataclasses import dataclass
from datetime import datetime

from wortwright_client._reading import Model
from wortwright_client.models.hops import AgedHops
from wortwright_client.models.packaging import Bottling
from wortwright_client.models.plans import Asked, Plan
from wortwright_client.models.recipes import RecipeContent
from wortwright_client.models.setups import SetupContent
from wortwright_client.models.water import MashPhForecast, WaterTreatment
from wortwright_client.models.yeast import Pitch
from wortwright_client.quantities import Quantity


@dataclass(frozen=True, kw_only=True)
class ComputedFrom(Model):
    """The stored things, and their versions, that a scaling rests on; None where written out."""

    setup_id: str | None
    setup_version: int | None
    recipe_id: str | None
    recipe_version: int | None
    calibration_version: int | None


@dataclass(frozen=True, kw_only=True)
class Target(Model):
    """The beer wanted, as it was asked for."""

    volume: Quantity | None = None
    volume_at: str | None = None
    gravity: Quantity | None = None
    bitterness: Quantity | None = None


@dataclass(frozen=True, kw_only=True)
class Preferences(Model):
    """How the brewer wanted it."""

    grist_policy: str | None = None
    bitterness_formula: str | None = None
    weigh_in: str | None = None
    grain_temperature: Quantity | None = None
    no_extract: bool | None = None
    no_sugar: bool | None = None
    no_rinse: bool | None = None
    max_boil: Quantity | None = None
    max_brews: int | None = None
    largest_extract_share: Quantity | None = None
    largest_sugar_share: Quantity | None = None
    prefer: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class ComputedScaling(Model):
    """A recipe refitted to a setup, with all it was computed from; not stored.

    Water, yeast, hops in store and packaging are worked out where they were asked for.
    """

    brewer_id: str | None
    computed_from: ComputedFrom
    recipe: RecipeContent
    setup: SetupContent
    target: Target
    preferences: Preferences
    plan: Plan
    water_treatment: WaterTreatment | None
    mash_ph: MashPhForecast | None
    pitch: Pitch | None
    hops_in_store: tuple[AgedHops, ...]
    bottling: Bottling | None


@dataclass(frozen=True, kw_only=True)
class Scaling(ComputedScaling):
    """A stored scaling. It stays as it was made."""

    id: str
    created_at: datetime
    etag: str | None = None


@dataclass(frozen=True, kw_only=True)
class ScalingSummary(Model):
    """A stored scaling in a list; `get_scaling` gives its plan."""

    id: str
    created_at: datetime
    brewer_id: str | None
    computed_from: ComputedFrom
    recipe_name: str
    setup_name: str


@dataclass(frozen=True, kw_only=True)
class BatchResult(Model):
    """One recipe on the setup, before anything is rounded to what a scale shows.

    Where ``reaches_gravity`` is false the figures are of the most extract that the mash gives.
    """

    recipe_name: str
    asked: Asked
    grain: Quantity
    mash_efficiency: Quantity
    original_gravity: Quantity
    preboil: Quantity
    fits: bool
    reaches_gravity: bool


@dataclass(frozen=True, kw_only=True)
class BatchItem(Model):
    """What came of one recipe, or why nothing did. `create_scaling` gives its whole plan."""

    recipe_id: str
    recipe_version: int | None
    result: BatchResult | None
    refused_because: str | None


@dataclass(frozen=True, kw_only=True)
class Batch(Model):
    """The outcomes, in the order in which the recipes were named."""

    computed_from: ComputedFrom
    items: tuple[BatchItem, ...]
