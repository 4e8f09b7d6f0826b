"""A brew under way, and what a correction does to it, by a balance of kilograms."""

import math

from planning.kit import BAG, bag_calibration, plan_for
from wortwright.planning.kettle.kettle_log import read_kettle
from wortwright.planning.kettle.kettle_reading import (
    KettleReading,
)
from wortwright.records.session import Reading

KNOWN = bag_calibration()
PLAN = plan_for(known=KNOWN)
RATE = 3.2
DRY_EXTRACT = 0.98 * 0.97
ON_TARGET = 0.0003


def at(stage, volume_l=None, gravity=None, **more):
    reading = Reading(stage, volume_l=volume_l, gravity=gravity)
    return KettleReading(reading, **more)


def log(*readings, plan=PLAN, limits=None, setup=BAG):
    return read_kettle(plan, setup, KNOWN, readings, limits)


def carried_out(pot, correction):
    """Do to a pot of wort what a correction says; boil down to the mark, whatever the flame."""
    pot = pot.with_extract(correction.dry_extract_kg * DRY_EXTRACT)
    if correction.boil_down_to_l is not None:
        pot = bisect_boil(pot, lambda left: left.litres - correction.boil_down_to_l)
    return pot.with_water(correction.top_up_l)


def bisect_boil(pot, too_much):
    """Boil until what is still too much no longer is."""
    low, high = 0.0, pot.litres * 0.9
    for _ in range(50):
        middle = (low + high) / 2.0
        low, high = (middle, high) if too_much(pot.boiled(middle)) > 0.0 else (low, middle)
    return pot.boiled(low)


def by_kind(found):
    return {correction.kind: correction for correction in found.corrections}


def tinseth(minutes, gravity):
    """Tinseth 1997: the published pair of factors."""
    return 1.65 * 0.000125 ** (gravity - 1.0) * (1.0 - math.exp(-0.04 * minutes)) / 4.15
