"""Quantities as a person reads them: rounded, with their unit."""

from collections.abc import Mapping
from typing import Any

from wortwright.records.sentence import in_percent

Quantity = Mapping[str, Any]

# Decimals that the reading of an instrument carries.
_DECIMALS = {
    "kg": 2,
    "g": 0,
    "lb": 2,
    "oz": 2,
    "L": 1,
    "mL": 0,
    "US gal": 2,
    "imp gal": 2,
    "mm": 0,
    "in": 1,
    "degC": 1,
    "degF": 0,
    "SG": 3,
    "degP": 1,
    "EBC": 0,
    "SRM": 0,
    "IBU": 0,
    "min": 0,
    "mg/L": 0,
    "bar": 1,
    "psi": 0,
    "volumes": 1,
    "billion cells": 0,
}
_SMALL = 10.0
_SMALL_UNITS = frozenset({"g", "mL"})
_WRITTEN = {"degC": "°C", "degF": "°F", "degP": "°P", "degC/h": "°C/h", "degF/h": "°F/h"}


def amount(quantity: Quantity) -> str:
    """Write a quantity: ``4.53 kg``, ``1.062``, ``71.2 %``."""
    unit = quantity["unit"]
    if unit == "fraction":
        return percent(quantity)
    number = number_of(quantity)
    return number if unit in ("SG", None) else f"{number} {unit_word(unit)}"


def whole(quantity: Quantity) -> str:
    """Write a quantity without decimals: ``16 kg``."""
    return f"{quantity['value']:.0f} {unit_word(quantity['unit'])}"


def roughly(quantity: Quantity) -> str:
    """Write a quantity that nobody can forecast to a decimal: ``about 16 kg``."""
    return f"about {whole(quantity)}"


def unit_word(unit: str) -> str:
    """Write a unit as it is read."""
    return _WRITTEN.get(unit, unit)


def number_of(quantity: Quantity) -> str:
    """Write a quantity without its unit, as the unit is read."""
    value, unit = quantity["value"], quantity["unit"]
    decimals = _DECIMALS.get(unit, 2)
    if unit in _SMALL_UNITS and value < _SMALL:
        decimals = 1
    return f"{value:.{decimals}f}"


def between(low: Quantity, high: Quantity) -> str:
    """Write a range with its unit once: ``0.8 to 1.3 L``."""
    if low["unit"] == "fraction":
        return f"{percent(low).removesuffix(' %')} to {percent(high)}"
    return f"{number_of(low)} to {amount(high)}"


def percent(quantity: Quantity, decimals: int = 1) -> str:
    """Write a fraction in percent."""
    whole_of = 100.0 if quantity["unit"] == "%" else 1.0
    return in_percent(quantity["value"] / whole_of, decimals)


def interval(forecast: Mapping[str, Any]) -> str:
    """Write the 80 % interval of a forecast: ``(1.101 to 1.115)``."""
    return f"({ends(forecast, ' to ')})"


def ends(forecast: Mapping[str, Any], joint: str = " and ") -> str:
    """Write both ends of the 80 % interval of a forecast."""
    return joint.join(amount(forecast["interval_80"][end]) for end in ("low", "high"))
