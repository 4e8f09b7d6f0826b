"""What this setup will make of what is weighed, with 80 % intervals."""

import math
from dataclasses import dataclass
from statistics import NormalDist

from wortwright.brewing.alcohol import alcohol_by_volume, apparent_attenuation, final_gravity
from wortwright.brewing.colour import beer_colour_ebc, malt_colour_units
from wortwright.brewing.gravity import (
    HIGHEST_GRAVITY,
    extract_kg_per_l,
    gravity_from_extract_kg_per_l,
    gravity_of_wort,
)
from wortwright.brewing.lautering import EXTRACT_VOLUME_L_PER_KG
from wortwright.calibration.efficiency import EfficiencyForecast, forecast_mash_efficiency
from wortwright.calibration.posterior import Calibration, MashPlan
from wortwright.planning.plan import BeerForecast, Forecast, InReserve
from wortwright.planning.volumes import Volumes
from wortwright.records.grist import AddedTo, Fermentable
from wortwright.records.recipe import Recipe

PROBABILITY = 0.80
SCORE = NormalDist().inv_cdf((1.0 + PROBABILITY) / 2.0)

# Common practice, no source: attenuation of a yeast that is not known, and its scatter.
USUAL_ATTENUATION = 0.75
ATTENUATION_SD = 0.03
# Dry malt extract as weighed: 98 % extract on dry basis at 3 % moisture (from memory).
DRY_EXTRACT_YIELD = 0.98 * 0.97


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
        return gravity_of_wort(extract, self.postboil_l)

    def original_gravity(self) -> Forecast:
        """Original gravity with its interval: efficiency and boil-off, taken independent."""
        mean, sides = self.gravity(), []
        for side in (-1.0, 1.0):
            by_mash = self.gravity(math.exp(side * SCORE * self.efficiency.log_sd)) - mean
            volume_l = self.postboil_l - side * SCORE * self.boiled_off_sd_l
            extract = self.mash_extract_kg + self.kettle_extract_kg
            by_boil = gravity_of_wort(extract, volume_l) - mean
            sides.append(mean + side * math.hypot(by_mash, by_boil))
        return Forecast(mean, sides[0], sides[1])


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
    weighed: Weighed, kettle: KettleForecast, volumes: Volumes, recipe: Recipe, model: str
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

    Returns
    -------
    BeerForecast
        Means with 80 % intervals.
    """
    efficiency, mash = kettle.efficiency, weighed.mash
    low, high = efficiency.interval(PROBABILITY)
    to_fermenter = volumes.fermenter_l / volumes.postboil_l
    original = kettle.original_gravity()
    attenuation = attenuation_of(recipe)
    boil_sd_l = SCORE * kettle.boiled_off_sd_l
    return BeerForecast(
        mash_efficiency=Forecast(efficiency.mean, low, high),
        brewhouse_efficiency=Forecast(
            efficiency.mean * to_fermenter, low * to_fermenter, high * to_fermenter
        ),
        preboil_gravity=_preboil(mash, efficiency.mean, low, high),
        original_gravity=original,
        final_gravity=_final(original, attenuation),
        alcohol_by_volume=_alcohol(
            original, attenuation, weighed.extract_kg(AddedTo.FERMENTER), volumes.fermenter_l
        ),
        apparent_attenuation=attenuation,
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


def attenuation_of(recipe: Recipe) -> float:
    """Apparent attenuation: of the recipe's gravities, else the yeast's, else the usual."""
    if recipe.original_gravity is not None and recipe.final_gravity is not None:
        return apparent_attenuation(recipe.original_gravity, recipe.final_gravity)
    if recipe.yeast is not None and recipe.yeast.apparent_attenuation is not None:
        return recipe.yeast.apparent_attenuation
    return USUAL_ATTENUATION


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


def _final(original: Forecast, attenuation: float) -> Forecast:
    """Final gravity; a stronger wort and a lazier yeast both leave more."""
    mean = final_gravity(original.mean, attenuation)

    def side(gravity: float, sign: float) -> float:
        by_wort = final_gravity(gravity, attenuation) - mean
        by_yeast = final_gravity(original.mean, attenuation - sign * SCORE * ATTENUATION_SD) - mean
        return mean + sign * math.hypot(by_wort, by_yeast)

    return Forecast(mean, side(original.low_80, -1.0), side(original.high_80, 1.0))


def _alcohol(
    original: Forecast, attenuation: float, fermenter_extract_kg: float, fermenter_l: float
) -> Forecast:
    """Alcohol with what is added to the fermenter, all of which ferments."""

    def alcohol(gravity: float, attained: float) -> float:
        volume_l = fermenter_l + EXTRACT_VOLUME_L_PER_KG * fermenter_extract_kg
        extract = extract_kg_per_l(gravity) * fermenter_l + fermenter_extract_kg
        left = final_gravity(gravity, attained)
        return alcohol_by_volume(gravity_of_wort(extract, volume_l), left)

    mean = alcohol(original.mean, attenuation)

    def side(gravity: float, sign: float) -> float:
        by_wort = alcohol(gravity, attenuation) - mean
        by_yeast = alcohol(original.mean, attenuation + sign * SCORE * ATTENUATION_SD) - mean
        return mean + sign * math.hypot(by_wort, by_yeast)

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
