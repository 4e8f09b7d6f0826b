"""Quantities in other units."""

from dataclasses import dataclass

from wortwright_client._reading import Model
from wortwright_client.quantities import Quantity


@dataclass(frozen=True, kw_only=True)
class Conversion(Model):
    """The quantity in every unit of its dimension, the base unit first.

    A unit whose scale ends before the quantity is left out.
    """

    dimension: str
    quantities: tuple[Quantity, ...]
