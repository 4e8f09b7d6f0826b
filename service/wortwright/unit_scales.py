"""Every unit that is accepted, with its way to the base unit and back.

The one place that touches pint: a registry is built at import, its factors are read into a
frozen table, and it is let go. No text of a client ever reaches pint's parser, which takes
"4,5 kg" for 45 kg and "9**9**7" for an invitation to compute.
"""

from collections.abc import Callable, Mapping
from fractions import Fraction
from types import MappingProxyType
from typing import NamedTuple

import pint

from wortwright.brewing import colour, gravity
from wortwright.brewing.carbonation import CO2_G_PER_VOLUME
from wortwright.records.dimension import Dimension


class Scale(NamedTuple):
    """From a unit to the base unit of its dimension, and back."""

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

_SAME = Scale(float, float)
_PLATO = Scale(gravity.gravity_from_plato, gravity.plato_from_gravity)

_CURVED: Mapping[Dimension, Mapping[str, Scale]] = {
    Dimension.GRAVITY: {
        "SG": _SAME,
        "degP": _PLATO,
        "Brix": _PLATO,
        "gravity points": Scale(gravity.gravity_from_points, gravity.points_from_gravity),
    },
    Dimension.COLOUR: {
        "EBC": _SAME,
        "SRM": Scale(colour.ebc_from_srm, colour.srm_from_ebc),
        "degL": Scale(colour.ebc_from_lovibond, colour.lovibond_from_ebc),
    },
    Dimension.CARBONATION: {
        "volumes": _SAME,
        "g/L": Scale(
            lambda mass_g_l: mass_g_l / CO2_G_PER_VOLUME, lambda volumes: volumes * CO2_G_PER_VOLUME
        ),
    },
}

# Metric, US, imperial; a dimension that is not here is shown in its base unit everywhere.
PREFERRED: Mapping[Dimension, tuple[str, str, str]] = {
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


def _linear(factor: float, offset: float) -> Scale:
    return Scale(lambda value: value * factor + offset, lambda base: (base - offset) / factor)


def _build_table() -> Mapping[Dimension, Mapping[str, Scale]]:
    # Fractions keep the legal definitions exact: a pound is 0.45359237 kg to the last bit.
    registry: pint.UnitRegistry[Fraction] = pint.UnitRegistry(non_int_type=Fraction)
    table: dict[Dimension, Mapping[str, Scale]] = {}
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


SCALES = _build_table()
"""Scale of every symbol, by dimension; the base unit comes first."""
