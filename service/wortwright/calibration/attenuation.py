"""Apparent attenuation to come, by yeast and mash temperature, from what a setup has learnt.

Attenuation is what the yeast's maker states, moved by the strength of the wort and by sugar as
`brewing.attenuation` has it, by the temperature of the mash, by an offset of the setup (its
thermometer, its cooling mash, its cellar) and by an offset of the yeast in this brewer's hands.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from wortwright.brewing.attenuation import (
    SHIFT_UNSURE,
    STRONG_GRAVITIES,
    YeastAttenuation,
    final_gravity_forecast,
)
from wortwright.calibration.intervals import SCORE_80
from wortwright.records.grist import AddedTo, Fermentable, Kind
from wortwright.records.recipe import MashStep, Yeast

USUAL_ATTENUATION = 0.75
STATED_SD, UNSTATED_SD = 0.025, 0.04
"""Attenuation of a yeast of which only the name is known; spread of the yeasts about what their
makers state, and about the usual. Common practice, no source."""

SETUP_SD, BREW_SD = 0.015, 0.015
"""Spread of the setups, and of one beer after the other; common practice, no source."""

RECIPE_SD = 0.02
"""Spread of the beer that a recipe's own gravities promise; common practice, no source."""

NEUTRAL_MASH_C = 67.0
PER_DEGREE = (-0.016, 0.006)
COOLEST_MASH_C, WARMEST_MASH_C = 64.0, 70.0
"""Change of attenuation per degree of the main rest: 2 to 4 points more at 64.5 degC, 4 to 6
less at 69.5, and no further beyond the ends; common practice, no source."""

STARCH_RESTS_C = (58.0, 75.0)
"""Rests in which starch becomes sugar; common practice."""

ORDINARY_GRAVITY, WEAKEST, STRONGEST = 1.050, 1.001, 1.160
"""A wort as makers of yeast use, and where what strength does is known from and to."""

USUAL_EFFICIENCY = 0.75
LEAST, MOST = 0.3, 1.15
UNTOLD_SD = 0.03
"""Attenuation that somebody expects without saying how surely; common practice, no source."""

SETUP, MASH = 0, 1
"""Places in the posterior; after them comes one for each yeast."""

UNNAMED = ""
"""The yeast of beers of which none was written down: taken for one that is always the same."""


@dataclass(frozen=True, slots=True)
class KnownYeast:
    """A yeast that was brewed with: the attenuation stated of it, and how many beers tell."""

    name: str
    stated: float | None = None
    session_count: int = 0

    @property
    def expected(self) -> float:
        """What is expected of it before it was brewed with. [fraction]"""
        return USUAL_ATTENUATION if self.stated is None else self.stated

    @property
    def prior_sd(self) -> float:
        """How far it may be from that. [fraction]"""
        return UNSTATED_SD if self.stated is None else STATED_SD


@dataclass(frozen=True, slots=True)
class AttenuationPosterior:
    """Offset of the setup, change per degree of the mash, offset of each yeast; plain values.

    Without arguments it is the prior.
    """

    yeasts: tuple[KnownYeast, ...] = ()
    mean: tuple[float, ...] = (0.0, PER_DEGREE[0])
    covariance: tuple[tuple[float, ...], ...] = ((SETUP_SD**2, 0.0), (0.0, PER_DEGREE[1] ** 2))
    session_count: int = 0

    def place_of(self, yeast: Yeast | None) -> int | None:
        """Place of a yeast in the posterior; None if it was never brewed with."""
        keys = [key_of(known.name) for known in self.yeasts]
        key = UNNAMED if yeast is None else key_of(yeast.name)
        return MASH + 1 + keys.index(key) if key in keys else None


@dataclass(frozen=True, slots=True)
class Ferment:
    """What ferments: the gravity of the wort, the main rest, its sugar, the yeast."""

    original_gravity: float
    mash_c: float | None = None
    sugar_share: float = 0.0
    yeast: Yeast | None = None


@dataclass(frozen=True, slots=True)
class Attained:
    """Apparent attenuation to come, with its standard deviation. [fraction]"""

    mean: float
    sd: float


def key_of(name: str) -> str:
    """Spelling by which a yeast is known again."""
    return " ".join(name.casefold().split())


def main_rest_c(mash: Sequence[MashStep]) -> float | None:
    """Temperature of the longest rest in which starch becomes sugar; None without one. [degC]"""
    low, high = STARCH_RESTS_C
    rests = [rest for rest in mash if low <= rest.temperature_c <= high]
    return max(rests, key=lambda rest: rest.time_min).temperature_c if rests else None


def sugar_share(grist: Sequence[Fermentable]) -> float:
    """Part of the extract that is simple sugar, at a usual mash efficiency. [fraction]"""
    sugar_kg = total_kg = 0.0
    for line in grist:
        gives = USUAL_EFFICIENCY if line.added_to is AddedTo.MASH else 1.0
        extract_kg = gives * (line.mass_kg or 0.0) * line.as_is_yield
        total_kg += extract_kg
        sugar_kg += extract_kg if line.kind in (Kind.SUGAR, Kind.SYRUP) else 0.0
    return sugar_kg / total_kg if total_kg else 0.0


def by_the_book(ferment: Ferment, stated: float) -> Attained:
    """Attenuation of a yeast by strength and sugar, but for the mash."""

    def attained(gravity: float) -> float:
        yeast = YeastAttenuation(stated, 0.0)
        found = final_gravity_forecast(gravity, yeast, None, ferment.sugar_share)
        return found.apparent_attenuation

    gravity = min(max(ferment.original_gravity, WEAKEST), STRONGEST)
    mean = attained(gravity)
    by_strength = mean - attained(ORDINARY_GRAVITY) if gravity > STRONG_GRAVITIES[0] else 0.0
    return Attained(mean, SHIFT_UNSURE * abs(by_strength) / SCORE_80)


def mash_degrees(ferment: Ferment) -> float:
    """Degrees of the mash from the neutral ones that count; sugar is not mashed."""
    mash_c = NEUTRAL_MASH_C if ferment.mash_c is None else ferment.mash_c
    counted_c = min(max(mash_c, COOLEST_MASH_C), WARMEST_MASH_C)
    return (1.0 - ferment.sugar_share) * (counted_c - NEUTRAL_MASH_C)


def expected_attenuation(
    posterior: AttenuationPosterior, ferment: Ferment, recipe_says: float | None = None
) -> Attained:
    """Attenuation of a beer to come.

    A recipe that tells its gravities has its yeast, mash and sugar in them. It is believed as
    far as the yeast is not known here; the more beers tell of the yeast, the more these count.
    """
    yeast = ferment.yeast
    place = posterior.place_of(yeast)
    known = _known(posterior, place, yeast)
    told = 0.0 if place is None else 1.0 - posterior.covariance[place][place] / known.prior_sd**2
    counts = 1.0 if recipe_says is None else min(max(told, 0.0), 1.0)
    book = by_the_book(ferment, known.expected)
    slopes = [0.0] * len(posterior.mean)
    slopes[SETUP], slopes[MASH] = 1.0, counts * mash_degrees(ferment)
    if place is not None:
        slopes[place] = counts
    learnt = sum(slope * mean for slope, mean in zip(slopes, posterior.mean, strict=True))
    variance = variance_of(posterior, slopes)
    mean = counts * book.mean + (1.0 - counts) * (recipe_says or 0.0) + learnt
    sd = math.hypot(
        math.sqrt(variance),
        BREW_SD,
        counts * book.sd,
        counts * known.prior_sd if place is None else 0.0,
        (1.0 - counts) * RECIPE_SD,
    )
    return Attained(min(max(mean, LEAST), MOST), sd)


def variance_of(posterior: AttenuationPosterior, slopes: Sequence[float]) -> float:
    """Variance of a figure that is linear in what was learnt."""
    return sum(
        left * right * covariance
        for left, row in zip(slopes, posterior.covariance, strict=True)
        for right, covariance in zip(slopes, row, strict=True)
    )


def _known(posterior: AttenuationPosterior, place: int | None, yeast: Yeast | None) -> KnownYeast:
    """The yeast as the posterior knows it, or else as it is stated."""
    if place is not None:
        return posterior.yeasts[place - MASH - 1]
    return KnownYeast(UNNAMED, None if yeast is None else yeast.apparent_attenuation)
