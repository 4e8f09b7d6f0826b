"""Every figure of one session as a function of the unknowns that explain its readings."""

import math
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from wortwright.brewing.gravity import (
    WATER_DENSITY_20_KG_PER_L,
    gravity_from_extract_kg_per_l,
    gravity_from_plato,
)
from wortwright.calibration.balance import LUCK, Balance, own_place
from wortwright.calibration.evidence import Evidence
from wortwright.calibration.explanations import Explained
from wortwright.calibration.history import SHARED, Array, Own, Row
from wortwright.records.dimension import Dimension

MOST_EXTRACT_KG_PER_L = 0.45
MOST_PLATO = 40.0
LARGEST_LOGARITHM = 12.0
"""Ends of the ranges in which a figure means something; beyond them are readings of no brew."""

LEAST_VOLUME_L = 1e-3

STRIKE, BOIL, KETTLE = (own_place(own) for own in (Own.STRIKE, Own.BOIL, Own.KETTLE))
PREBOIL = own_place(Own.PREBOIL)
BOIL_OFF, KETTLE_LOSS, DEAD_SPACE = (
    SHARED.index(name) for name in ("boil_off_l_per_h", "kettle_loss_l", "dead_space_l")
)


class Name(StrEnum):
    """The figures of a session: those that are read, and those that follow from them."""

    STRIKE_WATER = "strike_water"
    WATER_IN = "water_in"
    FIRST_WORT_GRAVITY = "first_wort_gravity"
    PREBOIL_VOLUME = "preboil_volume"
    PREBOIL_GRAVITY = "preboil_gravity"
    POSTBOIL_VOLUME = "postboil_volume"
    POSTBOIL_GRAVITY = "postboil_gravity"
    FERMENTER_VOLUME = "fermenter_volume"
    FERMENTER_GRAVITY = "fermenter_gravity"
    EXTRACT_BEFORE_BOIL = "extract_before_boil"
    EXTRACT_AFTER_BOIL = "extract_after_boil"
    CONVERSION = "conversion"
    LAUTER_EFFICIENCY = "lauter_efficiency"
    MASH_EFFICIENCY = "mash_efficiency"
    ABSORPTION = "absorption"
    BOIL_OFF = "boil_off"
    KETTLE_LOSS = "kettle_loss"


MEASURES = {
    Name.FIRST_WORT_GRAVITY: Dimension.GRAVITY,
    Name.PREBOIL_GRAVITY: Dimension.GRAVITY,
    Name.POSTBOIL_GRAVITY: Dimension.GRAVITY,
    Name.FERMENTER_GRAVITY: Dimension.GRAVITY,
    Name.EXTRACT_BEFORE_BOIL: Dimension.MASS,
    Name.EXTRACT_AFTER_BOIL: Dimension.MASS,
    Name.CONVERSION: Dimension.FRACTION,
    Name.LAUTER_EFFICIENCY: Dimension.FRACTION,
    Name.MASH_EFFICIENCY: Dimension.FRACTION,
    Name.ABSORPTION: Dimension.VOLUME_PER_MASS,
    Name.BOIL_OFF: Dimension.VOLUME_RATE,
}
"""What is measured; all others are volumes."""

WORDS = {
    Name.STRIKE_WATER: "strike water",
    Name.WATER_IN: "water that went in",
    Name.FIRST_WORT_GRAVITY: "gravity of the first wort",
    Name.PREBOIL_VOLUME: "pre-boil volume",
    Name.PREBOIL_GRAVITY: "pre-boil gravity",
    Name.POSTBOIL_VOLUME: "post-boil volume",
    Name.POSTBOIL_GRAVITY: "post-boil gravity",
    Name.FERMENTER_VOLUME: "volume in the fermenter",
    Name.FERMENTER_GRAVITY: "gravity in the fermenter",
    Name.EXTRACT_BEFORE_BOIL: "extract before the boil",
    Name.EXTRACT_AFTER_BOIL: "extract after the boil",
    Name.CONVERSION: "conversion",
    Name.LAUTER_EFFICIENCY: "lauter efficiency",
    Name.MASH_EFFICIENCY: "mash efficiency",
    Name.ABSORPTION: "water that the grain kept",
    Name.BOIL_OFF: "boil-off",
    Name.KETTLE_LOSS: "wort left in the kettle",
}

ROWS = {
    Row.WATER: Name.WATER_IN,
    Row.FIRST_WORT: Name.FIRST_WORT_GRAVITY,
    Row.PREBOIL: Name.PREBOIL_VOLUME,
    Row.PREBOIL_GRAVITY: Name.PREBOIL_GRAVITY,
    Row.POSTBOIL: Name.POSTBOIL_VOLUME,
    Row.POSTBOIL_GRAVITY: Name.POSTBOIL_GRAVITY,
    Row.FERMENTER: Name.FERMENTER_VOLUME,
    Row.FERMENTER_GRAVITY: Name.FERMENTER_GRAVITY,
}

_OF_EXTRACT = (Name.PREBOIL_GRAVITY, Name.POSTBOIL_GRAVITY, Name.FERMENTER_GRAVITY)
_LINEAR = (Name.ABSORPTION, Name.BOIL_OFF)


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure where it is nearly linear in the unknowns, with its derivatives by them.

    Masses and fractions are kept as logarithms, gravities as that of extract per litre, that
    of the first wort as that of extract per water.
    """

    mean: float
    by: Array


def natural(name: Name, value: float) -> float:
    """Give a figure in the unit of what it measures."""
    if name not in MEASURES or name in _LINEAR:
        return value
    number = math.exp(min(value, LARGEST_LOGARITHM))
    if name in _OF_EXTRACT:
        return gravity_from_extract_kg_per_l(min(number, MOST_EXTRACT_KG_PER_L))
    if name is Name.FIRST_WORT_GRAVITY:
        return gravity_from_plato(min(100.0 * number / (1.0 + number), MOST_PLATO))
    return number


def is_first_wort_told(evidence: Evidence) -> bool:
    """Whether the first wort was read, with water that it was made of."""
    return evidence.conversion > 0.0


def _in_first_wort(evidence: Evidence) -> float:
    """Logarithm of extract per water in a stirred mash that converts everything."""
    return math.log(evidence.potential_kg / (evidence.strike_l * WATER_DENSITY_20_KG_PER_L))


def read_of(explained: Explained) -> dict[Name, float]:
    """What was read of a session, corrected to 20 degC; what was not read is not there."""
    one = explained.evidence
    water_l = explained.history.read[0, Row.WATER] * explained.history.preboil_l[0]
    read = {
        Name.STRIKE_WATER: one.strike_l,
        Name.WATER_IN: float(water_l),
        Name.FIRST_WORT_GRAVITY: _first_wort_gravity(one),
        Name.PREBOIL_VOLUME: one.preboil_l,
        Name.PREBOIL_GRAVITY: one.preboil_gravity,
        Name.POSTBOIL_VOLUME: one.postboil_l,
        Name.POSTBOIL_GRAVITY: one.postboil_gravity,
        Name.FERMENTER_VOLUME: one.fermenter_l,
        Name.FERMENTER_GRAVITY: one.fermenter_gravity,
    }
    return {name: value for name, value in read.items() if not math.isnan(value)}


def _first_wort_gravity(evidence: Evidence) -> float:
    if not is_first_wort_told(evidence):
        return math.nan
    told = math.log(evidence.conversion) + _in_first_wort(evidence)
    return natural(Name.FIRST_WORT_GRAVITY, told)


def figures_of(explained: Explained, balance: Balance) -> dict[Name, Figure]:
    """All figures that one explanation gives of a session."""
    figures = {**_volumes(explained, balance), **_gravities(explained, balance)}
    figures |= _efficiencies(explained, balance)
    figures |= _losses(explained, balance, figures)
    return {name: figures[name] for name in Name if name in figures}


def _row(balance: Balance, row: Row, scale: float = 1.0) -> Figure:
    return Figure(scale * float(balance.level[row]), scale * balance.by[row])


def _less(figure: Figure, balance: Balance, place: int, share: float) -> Figure:
    """A figure without the share of one unknown in it."""
    by = figure.by.copy()
    by[place] -= share
    return Figure(figure.mean - share * float(balance.unknowns[place]), by)


def _volumes(explained: Explained, balance: Balance) -> dict[Name, Figure]:
    guess_l = float(explained.history.preboil_l[0])
    water = _row(balance, Row.WATER, guess_l)
    # The error of the strike water is in what is read of the water, not in the water.
    found = {
        Name.WATER_IN: _less(water, balance, STRIKE, float(water.by[STRIKE])),
        Name.PREBOIL_VOLUME: _row(balance, Row.PREBOIL, guess_l),
        Name.POSTBOIL_VOLUME: _row(balance, Row.POSTBOIL, guess_l),
        Name.FERMENTER_VOLUME: _row(balance, Row.FERMENTER, guess_l),
    }
    strike_l = explained.evidence.strike_l
    if not math.isnan(strike_l):
        found[Name.STRIKE_WATER] = _less(
            Figure(strike_l, np.zeros_like(balance.unknowns)), balance, STRIKE, strike_l
        )
    return found


def _gravities(explained: Explained, balance: Balance) -> dict[Name, Figure]:
    found = {
        ROWS[row]: _row(balance, row)
        for row in (Row.PREBOIL_GRAVITY, Row.POSTBOIL_GRAVITY, Row.FERMENTER_GRAVITY)
    }
    if is_first_wort_told(explained.evidence):
        level = _row(balance, Row.FIRST_WORT)
        ratio = level.mean + _in_first_wort(explained.evidence)
        found[Name.FIRST_WORT_GRAVITY] = Figure(ratio, level.by)
    return found


def _efficiencies(explained: Explained, balance: Balance) -> dict[Name, Figure]:
    # By the first wort a conversion is told with the strike water as read.
    conversion = _less(_row(balance, Row.FIRST_WORT), balance, STRIKE, 1.0)
    before = _row(balance, Row.PREBOIL_GRAVITY)
    extract_by = before.by.copy()
    extract_by[PREBOIL] += 1.0
    extract = Figure(before.mean + math.log(balance.preboil_l), extract_by)
    potential = math.log(explained.evidence.potential_kg)
    efficiency = Figure(extract.mean - potential, extract.by)
    return {
        Name.EXTRACT_BEFORE_BOIL: extract,
        Name.CONVERSION: conversion,
        Name.MASH_EFFICIENCY: efficiency,
        Name.LAUTER_EFFICIENCY: Figure(
            efficiency.mean - conversion.mean, efficiency.by - conversion.by
        ),
    }


def _losses(
    explained: Explained, balance: Balance, figures: dict[Name, Figure]
) -> dict[Name, Figure]:
    unknowns, grain_kg = balance.unknowns, explained.evidence.grain_kg
    postboil, gravity = figures[Name.POSTBOIL_VOLUME], figures[Name.POSTBOIL_GRAVITY]
    water, preboil = figures[Name.WATER_IN], figures[Name.PREBOIL_VOLUME]
    postboil_l = max(postboil.mean, LEAST_VOLUME_L)
    kept_by = (water.by - preboil.by - _at(DEAD_SPACE)) / grain_kg
    kept_l = water.mean - preboil.mean - unknowns[DEAD_SPACE]
    found = {
        Name.EXTRACT_AFTER_BOIL: Figure(
            gravity.mean + math.log(postboil_l), gravity.by + postboil.by / postboil_l
        ),
        Name.ABSORPTION: Figure(float(kept_l / grain_kg), kept_by),
        Name.KETTLE_LOSS: Figure(
            float(unknowns[KETTLE_LOSS] + unknowns[KETTLE]), _at(KETTLE_LOSS) + _at(KETTLE)
        ),
    }
    boil_h = explained.evidence.boil_h
    if boil_h > 0.0:
        rate = unknowns[BOIL_OFF] + unknowns[BOIL] / boil_h
        found[Name.BOIL_OFF] = Figure(float(rate), _at(BOIL_OFF) + _at(BOIL) / boil_h)
    return found


def _at(place: int) -> Array:
    by = np.zeros(LUCK + 1)
    by[place] = 1.0
    return by
