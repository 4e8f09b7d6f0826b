"""Invented brewhouses that brew; `recorded_sessions.py` is what their brewers read of it.

A simulator for judging the calibration from outside. It shares no code with the service: every
mash is a mass balance in small steps (kilograms of extract and of water, wort volume from the
density), gravities come from another relation than the service's. Only the record classes,
which carry setups and readings, are the service's.

The population is at least as wide as the prior population of the calibration. `foreign` houses
obey physics that the calibration does not know: conversion loss that begins earlier and saturates
with thickness, absorption that grows with the depth of the bed (by up to 6 % from a usual to a
strong brew), sparge water of which 5 to 20 % runs down channels. `foreign` is the strength of it:
0 none, 1 as said, 2 twice the last two.
"""

from dataclasses import dataclass

import numpy as np
from scipy.linalg import expm

from wortwright.records.setup import (
    BagDrained,
    Crush,
    GrainHeldBy,
    LauterMethod,
    Setup,
    Vessel,
    Vessels,
)

WATER = 0.9982
USUAL = (0.15, 0.215)
STRONG = (0.27, 0.33)
CONVERSION = {Crush.FINE: (0.95, 0.03), Crush.SHOP: (0.92, 0.045), Crush.COARSE: (0.86, 0.06)}
ABSORPTION = {"squeezed": (0.85, 0.12), "hung": (1.05, 0.17), "false bottom": (1.42, 0.17)}


def extract_per_litre(gravity):
    """Lincoln's relation (MBAA Tech. Quart. 24, 1987, from memory): degP = (463 - 205 S)(S - 1)."""
    return (463.0 - 205.0 * gravity) * (gravity - 1.0) / 100.0 * gravity * WATER


def gravity_of(extract_kg_per_l):
    """The inverse of `extract_per_litre`, by steps of its slope near 1.050."""
    gravity = 1.0
    for _ in range(12):
        gravity += (extract_kg_per_l - extract_per_litre(gravity)) / 2.7
    return gravity


def wort_litres(water_kg, extract_kg):
    """Volume of a wort of so much water and extract, by density at its strength."""
    plato = 100.0 * extract_kg / (water_kg + extract_kg)
    specific = 1.0 + plato * (3.8586e-3 + plato * (1.3576e-5 + plato * 4.016e-8))
    return (water_kg + extract_kg) / (specific * WATER)


@dataclass(frozen=True)
class Plan:
    grain_kg: float
    extract_yield: float
    preboil_l: float


@dataclass(frozen=True)
class House:
    """The truth of one brewhouse, and what its brewer told of it."""

    setup: Setup
    method: LauterMethod
    crush: Crush
    holder: str
    conversion: float
    conversion_loss: float
    absorption: float
    dead_space_l: float
    bypass: float
    tanks: int
    believed_absorption: float
    strike_l_per_kg: float
    equal_runnings: bool
    thickest_l_per_kg: float
    batch_l: float
    brew_log_sd: float
    boil_off_l_per_h: float
    kettle_loss_l: float
    foreign: float
    bed_exponent: float
    channelled: float

    def conversion_at(self, thickness):
        if self.foreign:
            excess = max(0.0, thickness - 0.27)
            return self.conversion - self.conversion_loss * excess / (1.0 + 6.0 * excess)
        return self.conversion - self.conversion_loss * max(0.0, thickness - 0.30)

    def deepening(self, plan):
        """Bed depth relative to a usual brew's; 1 in a house of known physics."""
        return plan.grain_kg / plan.preboil_l / 0.24 if self.foreign else 1.0

    def absorption_at(self, plan):
        return self.absorption * self.deepening(plan) ** self.bed_exponent

    def washing(self, displacements):
        """What of the sparge touches the grain; the rest runs down the channels."""
        return displacements * (1.0 - self.channelled) if self.foreign else displacements


def positive_normal(rng, mean, sd, least, most=np.inf):
    while True:
        value = rng.normal(mean, sd)
        if least < value < most:
            return value


def draw_house(rng, *, foreign=0.0, brew_log_sd=None, thick=False):
    method = list(LauterMethod)[rng.integers(3)]
    crush = list(Crush)[rng.integers(3)]
    if method is LauterMethod.CONTINUOUS_SPARGE:
        holder = "false bottom"
    else:
        holder = ("squeezed", "hung", "false bottom")[rng.integers(3)]
    absorption = positive_normal(rng, *ABSORPTION[holder], 0.4)
    return House(
        setup=_told(rng, method, crush, holder),
        method=method,
        crush=crush,
        holder=holder,
        conversion=positive_normal(rng, *CONVERSION[crush], 0.5, 0.995),
        conversion_loss=abs(rng.normal(0.0, 0.439)),
        absorption=absorption,
        dead_space_l=abs(rng.normal(0.0, 0.7)) if holder == "false bottom" else 0.0,
        bypass=positive_normal(rng, 0.2, 0.1, 0.0, 0.8),
        tanks=int(rng.choice([2, 3, 4])),
        believed_absorption=absorption - 0.42 + rng.normal(0.0, 0.1),
        strike_l_per_kg=rng.uniform(2.5, 3.3),
        equal_runnings=bool(rng.uniform() < 0.5) or thick,
        thickest_l_per_kg=0.0 if thick else 2.5,
        batch_l=rng.uniform(18.0, 45.0),
        brew_log_sd=rng.uniform(0.012, 0.030) if brew_log_sd is None else brew_log_sd,
        boil_off_l_per_h=positive_normal(rng, 3.5, 0.9, 1.0),
        kettle_loss_l=positive_normal(rng, 1.2, 0.6, 0.1),
        foreign=foreign,
        bed_exponent=foreign * rng.uniform(0.0, 0.10),
        channelled=min(0.6, foreign * rng.uniform(0.05, 0.20)),
    )


def _told(rng, method, crush, holder):
    """The setup as described: one brewer in four leaves out the crush or the holder."""
    held_by = GrainHeldBy.FALSE_BOTTOM if holder == "false bottom" else GrainHeldBy.BAG
    drained = None if holder == "false bottom" else BagDrained(holder)
    tells = rng.uniform() > 0.25
    return Setup(
        name="invented",
        lauter_method=method,
        vessels=Vessels(Vessel(100.0)),
        grain_held_by=held_by if tells else None,
        bag_drained=drained if tells else None,
        crush=crush if rng.uniform() > 0.25 else None,
    )


def draw_plan(rng, house, potential):
    extract_yield = rng.uniform(0.72, 0.79)
    return Plan(
        rng.uniform(*potential) * house.batch_l / extract_yield, extract_yield, house.batch_l
    )


@dataclass(frozen=True)
class Brew:
    """What one brew truly became."""

    plan: Plan
    strike_l: float
    sparge_l: float
    preboil_l: float
    kettle_kg: float
    first_wort_kg_per_kg: float


def brew(house, plan, *, log_luck=0.0, log_lot=0.0, log_volume=0.0):
    """One mash and lauter by mass balance; without luck, what the house does on average."""
    potential_kg = plan.grain_kg * plan.extract_yield * np.exp(log_lot)
    preboil_l = plan.preboil_l * np.exp(log_volume)
    held_l = house.absorption_at(plan) * plan.grain_kg + house.dead_space_l
    strike_l = _strike(house, plan, preboil_l, held_l, potential_kg)
    dissolved_kg = potential_kg * house.conversion_at(plan.grain_kg / strike_l)
    wort_l = wort_litres(strike_l * WATER, dissolved_kg)
    first_l = preboil_l if house.method is LauterMethod.NO_SPARGE else wort_l - held_l
    first_l = min(max(first_l, 0.05 * preboil_l), preboil_l)
    left_kg = dissolved_kg * held_l / (held_l + first_l)
    rest_l = preboil_l - first_l
    if house.method is LauterMethod.BATCH_SPARGE:
        left_kg *= held_l / (held_l + rest_l)
    elif house.method is LauterMethod.CONTINUOUS_SPARGE:
        left_kg = _wash(left_kg, house.washing(rest_l / held_l), house.tanks, house.bypass)
    kettle_kg = (dissolved_kg - left_kg) * np.exp(log_luck)
    strength = dissolved_kg / (dissolved_kg + strike_l * WATER)
    sparge_l = preboil_l + held_l - wort_l
    return Brew(plan, strike_l, max(0.0, sparge_l), preboil_l, kettle_kg, strength)


def _strike(house, plan, preboil_l, held_l, potential_kg):
    """Water in the mash: all of it, or a ratio to the grain, or what gives equal runnings.

    Every other batch sparger aims at equal runnings, but mashes no thicker than 2.5 L/kg (in
    `thick` houses all of them do, down to 2 L/kg in a strong brew).
    """
    all_l = _all_in_mash(house, plan, preboil_l, held_l, potential_kg)
    if house.method is LauterMethod.NO_SPARGE:
        return all_l
    wanted_l = house.strike_l_per_kg * plan.grain_kg
    if house.method is LauterMethod.BATCH_SPARGE and house.equal_runnings:
        half_l = plan.preboil_l / 2.0 + house.believed_absorption * plan.grain_kg
        wanted_l = max(half_l + house.dead_space_l, house.thickest_l_per_kg * plan.grain_kg)
    return min(wanted_l, all_l)


def _all_in_mash(house, plan, preboil_l, held_l, potential_kg):
    """Water that gives the whole pre-boil volume from one run-off, by iteration."""
    strike_l = preboil_l + held_l
    for _ in range(20):
        dissolved_kg = potential_kg * house.conversion_at(plan.grain_kg / strike_l)
        strike_l += preboil_l + held_l - wort_litres(strike_l * WATER, dissolved_kg)
    return strike_l


def _wash(held_kg, displacements, tanks, bypass):
    """Extract left in the bed: the flow through stirred tanks solved as a linear system."""
    flow = tanks * displacements * (np.eye(tanks, k=-1) - np.eye(tanks))
    contents = expm(flow) @ np.full(tanks, (1.0 - bypass) / tanks)
    return held_kg * (contents.sum() + bypass)


@dataclass(frozen=True)
class Noise:
    gravity: float = 0.001
    volume: float = 0.025
    lot: float = 0.012
    first_wort: float = 0.015
    realised_volume: float = 0.02


USUAL_NOISE = Noise()


def luck(rng, house, noise):
    return {
        "log_luck": rng.normal(0.0, house.brew_log_sd),
        "log_lot": rng.normal(0.0, noise.lot),
        "log_volume": rng.normal(0.0, noise.realised_volume),
    }


@dataclass(frozen=True)
class Day:
    """What truly happened on one brew day."""

    done: Brew
    boil_min: float
    postboil_l: float
    fermenter_l: float


def draw_day(rng, house, potential, noise=USUAL_NOISE):
    """One brew as it truly was."""
    plan = draw_plan(rng, house, potential)
    done = brew(house, plan, **luck(rng, house, noise))
    boil_min = float(rng.choice([60.0, 75.0, 90.0]))
    boil_off_l = (house.boil_off_l_per_h + rng.normal(0.0, 0.25)) * boil_min / 60.0
    postboil_l = max(done.preboil_l - boil_off_l, 0.5 * done.preboil_l)
    fermenter_l = postboil_l - max(0.1, house.kettle_loss_l + rng.normal(0.0, 0.2))
    return Day(done, boil_min, postboil_l, fermenter_l)
