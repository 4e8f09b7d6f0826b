"""Many recipes onto one setup at once: the grain of all of them in one vectorised root."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from wortwright.brewing.errors import OutOfRangeError
from wortwright.brewing.gravity import extract_kg, gravity_of_wort
from wortwright.calibration.curve import Mash, Parameters, mash_efficiency, usual_strike_water_l
from wortwright.calibration.posterior import Calibration
from wortwright.calibration.priors import LARGEST_EFFICIENCY
from wortwright.planning.fit import rooms
from wortwright.planning.foam import foam_of
from wortwright.planning.grain import (
    LEAST_SHARE,
    THICKEST_LOAD_KG_PER_L,
    MashedGrist,
    mash_plan,
    mashed_grist,
)
from wortwright.planning.mashing import expect_mash, rests_of
from wortwright.planning.plan import Asked
from wortwright.planning.recipe import ReadRecipe
from wortwright.planning.sizing import Parts, settle_volumes
from wortwright.planning.target import Preferences, TargetError, WeighIn
from wortwright.planning.volumes import Volumes
from wortwright.planning.weighing import weighed_mash
from wortwright.records.sentence import Said, told_range
from wortwright.records.setup import Setup

Array = NDArray[np.float64]

LARGEST_BATCH = 200
MOST_STEPS = 60
SETTLED = 1e-12
GOLDEN_STEPS = 60
_GOLDEN = (5.0**0.5 - 1.0) / 2.0


@dataclass(frozen=True, slots=True)
class BatchLine:
    """One recipe of a batch, before anything is rounded to what a scale shows.

    Only ``fits`` is of the grain as weighed, as it is in a plan. ``reaches_gravity`` is False
    where the mash ends below the gravity asked for; the figures are then of the most extract.
    ``refused`` says why nothing could be planned.
    """

    recipe_name: str
    asked: Asked
    grain_kg: float | None = None
    mash_efficiency: float | None = None
    original_gravity: float | None = None
    preboil_l: float | None = None
    reaches_gravity: bool = False
    fits: bool = False
    refused: Said | None = None


@dataclass(frozen=True, slots=True)
class GrainScales:
    """Scale factor of every grist, the extract it gives, and the grain it is. [1], [kg], [kg]"""

    scale: Array
    extract_kg: Array
    grain_kg: Array


@dataclass(frozen=True, slots=True)
class _Settled:
    place: int
    read: ReadRecipe
    asked: Asked
    volumes: Volumes
    parts: Parts
    mashed: MashedGrist
    wanted_kg: float


def size_batch(
    reads: Sequence[ReadRecipe],
    targets: Sequence[Asked],
    setup: Setup,
    calibration: Calibration,
    preferences: Preferences,
) -> tuple[BatchLine, ...]:
    """Size many recipes on one setup.

    Parameters
    ----------
    reads : sequence of ReadRecipe
        Up to 200 recipes.
    targets : sequence of Asked
        One for each.
    setup : Setup
        The vessels.
    calibration : Calibration
        What the setup does.
    preferences : Preferences
        Grist policy and bitterness formula.

    Returns
    -------
    tuple of BatchLine
        In the order of the recipes, each as it would be sized alone; one that is refused stops
        no other.

    Raises
    ------
    TargetError
        For more recipes than are taken at once.
    """
    if len(reads) > LARGEST_BATCH:
        raise TargetError("recipes", f"{len(reads)} recipes; at most {LARGEST_BATCH} at once")
    settled: list[_Settled] = []
    refused: dict[int, Said] = {}
    for place, (read, asked) in enumerate(zip(reads, targets, strict=True)):
        try:
            settled.append(_settle(place, read, asked, calibration, preferences))
        except TargetError as error:
            refused[place] = error.detail
        except OutOfRangeError as error:
            refused[place] = told_range(error)[0]
    scales = solve_grains(
        [one.mashed for one in settled],
        calibration,
        np.array([one.volumes.preboil_l for one in settled]),
        np.array([one.wanted_kg for one in settled]),
    )
    lines = {
        place: BatchLine(reads[place].recipe.name, targets[place], refused=why)
        for place, why in refused.items()
    }
    for row, one in enumerate(settled):
        lines[one.place] = _line(one, scales, row, setup, calibration, preferences.weigh_in)
    return tuple(lines[place] for place in range(len(reads)))


def _settle(
    place: int,
    read: ReadRecipe,
    asked: Asked,
    calibration: Calibration,
    preferences: Preferences,
) -> _Settled:
    volumes, parts = settle_volumes(read, calibration, asked, preferences)
    mashed = mashed_grist(read, parts.volume_scale, preferences.grist_policy)
    wanted_kg = extract_kg(volumes.postboil_l, asked.gravity) - parts.kettle_extract_kg
    return _Settled(place, read, asked, volumes, parts, mashed, wanted_kg)


def _line(
    one: _Settled,
    scales: GrainScales,
    row: int,
    setup: Setup,
    calibration: Calibration,
    weigh_in: WeighIn,
) -> BatchLine:
    lines, masses_kg = one.mashed.lines, one.mashed.masses_kg(float(scales.scale[row]))
    plan = mash_plan(lines, masses_kg, one.volumes.preboil_l)
    # As weighed, since that is what a plan is judged by.
    weighed = weighed_mash(lines, masses_kg, one.volumes.preboil_l, weigh_in)
    mash = expect_mash(setup, calibration, weighed, rests_of(one.read.recipe))
    got_kg = float(scales.extract_kg[row])
    reaches = got_kg >= one.wanted_kg * (1.0 - 1e-9)
    foam = foam_of(one.asked.gravity, one.read.recipe.yeast)
    found = rooms(setup, one.volumes, mash, one.asked.gravity, foam)
    total_kg = got_kg + one.parts.kettle_extract_kg
    return BatchLine(
        recipe_name=one.read.recipe.name,
        asked=replace(one.asked, bitterness_ibu=one.parts.hop_bill.wanted_ibu(one.asked)),
        grain_kg=plan.grain_kg,
        mash_efficiency=got_kg / (plan.grain_kg * plan.extract_yield),
        original_gravity=gravity_of_wort(total_kg, one.volumes.postboil_l),
        preboil_l=one.volumes.preboil_l,
        reaches_gravity=reaches,
        fits=all(room.fits for room in found),
    )


def solve_grains(
    grists: Sequence[MashedGrist], calibration: Calibration, preboil_l: Array, wanted_kg: Array
) -> GrainScales:
    """Find the grain of many brews at once, each as `solve_grain` finds it alone.

    Parameters
    ----------
    grists : sequence of MashedGrist
        The malts of each and how they scale.
    calibration : Calibration
        What the setup does.
    preboil_l : array
        Wort to collect of each. [L]
    wanted_kg : array
        Extract wanted from each mash. [kg]

    Returns
    -------
    GrainScales
        The smallest scale that reaches it, or that of most extract.
    """
    lines: Array = np.array([grist.straight_line() for grist in grists]).reshape(-1, 4)
    fixed, scaled, fixed_potential, scaled_potential = lines.T

    def grain(scale: Array) -> Array:
        return np.asarray(fixed + scale * scaled)

    def extract(scale: Array) -> Array:
        return _extract_kg(
            calibration, grain(scale), fixed_potential + scale * scaled_potential, preboil_l
        )

    heaviest = THICKEST_LOAD_KG_PER_L * preboil_l
    top = np.maximum((heaviest - fixed) / scaled, 0.0)
    bottom = np.where(fixed > LEAST_SHARE * heaviest, 0.0, LEAST_SHARE * top)
    top = np.maximum(top, bottom)
    short = extract(top) < wanted_kg
    if short.any():
        top = np.where(short, _peak(extract, bottom, top), top)
    goal_kg = np.clip(wanted_kg, extract(bottom), extract(top))
    scale = _root(extract, goal_kg, bottom, top)
    return GrainScales(scale, extract(scale), grain(scale))


def _extract_kg(
    calibration: Calibration, grain_kg: Array, potential_kg: Array, preboil_l: Array
) -> Array:
    """Extract that mashes give, arrays in and out; the lauter model takes either."""
    known = calibration.efficiency
    theta, method, runnings = Parameters(*known.mean), known.method, known.runnings
    # The model is written with the operators that floats and arrays share.
    arrays: tuple[Any, Any, Any] = (grain_kg, potential_kg / grain_kg, preboil_l)
    strike = usual_strike_water_l(theta, method, runnings, *arrays)
    mash = Mash(*arrays, strike)
    efficiency = np.minimum(mash_efficiency(theta, method, runnings, mash), LARGEST_EFFICIENCY)
    return np.asarray(efficiency * potential_kg)


def _root(rising: Callable[[Array], Array], goal: Array, low: Array, high: Array) -> Array:
    """Where each rising figure reaches its goal: false position with the Illinois rule."""
    below, above = rising(low) - goal, rising(high) - goal
    found, last = high, np.zeros_like(high)
    for _ in range(MOST_STEPS):
        span = above - below
        level = span <= 0.0
        found = np.where(level, high, (low * above - high * below) / np.where(level, 1.0, span))
        at = rising(found) - goal
        if np.all(np.abs(at) <= SETTLED * goal):
            break
        side = np.where(at < 0.0, -1.0, 1.0)
        # An end that is kept twice running counts half, or it would be kept for ever.
        kept = np.where(side == last, 0.5, 1.0)
        below, above = (
            np.where(side < 0.0, at, kept * below),
            np.where(side < 0.0, kept * above, at),
        )
        low, high = np.where(side < 0.0, found, low), np.where(side < 0.0, high, found)
        last = side
    return found


def _peak(extract: Callable[[Array], Array], low: Array, high: Array) -> Array:
    """Where each extract is largest, by golden section."""
    ends = low, high
    for _ in range(GOLDEN_STEPS):
        left, right = high - _GOLDEN * (high - low), low + _GOLDEN * (high - low)
        rising = extract(left) < extract(right)
        low, high = np.where(rising, left, low), np.where(rising, high, right)
    inside = (low + high) / 2.0
    return np.where(extract(inside) >= extract(ends[1]), inside, ends[1])
