"""Quantities as brewers write them, to and from base units.

The one place that touches pint: a registry is built at import, its factors are read into a
frozen table, and it is let go. No text of a client ever reaches pint's parser, which takes
"4,5 kg" for 45 kg and "9**9**7" for an invitation to compute.
"""

import math
import re
from collections.abc import Callable, Mapping
from enum import StrEnum
from fractions import Fraction
from types import MappingProxyType
from typing import NamedTuple

import pint

from wortwright.brewing import colour, gravity
from wortwright.brewing.carbonation import CO2_G_PER_VOLUME
from wortwright.brewing.errors import OutOfRangeError
from wortwright.records.dimension import Dimension as Dimension

LONGEST_TEXT = 64


class UnitSystem(StrEnum):
    """Whose units an answer is written in."""

    METRIC = "metric"
    US = "us"
    IMPERIAL = "imperial"


class QuantityError(ValueError):
    """A quantity that cannot be read; the message names what was found and what is accepted."""

    def __init__(self, message: str, accepted: tuple[str, ...] = ()) -> None:
        super().__init__(message)
        self.accepted = accepted


class _Scale(NamedTuple):
    to_base: Callable[[float], float]
    from_base: Callable[[float], float]


_MASS = {"kg": "kilogram", "g": "gram", "lb": "pound", "oz": "ounce"}
_HARDNESS = {
    "mg/L CaCO3": "milligram/liter",
    "ppm CaCO3": "milligram/liter",
    "dH": "10*100.086/56.077 * milligram/liter",
    "fH": "10 * milligram/liter",
    "meq/L": "100.086/2 * milligram/liter",
}

# Symbol -> the same in pint's words. pint's own "gallon", "quart" ... are those of the US.
# ppm is mg/L: a litre of brewing water taken as a kilogram, common practice.
# Alkalinity: 1 dH is 10 mg/L of CaO, 1 fH 10 mg/L of CaCO3, 1 meq half a mmol of CaCO3;
# CaCO3 100.086, CaO 56.077, HCO3 61.016 g/mol (standard atomic weights). A mmol of alkalinity
# is acid capacity to pH 4.3, one charge; a mmol of hardness is of calcium or magnesium, two.
# Readings of a refractometer are of a scale of sugar, and no gravity in beer. A billion is 1e9,
# a month a twelfth of a year of 365.25 days.
_LINEAR: Mapping[Dimension, Mapping[str, str]] = {
    Dimension.MASS: _MASS,
    Dimension.HOP_MASS: _MASS,
    Dimension.VOLUME: {
        "L": "liter",
        "mL": "milliliter",
        "US gal": "gallon",
        "imp gal": "imperial_gallon",
        "US qt": "quart",
        "imp qt": "imperial_quart",
        "US pt": "pint",
        "imp pt": "imperial_pint",
        "US fl oz": "fluid_ounce",
        "imp fl oz": "imperial_fluid_ounce",
    },
    Dimension.TEMPERATURE: {"degC": "degC", "degF": "degF"},
    Dimension.TEMPERATURE_DIFFERENCE: {"degC": "delta_degC", "degF": "delta_degF"},
    Dimension.TEMPERATURE_RATE: {"degC/h": "delta_degC/hour", "degF/h": "delta_degF/hour"},
    Dimension.FRACTION: {"fraction": "dimensionless", "%": "percent"},
    Dimension.TIME: {"min": "minute", "h": "hour"},
    Dimension.LENGTH: {"mm": "millimeter", "cm": "centimeter", "in": "inch"},
    Dimension.CONCENTRATION: {"mg/L": "milligram/liter", "ppm": "milligram/liter"},
    Dimension.ALKALINITY: {
        **_HARDNESS,
        "mg/L HCO3": "100.086/2/61.016 * milligram/liter",
        "mmol/L": "100.086/2 * milligram/liter",
    },
    Dimension.HARDNESS: {**_HARDNESS, "mmol/L": "100.086 * milligram/liter"},
    Dimension.BITTERNESS: {"IBU": "dimensionless"},
    Dimension.VOLUME_RATE: {
        "L/h": "liter/hour",
        "US gal/h": "gallon/hour",
        "imp gal/h": "imperial_gallon/hour",
    },
    Dimension.VOLUME_PER_MASS: {
        "L/kg": "liter/kilogram",
        "US qt/lb": "quart/pound",
        "imp qt/lb": "imperial_quart/pound",
    },
    Dimension.SMALL_MASS: {
        "g": "gram",
        "mg": "milligram",
        "kg": "kilogram",
        "oz": "ounce",
        "lb": "pound",
    },
    Dimension.SMALL_VOLUME: {
        "mL": "milliliter",
        "L": "liter",
        "US fl oz": "fluid_ounce",
        "imp fl oz": "imperial_fluid_ounce",
    },
    Dimension.PRESSURE: {"bar": "bar", "kPa": "kilopascal", "psi": "pound_force_per_square_inch"},
    Dimension.CELLS: {
        "cells": "dimensionless",
        "million cells": "1000000 * dimensionless",
        "billion cells": "1000000000 * dimensionless",
    },
    Dimension.PITCH_RATE: {"million/mL/degP": "dimensionless"},
    Dimension.AGE: {"d": "day", "h": "hour", "week": "week", "month": "month"},
    Dimension.REFRACTION: {"Brix": "dimensionless", "degP": "dimensionless"},
}

_SAME = _Scale(float, float)
_PLATO = _Scale(gravity.gravity_from_plato, gravity.plato_from_gravity)

_CURVED: Mapping[Dimension, Mapping[str, _Scale]] = {
    Dimension.GRAVITY: {
        "SG": _SAME,
        "degP": _PLATO,
        "Brix": _PLATO,
        "gravity points": _Scale(gravity.gravity_from_points, gravity.points_from_gravity),
    },
    Dimension.COLOUR: {
        "EBC": _SAME,
        "SRM": _Scale(colour.ebc_from_srm, colour.srm_from_ebc),
        "degL": _Scale(colour.ebc_from_lovibond, colour.lovibond_from_ebc),
    },
    Dimension.CARBONATION: {
        "volumes": _SAME,
        "g/L": _Scale(
            lambda mass_g_l: mass_g_l / CO2_G_PER_VOLUME, lambda volumes: volumes * CO2_G_PER_VOLUME
        ),
    },
}

# Metric, US, imperial; a dimension that is not here is shown in its base unit everywhere.
_PREFERRED: Mapping[Dimension, tuple[str, str, str]] = {
    Dimension.MASS: ("kg", "lb", "lb"),
    Dimension.HOP_MASS: ("g", "oz", "oz"),
    Dimension.VOLUME: ("L", "US gal", "imp gal"),
    Dimension.TEMPERATURE: ("degC", "degF", "degF"),
    Dimension.TEMPERATURE_DIFFERENCE: ("degC", "degF", "degF"),
    Dimension.TEMPERATURE_RATE: ("degC/h", "degF/h", "degF/h"),
    Dimension.COLOUR: ("EBC", "SRM", "EBC"),
    Dimension.LENGTH: ("mm", "in", "in"),
    Dimension.VOLUME_RATE: ("L/h", "US gal/h", "imp gal/h"),
    Dimension.VOLUME_PER_MASS: ("L/kg", "US qt/lb", "imp qt/lb"),
    Dimension.PRESSURE: ("bar", "psi", "psi"),
    Dimension.CELLS: ("billion cells", "billion cells", "billion cells"),
}

# What brewers write and what it may mean.
_AMBIGUOUS: Mapping[str, tuple[str, ...]] = {
    "gal": ("US gal", "imp gal"),
    "qt": ("US qt", "imp qt"),
    "pt": ("US pt", "imp pt"),
    "fl oz": ("US fl oz", "imp fl oz"),
    "gal/h": ("US gal/h", "imp gal/h"),
    "qt/lb": ("US qt/lb", "imp qt/lb"),
    "C": ("degC",),
    "F": ("degF",),
}

# A number as JSON writes it; ASCII digits only.
_NUMBER = re.compile(r"-?(?:0|[1-9][0-9]*)(?:\.[0-9]+)?(?:[eE][+-]?[0-9]+)?")


def _linear(factor: float, offset: float) -> _Scale:
    return _Scale(lambda value: value * factor + offset, lambda base: (base - offset) / factor)


def _build_table() -> Mapping[Dimension, Mapping[str, _Scale]]:
    # Fractions keep the legal definitions exact: a pound is 0.45359237 kg to the last bit.
    registry: pint.UnitRegistry[Fraction] = pint.UnitRegistry(non_int_type=Fraction)
    table: dict[Dimension, Mapping[str, _Scale]] = {}
    for dimension, words in _LINEAR.items():
        base = next(iter(words.values()))
        scales = {}
        for symbol, word in words.items():
            unit = registry.parse_expression(word)
            magnitude, pint_unit = unit.magnitude, unit.units
            offset = registry.Quantity(Fraction(0), pint_unit).m_as(base)
            one = registry.Quantity(magnitude, pint_unit).m_as(base)
            scales[symbol] = _linear(float(one - offset), float(offset))
        table[dimension] = MappingProxyType(scales)
    table.update((dimension, MappingProxyType(dict(s))) for dimension, s in _CURVED.items())
    return MappingProxyType(table)


_TABLE = _build_table()


def symbols(dimension: Dimension) -> tuple[str, ...]:
    """List the unit symbols accepted for a dimension, the base unit first.

    Parameters
    ----------
    dimension : Dimension
        What is measured.

    Returns
    -------
    tuple of str
        Every accepted symbol.
    """
    return tuple(_TABLE[dimension])


def base_unit(dimension: Dimension) -> str:
    """Symbol of the unit in which a dimension is kept and computed."""
    return next(iter(_TABLE[dimension]))


def preferred(dimension: Dimension, system: UnitSystem) -> str:
    """Symbol of the unit in which a system of units shows a dimension.

    Parameters
    ----------
    dimension : Dimension
        What is measured.
    system : UnitSystem
        Metric, US or imperial.

    Returns
    -------
    str
        A symbol out of `symbols`.
    """
    chosen = _PREFERRED.get(dimension)
    if chosen is None:
        return base_unit(dimension)
    return chosen[tuple(UnitSystem).index(system)]


def to_base(value: float, unit: str, dimension: Dimension) -> float:
    """Convert a value in one of the accepted units to the base unit.

    Parameters
    ----------
    value : float
        The number as given, finite.
    unit : str
        One of `symbols` of the dimension.
    dimension : Dimension
        What is measured.

    Returns
    -------
    float
        The value in the base unit.

    Raises
    ------
    QuantityError
        For another unit, a number that is not finite or becomes so, or a gravity beyond the
        range of its conversion.
    """
    return _apply(_scale(unit, dimension).to_base, value, unit)


def from_base(value: float, unit: str, dimension: Dimension) -> float:
    """Convert a value in the base unit to one of the accepted units.

    Parameters
    ----------
    value : float
        The number in the base unit, finite.
    unit : str
        One of `symbols` of the dimension.
    dimension : Dimension
        What is measured.

    Returns
    -------
    float
        The value in the unit asked for.

    Raises
    ------
    QuantityError
        As `to_base`.
    """
    return converter(unit, dimension)(value)


def converter(unit: str, dimension: Dimension) -> Callable[[float], float]:
    """What `from_base` does with every value, looked up once for many.

    Parameters
    ----------
    unit : str
        One of `symbols` of the dimension.
    dimension : Dimension
        What is measured.

    Returns
    -------
    callable
        Takes a value in the base unit and gives it in the unit asked for.
    """
    conversion, base = _scale(unit, dimension).from_base, base_unit(dimension)
    return lambda value: _apply(conversion, value, base)


def parse(text: str, dimension: Dimension) -> float:
    """Read a quantity such as ``"4.5 kg"``: a number, one space, a symbol.

    The number is written as in JSON (no decimal comma, no leading ``+`` or zero). A gravity may
    also be a bare specific gravity such as ``"1.065"``.

    Parameters
    ----------
    text : str
        The quantity, at most 64 characters.
    dimension : Dimension
        What it must measure.

    Returns
    -------
    float
        The value in the base unit.

    Raises
    ------
    QuantityError
        For anything else, naming what was found and what would be accepted.
    """
    if len(text) > LONGEST_TEXT:
        raise QuantityError(
            f"a quantity of {len(text)} characters; at most {LONGEST_TEXT} are accepted"
        )
    number, space, unit = text.partition(" ")
    if _NUMBER.fullmatch(number) is None:
        raise _unreadable(text, number, dimension)
    if space:
        return to_base(float(number), unit, dimension)
    if dimension is Dimension.GRAVITY:
        return to_base(float(number), "SG", dimension)
    accepted = symbols(dimension)
    raise QuantityError(
        f"{text!r} has no unit; write the number, one space and one of {_listed(accepted)}",
        accepted,
    )


def _scale(unit: str, dimension: Dimension) -> _Scale:
    scale = _TABLE[dimension].get(unit)
    if scale is None:
        raise _wrong_unit(unit, dimension)
    return scale


def _apply(conversion: Callable[[float], float], value: float, unit: str) -> float:
    if not math.isfinite(value):
        raise QuantityError(f"{value:g} {unit} is not a finite quantity")
    try:
        result = conversion(value)
    except OutOfRangeError as error:
        raise QuantityError(f"{value:g} {unit} cannot be converted: {error}") from error
    if not math.isfinite(result):
        raise QuantityError(f"{value:g} {unit} is too large a number to be converted")
    return result


def _unreadable(text: str, number: str, dimension: Dimension) -> QuantityError:
    accepted = symbols(dimension)
    if "," in number:
        return QuantityError(
            f"{text!r} has a comma in its number; write a decimal point and no separators", accepted
        )
    return QuantityError(
        f"{text!r} does not begin with a plain number; "
        f"write for example {_example(dimension)!r}, with one of {_listed(accepted)}",
        accepted,
    )


def _wrong_unit(unit: str, dimension: Dimension) -> QuantityError:
    accepted = symbols(dimension)
    shown = unit if len(unit) <= LONGEST_TEXT else unit[:LONGEST_TEXT] + "..."
    meant = tuple(symbol for symbol in _AMBIGUOUS.get(unit, ()) if symbol in accepted)
    if meant:
        return QuantityError(f"unit {shown!r} is ambiguous; write {_listed(meant, 'or')}", meant)
    others = [str(other).replace("_", " ") for other, scales in _TABLE.items() if unit in scales]
    found = f"unit {shown!r} measures {others[0]}" if others else f"unit {shown!r} is not known"
    return QuantityError(
        f"{found}; for {str(dimension).replace('_', ' ')} write one of {_listed(accepted)}",
        accepted,
    )


def _listed(accepted: tuple[str, ...], joint: str = "") -> str:
    return (f" {joint} " if joint else ", ").join(accepted)


def _example(dimension: Dimension) -> str:
    return f"4.5 {base_unit(dimension)}" if dimension is not Dimension.GRAVITY else "1.065 SG"
