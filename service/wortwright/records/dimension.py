"""What a quantity can measure."""

from enum import StrEnum


class Dimension(StrEnum):
    """What a quantity measures; the first symbol of each is its base unit."""

    MASS = "mass"
    HOP_MASS = "hop_mass"
    VOLUME = "volume"
    TEMPERATURE = "temperature"
    TEMPERATURE_DIFFERENCE = "temperature_difference"
    TEMPERATURE_RATE = "temperature_rate"
    GRAVITY = "gravity"
    COLOUR = "colour"
    FRACTION = "fraction"
    TIME = "time"
    LENGTH = "length"
    CONCENTRATION = "concentration"
    ALKALINITY = "alkalinity"
    BITTERNESS = "bitterness"
    VOLUME_RATE = "volume_rate"
    VOLUME_PER_MASS = "volume_per_mass"
    SMALL_MASS = "small_mass"
    SMALL_VOLUME = "small_volume"
    HARDNESS = "hardness"
    PRESSURE = "pressure"
    CARBONATION = "carbonation"
    CELLS = "cells"
    PITCH_RATE = "pitch_rate"
    AGE = "age"
    REFRACTION = "refraction"
