"""Quantities: a number with its unit."""

from dataclasses import dataclass

from wortwright_client._reading import Model


@dataclass(frozen=True, kw_only=True)
class Quantity(Model):
    """A number with its unit. Its text can be sent to the service as it is.

    ``f"{quantity:.1f}"`` rounds it for a person, ``f"{efficiency:.0%}"`` writes a fraction in
    percent.
    """

    value: float
    unit: str

    def __str__(self) -> str:
        return format(self, ".6g")

    def __format__(self, how: str) -> str:
        return _written(self.value, self.unit, how or ".6g")


@dataclass(frozen=True, kw_only=True)
class Amount(Model):
    """A number with its unit; None where it is a plain number."""

    value: float
    unit: str | None

    def __str__(self) -> str:
        return format(self, ".6g")

    def __format__(self, how: str) -> str:
        return _written(self.value, self.unit, how or ".6g")


@dataclass(frozen=True, kw_only=True)
class Interval(Model):
    """The ends of an interval."""

    low: Quantity
    high: Quantity


@dataclass(frozen=True, kw_only=True)
class Forecast(Model):
    """What is to come: its mean, and the interval that holds it in 8 cases of 10.

    It is rounded like a quantity: ``f"{forecast:.3f}"``.
    """

    mean: Quantity
    interval_80: Interval

    def __str__(self) -> str:
        return format(self, ".4g")

    def __format__(self, how: str) -> str:
        if not how:
            return str(self)
        low, high = (
            format(end.value, how) for end in (self.interval_80.low, self.interval_80.high)
        )
        return f"{self.mean:{how}} ({low} to {high})"


def _written(value: float, unit: str | None, how: str) -> str:
    number = format(value, how)
    return number if unit is None or how.endswith("%") else f"{number} {unit}"
