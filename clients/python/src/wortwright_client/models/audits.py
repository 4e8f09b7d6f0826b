"""Recipes held against their own numbers and against styles."""

from dataclasses import dataclass

from wortwright_client._reading import Model
from wortwright_client.models.findings import Doubt
from wortwright_client.quantities import Quantity


@dataclass(frozen=True, kw_only=True)
class Contradiction(Model):
    """Two figures for one thing: the stated one, and what the rest of the recipe gives.

    ``by`` is stated less recomputed.
    """

    code: str
    stated: Quantity
    recomputed: Quantity
    by: Quantity
    detail: str


@dataclass(frozen=True, kw_only=True)
class RangeCheck(Model):
    """One figure against the range of a style, whose open ends are None.

    ``outside_by`` is 0 inside, below 0 if too low.
    """

    name: str
    value: Quantity
    low: Quantity | None
    high: Quantity | None
    outside_by: Quantity


@dataclass(frozen=True, kw_only=True)
class StyleAudit(Model):
    """A recipe against a style, in numbers only."""

    id: str
    name: str
    inside: bool
    checks: tuple[RangeCheck, ...]


@dataclass(frozen=True, kw_only=True)
class RecipeAudit(Model):
    """What a recipe's own numbers give, and where they contradict one another.

    ``gravity_at_stated_efficiency`` is None without one stated, ``style`` where the recipe names
    none that is known.
    """

    original_gravity: Quantity
    implied_efficiency: Quantity
    stated_efficiency: Quantity | None
    gravity_at_stated_efficiency: Quantity | None
    apparent_attenuation: Quantity
    final_gravity: Quantity
    alcohol_by_volume: Quantity
    bitterness: Quantity
    bitterness_formula: str
    colour: Quantity
    believed: str
    contradictions: tuple[Contradiction, ...]
    style: StyleAudit | None
    warnings: tuple[Doubt, ...]


@dataclass(frozen=True, kw_only=True)
class StyleRange(Model):
    """The range of one figure of a style; an end that is None is open."""

    name: str
    low: Quantity | None
    high: Quantity | None


@dataclass(frozen=True, kw_only=True)
class Style(Model):
    """One style in numbers only; its ranges do not depend on each other."""

    id: str
    name: str
    ranges: tuple[StyleRange, ...]
