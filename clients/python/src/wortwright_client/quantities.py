"""Quantities: a number with its unit."""

from dataclasses import dataclass

from wortwright_client._reading import Model


@dataclass(frozen=True, kw_only=True)
class Quantity(Model):
    """A number with its unit. Its text can be sent to the service as it is."""

    value: float
    unit: str

    def __str__(self) -> str:
        return f"{self.value:.6g} {self.unit}"


@dataclass(frozen=True, kw_only=True)
class Amount(Model):
    """A number with its unit; None where it is a plain number."""

    value: float
    unit: str | None

    def __str__(self) -> str:
        return f"{self.value:.6g} {self.unit}" if self.unit else f"{self.value:.6g}"


@dataclass(frozen=True, kw_only=True)
class Interval(Model):
    """The ends of an interval."""

    low: Quantity
    high: Quantity


@dataclass(frozen=True, kw_only=True)
class Forecast(Model):
    """What is to come: its mean, and the interval that holds it in 8 cases of 10."""

    mean: Quantity
    interval_80: Interval

    def __str__(self) -> str:
        low, high = self.interval_80.low, self.interval_80.high
        return f"{self.mean.value:.4g} {self.mean.unit} ({low.value:.4g} to {high.value:.4g})"
