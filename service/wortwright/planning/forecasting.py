"""What this setup will make of what is weighed, with 80 % intervals."""

import math
from collections.abc import Callable
from dataclasses import dataclass
from statistics import NormalDist

from wortwright.brewing.alcohol import (
    ETHANOL_GRAVITY,
    alcohol_by_volume,
    apparent_attenuation,
    final_gravity,
)
from wortwright.brewing.colour import beer_colour_ebc, malt_colour_units
from wortwright.brewing.gravity import (
    HIGHEST_GRAVITY,
    WATER_DENSITY_20_KG_PER_L,
    extract_kg_per_l,
    gravity_from_extract_kg_per_l,
    gravity_of_wort,
)
from wortwright.brewing.mash_water import EXTRACT_VOLUME_L_PER_KG
from wortwright.calibration.attenuation import (
    Attained,
    AttenuationPosterior,
    Ferment,
    expected_attenuation,
    main_rest_c,
    sugar_share,
)
from wortwright.calibration.efficiency import EfficiencyForecast, forecast_mash_efficiency
from wortwright.calibration.posterior import Calibration, MashPlan
from wortwright.planning.plan import BeerForecast, Forecast, InReserve
from wortwright.planning.volumes import Volumes
from wortwright.records.grist import AddedTo, Fermentable
from wortwright.records.recipe import Recipe

PROBABILITY = 0.80
SCORE = NormalDist().inv_cdf((1.0 + PROBABILITY) / 2.0)

# Extract that gives a kilogram of alcohol, after Balling (AOAC 935.20).
EXTRACT_PER_ALCOHOL = 2.0665
# Dry malt extract as weighed: 98 % extract on dry basis at 3 % moisture (from memory).
DRY_EXTRACT_YIELD = 0.98 * 0.97

AS_PROMISED = AttenuationPosterior()
"""Nothing learnt: attenuation as yeast and recipe promise it."""


@dataclass(frozen=True, slots=True)
class Weighed:
    """What goes in, as weighed: every fermentable with its mass, and the mash it makes."""

    grist: tuple[Fermentable, ...]
    mash: MashPlan
    bitterness_ibu: float

    def extract_kg(self, added_to: AddedTo) -> float:
        """Laboratory extract of what is added there. [kg]"""
        return sum(
            (line.mass_kg or 0.0) * line.as_is_yield
            for line in self.grist
            if line.added_to is added_to
        )


@dataclass(frozen=True, slots=True)
class KettleForecast:
    """Wort in the kettle after the boil: extract, volume and the spread of its strength."""

    efficiency: EfficiencyForecast
    mash_extract_kg: float
    kettle_extract_kg: float
    postboil_l: float
    boiled_off_sd_l: float

    def gravity(self, efficiency_factor: float = 1.0) -> float:
        """Original gravity if the mash gives this much of what is expected. [SG]"""
        extract = self.mash_extract_kg * efficiency_factor + self.kettle_extract_kg
        return _gravity_on_scale(extract, self.postboil_l)

    def original_gravity(self) -> Forecast:
        """Original gravity with its interval: efficiency and boil-off, taken independent."""
        mean, sides = self.gravity(), []
        for side in (-1.0, 1.0):
            by_mash = self.gravity(math.exp(side * SCORE * self.efficiency.log_sd)) - mean
            volume_l = self.postboil_l - side * SCORE * self.boiled_off_sd_l
            extract = self.mash_extract_kg + self.kettle_extract_kg
            by_boil = _gravity_on_scale(extract, volume_l) - mean
            sides.append(min(mean + side * math.hypot(by_mash, by_boil), HIGHEST_GRAVITY))
        return Forecast(mean, sides[0], sides[1])


def _gravity_on_scale(extract_kg: float, volume_l: float) -> float:
    """Gravity, or the end of the scale where an interval of very strong wort would leave it."""
    if extract_kg >= extract_kg_per_l(HIGHEST_GRAVITY) * volume_l:
        return HIGHEST_GRAVITY
    return gravity_of_wort(extract_kg, volume_l)


def forecast_kettle(
    calibration: Calibration,
    mash: MashPlan,
    kettle_extract_kg: float,
    volumes: Volumes,
    boil_time_min: float,
) -> KettleForecast:
    """Forecast the wort after the boil.

    Parameters
    ----------
    calibration : Calibration
        What the setup does.
    mash : MashPlan
        The grain as weighed.
    kettle_extract_kg : float
        Extract that bypasses the mash. [kg]
    volumes : Volumes
        Volumes planned.
    boil_time_min : float
        Length of the boil. [min]

    Returns
    -------
    KettleForecast
        Extract and volume with their spread.
    """
    efficiency = forecast_mash_efficiency(calibration, mash)
    return KettleForecast(
        efficiency,
        efficiency.mean * mash.grain_kg * mash.extract_yield,
        kettle_extract_kg,
        volumes.postboil_l,
        calibration.constants["boil_off_l_per_h"].sd * boil_time_min / 60.0,
    )


def forecast_beer(
    weighed: Weighed,
    kettle: KettleForecast,
    volumes: Volumes,
    recipe: Recipe,
    model: str,
    learnt: AttenuationPosterior = AS_PROMISED,
) -> BeerForecast:
    """Forecast the beer from the wort.

    Parameters
    ----------
    weighed : Weighed
        What goes in.
    kettle : KettleForecast
        The wort after the boil.
    volumes : Volumes
        Volumes planned.
    recipe : Recipe
        For the attenuation.
    model : str
        Whose utilisation the bitterness was counted by.
    learnt : AttenuationPosterior, optional
        What the setup's beers say of its attenuation.

    Returns
    -------
    BeerForecast
        Means with 80 % intervals.
    """
    efficiency, mash = kettle.efficiency, weighed.mash
    low, high = efficiency.interval(PROBABILITY)
    to_fermenter = volumes.fermenter_l / volumes.postboil_l
    original = kettle.original_gravity()
    attenuation = attenuation_of(recipe, weighed.grist, original.mean, learnt)
    beer = Fermentation(volumes.fermenter_l, weighed.extract_kg(AddedTo.FERMENTER))
    boil_sd_l = SCORE * kettle.boiled_off_sd_l
    return BeerForecast(
        mash_efficiency=Forecast(efficiency.mean, low, high),
        brewhouse_efficiency=Forecast(
            efficiency.mean * to_fermenter, low * to_fermenter, high * to_fermenter
        ),
        preboil_gravity=_preboil(mash, efficiency.mean, low, high),
        original_gravity=original,
        final_gravity=_finished(original, attenuation, beer.final_gravity, -1.0),
        alcohol_by_volume=_finished(original, attenuation, beer.alcohol_by_volume, 1.0),
        apparent_attenuation=attenuation.mean,
        attenuation_sd=attenuation.sd,
        postboil_l=Forecast(
            volumes.postboil_l, volumes.postboil_l - boil_sd_l, volumes.postboil_l + boil_sd_l
        ),
        bitterness_ibu=weighed.bitterness_ibu,
        bitterness_formula=model,
        colour_ebc=colour_ebc(weighed.grist, volumes.postboil_l),
        grain_load_kg_per_l=mash.grain_load_kg_per_l,
        potential_gravity=_potential_gravity(mash),
        outside_seen_range=efficiency.outside_seen_range,
    )


def colour_ebc(grist: tuple[Fermentable, ...], postboil_l: float) -> float:
    """Colour that a grist gives this much wort. [EBC]"""
    masses = [line.mass_kg or 0.0 for line in grist]
    colours = [line.colour_ebc for line in grist]
    return beer_colour_ebc(malt_colour_units(masses, colours, postboil_l))


def attenuation_of(
    recipe: Recipe,
    grist: tuple[Fermentable, ...],
    original_gravity: float,
    learnt: AttenuationPosterior = AS_PROMISED,
) -> Attained:
    """Apparent attenuation of the wort.

    Parameters
    ----------
    recipe : Recipe
        Its gravities tell the attenuation its author had; else its yeast and its mash do.
    grist : tuple of Fermentable
        Masses, for the share of sugar; what goes into the fermenter is not in the wort.
    original_gravity : float
        Strength of the wort. [SG]
    learnt : AttenuationPosterior, optional
        What a setup's beers say of it; without, it is what the recipe promises anywhere.

    Returns
    -------
    Attained
        Mean and standard deviation.
    """
    in_wort = [line for line in grist if line.added_to is not AddedTo.FERMENTER]
    ferment = Ferment(
        original_gravity, main_rest_c(recipe.mash), sugar_share(in_wort), recipe.yeast
    )
    return expected_attenuation(learnt, ferment, _promised_attenuation(recipe))


def _promised_attenuation(recipe: Recipe) -> float | None:
    if recipe.original_gravity is None or recipe.final_gravity is None:
        return None
    return apparent_attenuation(recipe.original_gravity, recipe.final_gravity)


def _potential_gravity(mash: MashPlan) -> float | None:
    """Gravity if all laboratory extract were in the kettle; a thick mash leaves the scale."""
    if mash.potential_kg_per_l > extract_kg_per_l(HIGHEST_GRAVITY):
        return None
    return gravity_from_extract_kg_per_l(mash.potential_kg_per_l)


def _preboil(mash: MashPlan, mean: float, low: float, high: float) -> Forecast:
    """Pre-boil gravity: of the mash alone, since sugar goes in later."""
    potential_kg = mash.grain_kg * mash.extract_yield
    return Forecast(
        *(gravity_of_wort(part * potential_kg, mash.preboil_l) for part in (mean, low, high))
    )


@dataclass(frozen=True, slots=True)
class Fermentation:
    """What yeast makes of the wort, and of the sugar that is added to it, all of which goes."""

    wort_l: float
    sugar_kg: float

    @property
    def _alcohol_l(self) -> float:
        return self.sugar_kg / EXTRACT_PER_ALCOHOL / ETHANOL_GRAVITY / WATER_DENSITY_20_KG_PER_L

    def final_gravity(self, original: float, attenuation: float) -> float:
        """Final gravity; alcohol from sugar makes it lighter. [SG]"""
        left = final_gravity(original, attenuation)
        mixed = self.wort_l * left + self._alcohol_l * ETHANOL_GRAVITY
        return mixed / (self.wort_l + self._alcohol_l)

    def alcohol_by_volume(self, original: float, attenuation: float) -> float:
        """Alcohol by volume. [fraction]"""
        alone = alcohol_by_volume(original, final_gravity(original, attenuation))
        return (self.wort_l * alone + self._alcohol_l) / (self.wort_l + self._alcohol_l)


def _finished(
    original: Forecast, attenuation: Attained, of: Callable[[float, float], float], by_yeast: float
) -> Forecast:
    """Forecast a property of the beer; ``by_yeast`` is 1 if it rises with attenuation, else -1."""
    mean = of(original.mean, attenuation.mean)

    def side(gravity: float, sign: float) -> float:
        attained = attenuation.mean + sign * by_yeast * SCORE * attenuation.sd
        return mean + sign * math.hypot(
            of(gravity, attenuation.mean) - mean, of(original.mean, attained) - mean
        )

    return Forecast(mean, side(original.low_80, -1.0), side(original.high_80, 1.0))


def reserve_for(kettle: KettleForecast, original: Forecast, wanted_gravity: float) -> InReserve:
    """What brings either end of the interval to the gravity wanted.

    Parameters
    ----------
    kettle : KettleForecast
        The wort after the boil as planned.
    original : Forecast
        Its gravity.
    wanted_gravity : float
        Gravity to reach. [SG]

    Returns
    -------
    InReserve
        Dry malt extract for the low end, water for the high end.
    """
    strength = extract_kg_per_l(wanted_gravity)
    volume_l = kettle.postboil_l
    short_kg = strength * volume_l - extract_kg_per_l(original.low_80) * volume_l
    # Each kilogram dissolved also makes more wort, which has to reach the gravity too.
    dissolved_kg = short_kg / (1.0 - strength * EXTRACT_VOLUME_L_PER_KG)
    high_l = extract_kg_per_l(original.high_80) * volume_l / strength
    return InReserve(
        dry_extract_kg=max(0.0, dissolved_kg / DRY_EXTRACT_YIELD),
        top_up_l=max(0.0, high_l - volume_l),
    )
