"""Quantities in other units."""

from typing import Literal, TypeAlias, TypedDict

Dimension: TypeAlias = Literal[
    "mass",
    "hop_mass",
    "volume",
    "temperature",
    "temperature_difference",
    "temperature_rate",
    "gravity",
    "colour",
    "fraction",
    "time",
    "length",
    "concentration",
    "alkalinity",
    "bitterness",
    "volume_rate",
    "volume_per_mass",
    "small_mass",
    "small_volume",
    "hardness",
    "pressure",
    "carbonation",
    "cells",
    "pitch_rate",
    "age",
    "refraction",
]


class ConversionDocument(TypedDict):
    """A quantity, and what it measures: one symbol may stand in several dimensions."""

    dimension: Dimension
    value: float
    unit: str
