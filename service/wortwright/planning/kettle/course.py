"""A brew as planned, in the numbers that the readings of the day correct."""

import math
from dataclasses import dataclass

from wortwright.brewing.gravity import extract_kg
from wortwright.brewing.hops import UtilisationModel
from wortwright.calibration.posterior import Calibration
from wortwright.planning.forecasting import SCORE
from wortwright.planning.plan import Plan, PlannedHop
from wortwright.planning.spread import Uncertain
from wortwright.records.grist import AddedTo, HopAddition
from wortwright.records.setup import LauterMethod

# How far a brew strays from its plan and its setup's constants; common practice, no source.
PLANNED_RELATIVE_SD = 0.025
BOIL_SD_L_PER_H = 0.3
KETTLE_LOSS_SD_L = 0.25


@dataclass(frozen=True, slots=True)
class Course:
    """What the plan expects and what it wants; extract in kg, volumes at 20 degC."""

    method: LauterMethod
    grain_kg: float
    potential_kg: float
    strike_l: float
    preboil_l: float
    mash_extract_kg: float
    mash_log_sd: float
    kettle_extract_kg: float
    fermenter_extract_kg: float
    boil_min: float
    boil_off: Uncertain
    postboil_l: float
    kettle_loss: Uncertain
    fermenter_l: float
    attenuation: Uncertain
    gravity: float
    foam: float
    bitterness_ibu: float
    colour_ebc: float
    hops: tuple[HopAddition, ...]
    model: UtilisationModel


def course_of(plan: Plan, calibration: Calibration) -> Course:
    """Read the course of a brew out of its plan.

    Parameters
    ----------
    plan : Plan
        The plan that is being brewed, as weighed.
    calibration : Calibration
        For the spread of boil-off and kettle loss.

    Returns
    -------
    Course
        Extract by where it comes from, volumes, hops as weighed, and what is wanted.
    """
    water, beer = plan.water, plan.forecast
    mash_kg = extract_kg(water.preboil_l, beer.preboil_gravity.mean)
    efficiency = beer.mash_efficiency
    wort_kg = extract_kg(water.postboil_l, beer.original_gravity.mean)
    hours = plan.temperatures.boil_time_min / 60.0
    constants = calibration.constants
    rate = water.boiled_off_l / hours if hours > 0.0 else constants["boil_off_l_per_h"].mean
    loss_sd = math.hypot(constants["kettle_loss_l"].sd, KETTLE_LOSS_SD_L)
    return Course(
        method=calibration.efficiency.method,
        grain_kg=plan.grain_kg,
        potential_kg=mash_kg / efficiency.mean,
        strike_l=water.strike_l,
        preboil_l=water.preboil_l,
        mash_extract_kg=mash_kg,
        mash_log_sd=math.log(efficiency.mean / efficiency.low_80) / SCORE,
        kettle_extract_kg=max(0.0, wort_kg - mash_kg),
        fermenter_extract_kg=fermenter_extract_kg(plan),
        boil_min=plan.temperatures.boil_time_min,
        boil_off=Uncertain(rate, math.hypot(constants["boil_off_l_per_h"].sd, BOIL_SD_L_PER_H)),
        postboil_l=water.postboil_l,
        kettle_loss=Uncertain(water.kettle_loss_l, loss_sd),
        fermenter_l=water.fermenter_l,
        attenuation=Uncertain(beer.apparent_attenuation, beer.attenuation_sd),
        gravity=plan.asked.gravity,
        foam=plan.fit.foam,
        bitterness_ibu=plan.asked.bitterness_ibu or beer.bitterness_ibu,
        colour_ebc=beer.colour_ebc,
        hops=tuple(_as_added(hop) for hop in plan.hop_bill),
        model=UtilisationModel(beer.bitterness_formula),
    )


def fermenter_extract_kg(plan: Plan) -> float:
    """Extract that goes into the fermenter, by the shares of the plan. [kg]"""
    share = sum(line.share_of_extract for line in plan.grist if line.added_to is AddedTo.FERMENTER)
    wort_kg = extract_kg(plan.water.postboil_l, plan.forecast.original_gravity.mean)
    return wort_kg * share / (1.0 - share)


def _as_added(hop: PlannedHop) -> HopAddition:
    return HopAddition(
        name=hop.name,
        alpha=hop.alpha,
        form=hop.form,
        moment=hop.moment,
        purpose=hop.purpose,
        time_min=hop.time_min,
        temperature_c=hop.temperature_c,
        mass_kg=hop.to_weigh_kg,
    )
