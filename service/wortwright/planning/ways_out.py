"""Room to spare, and the last volume and gravity with any: the search beneath the ways out."""

import math
from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise

from scipy.optimize import brentq

from wortwright.brewing.errors import OutOfRangeError
from wortwright.calibration.posterior import Calibration
from wortwright.planning.fit import Room, rooms
from wortwright.planning.foam import foam_of
from wortwright.planning.mashing import expect_mash, rests_of
from wortwright.planning.plan import Asked
from wortwright.planning.recipe import ReadRecipe
from wortwright.planning.sizing import size_brew
from wortwright.planning.target import Preferences, TargetError
from wortwright.planning.weighing import weighed_mash
from wortwright.records.setup import Setup

VOLUME_STEP_L = 0.1
GRAVITY_STEP = 0.001
RUNGS = 10
WEAKEST_GRAVITY = 1.020


def room_to_spare(
    read: ReadRecipe,
    setup: Setup,
    calibration: Calibration,
    asked: Asked,
    preferences: Preferences,
) -> float:
    """Smallest room to spare, as a share; below 0 where anything does not fit or reach.

    Parameters
    ----------
    read, setup, calibration, asked, preferences
        As `assemble_plan`.

    Returns
    -------
    float
        -1 where nothing can be planned at all.
    """
    try:
        sizing = size_brew(read, calibration, asked, preferences)
    except (TargetError, OutOfRangeError):
        return -1.0
    # As weighed, since that is what the plan is judged by.
    weighed = weighed_mash(
        sizing.mashed.lines, sizing.grain.masses_kg, sizing.volumes.preboil_l, preferences.weigh_in
    )
    mash = expect_mash(setup, calibration, weighed, rests_of(read.recipe))
    foam = foam_of(asked.gravity, read.recipe.yeast)
    left = [_left(room) for room in rooms(setup, sizing.volumes, mash, asked.gravity, foam)]
    # A bill that just reaches its gravity has reach 1, so only a shortfall says anything.
    shortfall = sizing.grain.reach - 1.0
    return min([*left, shortfall]) if shortfall < -1e-9 else min(left)


def _left(room: Room) -> float:
    """Room to spare as a share, never below 0 where it fits."""
    share = (room.usable_l - room.needed_l) / room.usable_l
    return max(share, 0.0) if room.fits else share


def largest_volume(asked: Asked, margin: Callable[[Asked], float]) -> Asked | None:
    """Return the target at the largest smaller volume that fits, in whole steps."""

    def at(volume_l: float) -> Asked:
        return replace(asked, volume_l=volume_l)

    least_l = asked.volume_l / RUNGS
    found = last_that_fits(
        lambda volume_l: margin(at(volume_l)), least_l, asked.volume_l, VOLUME_STEP_L
    )
    return None if found is None else at(found)


def strongest(asked: Asked, margin: Callable[[Asked], float]) -> Asked | None:
    """Return the target at the highest lower gravity that fits, in whole steps."""

    def at(gravity: float) -> Asked:
        return replace(asked, gravity=gravity)

    found = last_that_fits(
        lambda gravity: margin(at(gravity)), WEAKEST_GRAVITY, asked.gravity, GRAVITY_STEP
    )
    return None if found is None else at(found)


def last_that_fits(
    margin: Callable[[float], float], low: float, high: float, step: float
) -> float | None:
    """Largest whole step below the point where the margin is used up, None if there is none.

    The ladder down from the top finds the last rung that fits; the root lies above it.
    """
    rungs = [high - (high - low) * rung / RUNGS for rung in range(RUNGS + 1)]
    for above, below in pairwise(rungs):
        if margin(below) > 0.0:
            edge = float(brentq(margin, below, above, xtol=step / 10.0))
            whole = math.floor(edge / step + 1e-6)
            while whole * step > below and margin(whole * step) < 0.0:
                whole -= 1
            # What is weighed jumps by steps, so the last step that fits may lie past the root,
            # and past a rung that did not fit.
            while (whole + 1) * step < high and margin((whole + 1) * step) >= 0.0:
                whole += 1
            if margin(whole * step) >= 0.0:
                return round(whole * step, 9)
    return None
