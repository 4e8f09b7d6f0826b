"""What a careful brewer of an invented brewhouse writes down beside volumes and gravities.

Mash temperatures by a mixture of heats and Newton's cooling, beer by yeasts that keep to what is
stated of them more or less. As `brewhouse.py` it shares no code with the service. The population
is that of the priors: offsets of the mash-in 1 degC, cooling 4 +- 1.5 or, in a tun, 1.5 +- 0.8
degC in the hour, vessels 0.5 +- 0.4 kg of water, 1.0 +- 0.5 L left in the fermenter, yeasts 2.5
points about what is stated or 4 about the usual 75 %, setups 1.5 points, 1.6 +- 0.6 points a
degree. Foreign to the service: the effect of the mash levels off gently, cooling slows down, beers
of one setup scatter by 0.8 to 2.2 points.
"""

from dataclasses import dataclass, replace

import numpy as np

from benchmarks.brewhouse import House, draw_day, draw_house, gravity_of, positive_normal
from benchmarks.recorded_sessions import written_down as as_before
from wortwright.records.recipe import MashStep, Yeast
from wortwright.records.session import Reading, Session, Stage
from wortwright.records.setup import Vessel, Vessels

GRAIN_C = 18.0
LEVELS_OFF_C = 4.0
THERMOMETER_C, MASH_IN_C, COOLING_C = 0.4, 0.4, 0.3
COUNTED = 0.01


@dataclass(frozen=True)
class Brewer:
    """The truth of a setup beside its efficiency, and its yeasts with what they really do."""

    house: House
    poured: bool
    mash_in_offset_c: float
    vessel_heat_kg: float
    heat_loss_c_per_h: float
    fermenter_loss_l: float
    attenuation_offset: float
    attenuation_per_c: float
    yeasts: tuple[tuple[Yeast, float], ...]
    beer_sd: float

    @property
    def truth(self):
        """Every constant by the name that the calibration gives it."""
        house = self.house
        return {
            "conversion": house.conversion,
            "conversion_loss_per_kg_per_l": house.conversion_loss,
            "true_absorption_l_per_kg": house.absorption,
            "dead_space_l": house.dead_space_l,
            "boil_off_l_per_h": house.boil_off_l_per_h,
            "kettle_loss_l": house.kettle_loss_l,
            "fermenter_loss_l": self.fermenter_loss_l,
            "mash_in_offset_c": self.mash_in_offset_c,
            "vessel_heat_kg": self.vessel_heat_kg,
            "mash_heat_loss_c_per_h": self.heat_loss_c_per_h,
            "attenuation_offset": self.attenuation_offset,
            "attenuation_per_c": self.attenuation_per_c,
        }

    def mash_in_c(self, strike_c, water_kg, grain_kg):
        """Heats mixed: 0.40 of water's for the grain, and a cold tun where there is one."""
        cold = 0.40 * grain_kg + (self.vessel_heat_kg if self.poured else 0.0)
        mixed = (water_kg * strike_c + cold * GRAIN_C) / (water_kg + cold)
        return mixed + self.mash_in_offset_c

    def after_c(self, mash_c, hours):
        """Newton's cooling that loses what the setup loses in the first hour from 67 degC."""
        share = 1.0 - self.heat_loss_c_per_h / (67.0 - GRAIN_C)
        return GRAIN_C + (mash_c - GRAIN_C) * share**hours

    def attenuation(self, place, mash_c):
        """On average: of the yeast, the setup and the mash."""
        warmer = LEVELS_OFF_C * np.tanh((mash_c - 67.0) / LEVELS_OFF_C)
        return self.yeasts[place][1] + self.attenuation_offset + self.attenuation_per_c * warmer


def draw_brewer(rng):
    house = draw_house(rng)
    poured = bool(rng.uniform() < 0.5)
    if poured:
        vessels = Vessels(Vessel(100.0), mash_tun=Vessel(100.0))
        house = replace(house, setup=replace(house.setup, vessels=vessels))
    return Brewer(
        house,
        poured,
        rng.normal(0.0, 1.0),
        positive_normal(rng, 0.5, 0.4, 0.0),
        positive_normal(rng, *((1.5, 0.8) if poured else (4.0, 1.5)), 0.0),
        positive_normal(rng, 1.0, 0.5, 0.0),
        rng.normal(0.0, 0.015),
        rng.normal(-0.016, 0.006),
        (*(_stated(rng, name) for name in ("Ale", "Lager")), (Yeast("House"), _unstated(rng))),
        rng.uniform(0.008, 0.022),
    )


def _stated(rng, name):
    stated = rng.uniform(0.68, 0.82)
    return Yeast(name, float(stated)), stated + rng.normal(0.0, 0.025)


def _unstated(rng):
    return rng.normal(0.75, 0.04)


@dataclass(frozen=True)
class Noted:
    """A session as written down, and what was true of it."""

    session: Session
    yeast: int
    mash_c: float
    original_gravity: float
    final_gravity: float
    strike_l: float
    fermenter_l: float
    packaged_l: float
    mash_in_luck_c: float
    cooling_luck_c: float


def note(rng, brewer, potential):
    """One brew, everything read."""
    day = draw_day(rng, brewer.house, potential)
    session, done = as_before(rng, day), day.done
    meant_c, hours = rng.uniform(64.0, 69.5), rng.choice([60.0, 75.0, 90.0]) / 60.0
    water_kg = 0.998 * done.strike_l
    # As a brewer reckons who counts the grain, half a kilogram of tun, and goes by the dial.
    cold_kg = 0.4 * done.plan.grain_kg + (0.5 if brewer.poured else 0.0)
    strike_c = meant_c + cold_kg / water_kg * (meant_c - GRAIN_C) + rng.normal(0.0, 0.5)
    mash_in_luck_c, cooling_luck_c = rng.normal(0.0, MASH_IN_C), rng.normal(0.0, COOLING_C)
    lucky_c = brewer.mash_in_c(strike_c, water_kg, done.plan.grain_kg) + mash_in_luck_c
    end_c = brewer.after_c(lucky_c, hours) + cooling_luck_c
    place = int(rng.integers(len(brewer.yeasts)))
    attained = brewer.attenuation(place, lucky_c) + rng.normal(0.0, brewer.beer_sd)
    original = gravity_of(done.kettle_kg / day.postboil_l)
    final = original - attained * (original - 1.0)
    lost_l = max(0.0, brewer.fermenter_loss_l + rng.normal(0.0, 0.2))
    packaged_l = day.fermenter_l - lost_l

    def warm(true_c):
        return float(true_c + rng.normal(0.0, THERMOMETER_C))

    readings = (
        Reading(Stage.STRIKE_WATER, temperature_c=warm(strike_c)),
        Reading(Stage.MASH_IN, temperature_c=warm(lucky_c)),
        Reading(Stage.MASH_END, temperature_c=warm(end_c)),
        Reading(Stage.FINAL, gravity=float(final + rng.normal(0.0, 0.001))),
        Reading(Stage.PACKAGED, float(packaged_l * (1.0 + rng.normal(0.0, COUNTED)))),
    )
    session = replace(
        session,
        readings=(*session.readings, *readings),
        mash=(MashStep(float(meant_c), float(60.0 * hours)),),
        grain_temperature_c=GRAIN_C if rng.uniform() < 0.5 else None,
        yeast=brewer.yeasts[place][0] if rng.uniform() < 0.8 else None,
    )
    return Noted(
        session,
        place,
        lucky_c,
        original,
        final,
        done.strike_l,
        day.fermenter_l,
        packaged_l,
        mash_in_luck_c,
        cooling_luck_c,
    )


def misread(rng, session, share=0.15):
    """With the chance ``share``, one thermometer is off by 3 to 8 degrees."""
    spots = [i for i, one in enumerate(session.readings) if one.temperature_c is not None]
    wrong, shift = spots[rng.integers(len(spots))], rng.choice([-1.0, 1.0]) * rng.uniform(3.0, 8.0)
    if rng.uniform() > share:
        return session
    readings = list(session.readings)
    was_c = readings[wrong].temperature_c
    readings[wrong] = replace(readings[wrong], temperature_c=float(was_c + shift))
    return replace(session, readings=tuple(readings))
