"""Priming sugar, safe bottles and kegs."""

from dataclasses import dataclass

from wortwright_client._reading import Model
from wortwright_client.models.findings import Caution, Doubt
from wortwright_client.quantities import Quantity


@dataclass(frozen=True, kw_only=True)
class Bottling(Model):
    """Sugar, and the pressures that it makes.

    Pressures are by gauge: as expected in the store and in a hot car, and in the store if the
    beer ferments to its lowest. ``yeast`` is None where its own will do.
    """

    warnings: tuple[Doubt, ...]
    cautions: tuple[Caution, ...]
    summary: str
    sugar: Quantity
    residual_carbonation: Quantity
    carbonation: Quantity
    pressure: Quantity
    pressure_in_hot_car: Quantity
    carbonation_if_lowest: Quantity
    pressure_if_lowest: Quantity
    most_carbonation: Quantity
    safe_if_lowest: bool
    yeast: Quantity | None


@dataclass(frozen=True, kw_only=True)
class KegPressure(Model):
    """Pressure by gauge and carbonation in balance."""

    warnings: tuple[Doubt, ...]
    cautions: tuple[Caution, ...]
    pressure: Quantity
    carbonation: Quantity
    temperature: Quantity


@dataclass(frozen=True, kw_only=True)
class Priming(Model):
    """Sugar to weigh. Whether a bottle bears it is told by a bottling."""

    warnings: tuple[Doubt, ...]
    cautions: tuple[Caution, ...]
    summary: str
    sugar: Quantity
    sugar_per_litre: Quantity
    residual_carbonation: Quantity
