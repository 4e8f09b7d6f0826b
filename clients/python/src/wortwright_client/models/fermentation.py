"""Attenuation, alcohol, and whether a beer has finished."""

from dataclasses import dataclass

from wortwright_client._reading import Model
from wortwright_client.models.findings import Caution, Doubt
from wortwright_client.quantities import Forecast, Interval, Quantity


@dataclass(frozen=True, kw_only=True)
class Alcohol(Model):
    """Alcohol by volume with the limits of any figure from two gravities."""

    by_volume: Quantity
    low: Quantity
    high: Quantity
    apparent_attenuation: Quantity
    method: str


@dataclass(frozen=True, kw_only=True)
class Fermentation(Model):
    """Where it will end, how far it is, and what bottling has to reckon with.

    ``gravity`` and what follows from it are None before the first reading.
    """

    warnings: tuple[Doubt, ...]
    cautions: tuple[Caution, ...]
    summary: str
    final_gravity: Forecast
    apparent_attenuation: Quantity
    state: str
    finished: bool
    stable_for: Quantity
    must_stay_for: Quantity
    gravity: Quantity | None
    alcohol: Alcohol | None
    real_attenuation: Quantity | None
    gravity_to_expect: Quantity


@dataclass(frozen=True, kw_only=True)
class RefractometerGravity(Model):
    """A gravity; what may be true lies in the interval. Of beer never a ground for bottling."""

    gravity: Quantity
    interval: Interval
    correction_factor: float
    factor_from: str
    fermenting: bool
    warnings: tuple[Doubt, ...]
