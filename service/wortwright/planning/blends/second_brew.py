"""The second brew of a pair: what it must be so that the blend is what was wanted."""

from collections.abc import Callable
from dataclasses import dataclass, field, replace

import numpy as np
from scipy.optimize import brentq

from wortwright.brewing.alcohol import apparent_attenuation, final_gravity
from wortwright.brewing.attenuation import MASH_SHIFTS, MASH_TEMPERATURES_C
from wortwright.brewing.blending import NOTICED, Lot, Miss, WantedBlend, blend
from wortwright.brewing.gravity import LOWEST_GRAVITY
from wortwright.calibration.posterior import Calibration
from wortwright.planning.blends.blend import BeerLot, BlendForecast, blend_forecast, lot_of_plan
from wortwright.planning.brewhouse import Brewhouse
from wortwright.planning.forecasting import attenuation_of
from wortwright.planning.mashing import rests_of
from wortwright.planning.plan import Asked, Forecast, Plan
from wortwright.planning.recipe import read_recipe
from wortwright.planning.target import Preferences, TargetError
from wortwright.planning.ways_out import WEAKEST_GRAVITY, last_that_fits
from wortwright.records.grist import Role
from wortwright.records.recipe import MashStep, Recipe, VolumeAt
from wortwright.records.sentence import litres, say
from wortwright.records.setup import Setup

# Usual single rests, and how far character malts may be stretched before the beer is another
# one; common practice, no source.
COOLEST_MASH_C, WARMEST_MASH_C = 64.5, 70.0
LEAST_CHARACTER, MOST_CHARACTER = 0.0, 3.0
STRONGEST_GRAVITY = 1.160
FINE_STEP = 0.0001


@dataclass(frozen=True, slots=True)
class Pair:
    """A first brew, how much of it and of the second are blended, and what the blend should be.

    Properties of the blend that are not said are those of the recipe; any attenuation will do
    unless a final gravity is said.
    """

    first: BeerLot
    first_l: float
    second_l: float
    wanted: WantedBlend = field(default_factory=WantedBlend)


@dataclass(frozen=True, slots=True)
class SecondBrew:
    """The second brew and the blend it makes; ``misses`` is empty if that is what was wanted.

    ``character_factor`` is what the masses per volume of the character malts are multiplied
    by for the colour.
    """

    original_gravity: float
    final_gravity: float
    apparent_attenuation: float
    bitterness_ibu: float
    colour_ebc: float
    mash_temperature_c: float
    character_factor: float
    recipe: Recipe
    plan: Plan
    blend: BlendForecast
    misses: tuple[Miss, ...]

    @property
    def reached(self) -> bool:
        """Whether the blend is what was wanted."""
        return not self.misses


def plan_second_brew(
    recipe: Recipe,
    setup: Setup,
    calibration: Calibration,
    pair: Pair,
    preferences: Preferences,
) -> SecondBrew:
    """Solve the second brew of a pair.

    Each property is solved on its own and kept within what the setup can do: the gravity by
    what fits its vessels, the attenuation by the temperature of the mash, the colour by the
    character malts. Where a limit is met, that is the nearest.

    Parameters
    ----------
    recipe : Recipe
        What the second brew is made by.
    setup : Setup
        Where it is brewed.
    calibration : Calibration
        What the setup does.
    pair : Pair
        The first brew and the blend wanted.
    preferences : Preferences
        How the brewer wants it.

    Returns
    -------
    SecondBrew
        The brew, the blend with its intervals, and what it misses by how much.

    Raises
    ------
    IncompleteRecipeError
        If the recipe's numbers do not give a beer.
    TargetError
        If no beer of this recipe fits at this volume.
    """
    house = Brewhouse(read_recipe(recipe), setup, calibration, preferences)
    wanted = _wanted(pair, house)
    bitterness = _share_of_second(pair, pair.first.bitterness_ibu, wanted.bitterness_ibu)
    needed = Asked(
        pair.second_l, VolumeAt.PACKAGE, _needed_gravity(pair, wanted, house), bitterness
    )
    asked = replace(needed, gravity=_that_fits(house, needed))
    colour = _share_of_second(pair, pair.first.colour_ebc, wanted.colour_ebc)
    house, factor = _coloured(house, asked, colour)
    asked = replace(needed, gravity=_that_fits(house, needed))
    house, mash_c = _attenuated(house, asked.gravity, pair, wanted)
    plan = house.plan(asked)
    blended = blend_forecast((pair.first.of(pair.first_l), lot_of_plan(plan).of(pair.second_l)))
    beer = plan.forecast
    return SecondBrew(
        original_gravity=asked.gravity,
        final_gravity=beer.final_gravity.mean,
        apparent_attenuation=beer.apparent_attenuation,
        bitterness_ibu=beer.bitterness_ibu,
        colour_ebc=beer.colour_ebc,
        mash_temperature_c=mash_c,
        character_factor=factor,
        recipe=house.read.recipe,
        plan=plan,
        blend=blended,
        misses=_misses(blended, wanted),
    )


def _wanted(pair: Pair, house: Brewhouse) -> WantedBlend:
    """Fill in from the recipe what is not said of the blend."""
    said, read = pair.wanted, house.read
    as_written = house.plan(Asked(pair.second_l, VolumeAt.PACKAGE, read.original_gravity, None))
    gravity = said.original_gravity
    if gravity is None and said.alcohol_by_volume is None:
        gravity = read.original_gravity
    filled = as_written.recipe_reading
    return replace(
        said,
        original_gravity=gravity,
        bitterness_ibu=filled.bitterness_ibu
        if said.bitterness_ibu is None
        else said.bitterness_ibu,
        colour_ebc=filled.colour_ebc if said.colour_ebc is None else said.colour_ebc,
    )


def _share_of_second(pair: Pair, first: float, wanted: float | None) -> float:
    """What the second must have of a property that blends by volume, not below 0."""
    total_l = pair.first_l + pair.second_l
    return max(0.0, ((wanted or 0.0) * total_l - first * pair.first_l) / pair.second_l)


def _final_of_second(pair: Pair, wanted: WantedBlend, gravity: float, attenuation: float) -> float:
    """Final gravity of a second brew of that strength, as the blend wants it."""
    if wanted.final_gravity is None:
        return final_gravity(gravity, attenuation)
    total_l = pair.first_l + pair.second_l
    first = pair.first.lot.final_gravity
    left = (wanted.final_gravity * total_l - first * pair.first_l) / pair.second_l
    return min(max(left, LOWEST_GRAVITY), gravity)


def _needed_gravity(pair: Pair, wanted: WantedBlend, house: Brewhouse) -> float:
    """Original gravity of the second that puts the blend right, within the scale."""
    name = "alcohol_by_volume" if wanted.original_gravity is None else "original_gravity"
    goal = wanted.named()[name]
    attenuation = _ahead(house)
    first = pair.first.of(pair.first_l).lot

    def over(gravity: float) -> float:
        left = _final_of_second(pair, wanted, gravity, attenuation)
        made = blend((first, Lot(pair.second_l, gravity, left)))
        return float(getattr(made, name)) - goal

    return _root(over, WEAKEST_GRAVITY, STRONGEST_GRAVITY)


def _root(rising: Callable[[float], float], low: float, high: float) -> float:
    """Where a rising figure passes 0; the nearer end where it does not."""
    if rising(low) >= 0.0:
        return low
    if rising(high) <= 0.0:
        return high
    return float(brentq(rising, low, high, xtol=1e-9))


def _that_fits(house: Brewhouse, asked: Asked) -> float:
    """Return the gravity, or the highest below it that fits and is reached."""
    if house.margin(asked) >= 0.0:
        return asked.gravity
    found = last_that_fits(
        lambda gravity: house.margin(replace(asked, gravity=gravity)),
        WEAKEST_GRAVITY,
        asked.gravity,
        FINE_STEP,
    )
    if found is None:
        raise TargetError(
            "second_volume",
            say(
                "no beer of this recipe fits at {volume}; ask for less",
                volume=litres(asked.volume_l),
            ),
        )
    return found


def _coloured(house: Brewhouse, asked: Asked, wanted_ebc: float) -> tuple[Brewhouse, float]:
    """Stretch the character malts until the colour is right, as far as they may be stretched."""
    as_written = house.read

    def stretched(factor: float) -> Brewhouse:
        grist = tuple(
            replace(line, mass_kg=(line.mass_kg or 0.0) * factor)
            if line.role is Role.CHARACTER
            else line
            for line in as_written.grist
            # A line of nothing is no line of a recipe.
            if factor > 0.0 or line.role is not Role.CHARACTER
        )
        # Its own efficiency no longer follows from a grist that was changed.
        recipe = replace(
            as_written.recipe,
            grist=grist,
            original_gravity=as_written.original_gravity,
            efficiency=None,
        )
        return house.with_recipe(recipe)

    if not any(line.role is Role.CHARACTER for line in as_written.grist):
        return house, 1.0
    factor = _root(
        lambda tried: stretched(tried).colour_ebc(asked) - wanted_ebc,
        LEAST_CHARACTER,
        MOST_CHARACTER,
    )
    return stretched(factor), factor


def _attenuated(
    house: Brewhouse, gravity: float, pair: Pair, wanted: WantedBlend
) -> tuple[Brewhouse, float]:
    """Set the main rest for the final gravity wanted, within the usual temperatures."""
    recipe = house.read.recipe
    rests = rests_of(recipe)
    main = max(range(len(rests)), key=lambda place: rests[place].time_min)
    rest_c = rests[main].temperature_c
    usual = _ahead(house)
    if wanted.final_gravity is None:
        return house, rest_c
    left = _final_of_second(pair, wanted, gravity, usual)
    shift = apparent_attenuation(gravity, left) - usual + _shift(rest_c)
    # The shift falls from the coolest rest to the warmest.
    falling = MASH_TEMPERATURES_C[::-1], MASH_SHIFTS[::-1]
    mash_c = float(np.interp(shift, falling[1], falling[0]))
    mash_c = min(max(mash_c, COOLEST_MASH_C), WARMEST_MASH_C)
    promised = attenuation_of(recipe, house.read.grist, house.read.original_gravity).mean
    attained = promised + _shift(mash_c) - _shift(rest_c)
    steps = tuple(
        MashStep(mash_c if place == main else rest.temperature_c, rest.time_min)
        for place, rest in enumerate(rests)
    )
    original = house.read.original_gravity
    changed = replace(
        recipe,
        mash=steps,
        original_gravity=original,
        final_gravity=final_gravity(original, attained),
    )
    return house.with_recipe(changed), mash_c


def _ahead(house: Brewhouse) -> float:
    """Attenuation to expect of the recipe in this brewhouse."""
    read, learnt = house.read, house.calibration.attenuation
    return attenuation_of(read.recipe, read.grist, read.original_gravity, learnt).mean


def _shift(temperature_c: float) -> float:
    return float(np.interp(temperature_c, MASH_TEMPERATURES_C, MASH_SHIFTS))


def _misses(blended: BlendForecast, wanted: WantedBlend) -> tuple[Miss, ...]:
    misses = []
    for name, goal in wanted.named().items():
        got = getattr(blended, name)
        got = got.mean if isinstance(got, Forecast) else got
        if abs(got - goal) > NOTICED[name] / 2.0:
            misses.append(Miss(name, goal, got))
    return tuple(misses)
