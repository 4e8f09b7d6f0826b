"""Recipes, their grist and their hops."""

from dataclasses import dataclass
from typing import cast

from wortwright_client._reading import Model, as_document
from wortwright_client.documents.recipes import RecipeDocument
from wortwright_client.models.people import Stored
from wortwright_client.quantities import Quantity


@dataclass(frozen=True, kw_only=True)
class WeighedFermentable(Model):
    """One line of a grist; ``assumed`` names what came from the table of generic ingredients."""

    name: str
    role: str
    mass: Quantity | None
    assumed: tuple[str, ...]
    kind: str | None = None
    extract_yield: Quantity | None = None
    moisture: Quantity | None = None
    colour: Quantity | None = None
    added_to: str | None = None


@dataclass(frozen=True, kw_only=True)
class Fermentable(WeighedFermentable):
    """One line of a recipe's grist, by mass or by share."""

    share: Quantity | None
    share_of: str | None


@dataclass(frozen=True, kw_only=True)
class HopAddition(Model):
    """One line of a hop bill; ``assumed`` names what was filled in."""

    name: str
    moment: str
    purpose: str
    assumed: tuple[str, ...]
    mass: Quantity | None = None
    bitterness: Quantity | None = None
    alpha: Quantity | None = None
    form: str | None = None
    time: Quantity | None = None
    temperature: Quantity | None = None


@dataclass(frozen=True, kw_only=True)
class MashStep(Model):
    """One rest of the mash."""

    temperature: Quantity
    time: Quantity


@dataclass(frozen=True, kw_only=True)
class Yeast(Model):
    """The yeast, with the apparent attenuation its maker states."""

    name: str
    apparent_attenuation: Quantity | None = None


@dataclass(frozen=True, kw_only=True)
class RecipeContent(Model):
    """A recipe as it was read, with what was filled in."""

    name: str
    volume: Quantity
    grist: tuple[Fermentable, ...]
    hop_bill: tuple[HopAddition, ...]
    mash: tuple[MashStep, ...]
    yeast: Yeast | None
    volume_at: str | None = None
    efficiency: Quantity | None = None
    efficiency_kind: str | None = None
    original_gravity: Quantity | None = None
    final_gravity: Quantity | None = None
    bitterness: Quantity | None = None
    colour: Quantity | None = None
    boil_time: Quantity | None = None
    style: str | None = None

    def to_document(self) -> RecipeDocument:
        """Write the recipe as `replace_recipe` and `create_scaling` take it."""
        return cast(RecipeDocument, as_document(self))


@dataclass(frozen=True, kw_only=True)
class Recipe(RecipeContent, Stored):
    """A stored recipe; its owner is ``club`` or the id of a brewer."""

    owner: str
