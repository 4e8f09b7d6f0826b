"""Hops in store and in place of one another."""

from dataclasses import dataclass

from wortwright_client._reading import Model
from wortwright_client.models.findings import Doubt
from wortwright_client.quantities import Quantity


@dataclass(frozen=True, kw_only=True)
class AgedHops(Model):
    """Alpha acid now."""

    name: str
    alpha_at_analysis: Quantity
    alpha: Quantity
    left_share: Quantity
    summary: str
    warnings: tuple[Doubt, ...]


@dataclass(frozen=True, kw_only=True)
class HopAging(Model):
    """The hops in the order in which they were named."""

    hops: tuple[AgedHops, ...]


@dataclass(frozen=True, kw_only=True)
class HopSubstitution(Model):
    """Mass of the other hop."""

    mass: Quantity
    summary: str
    warnings: tuple[Doubt, ...]
