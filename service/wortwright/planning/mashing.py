"""What is expected of the mash: water, absorption, temperatures."""

from dataclasses import dataclass

from wortwright.brewing.gravity import gravity_of_wort
from wortwright.brewing.heat import strike_temperature_c
from wortwright.brewing.mash_water import mash_wort_l, strike_water_l
from wortwright.brewing.water_density import water_density_kg_per_l
from wortwright.calibration.efficiency import (
    expected_apparent_absorption_l_per_kg,
    expected_conversion,
    expected_strike_water_l,
)
from wortwright.calibration.mash_warmth import rest_end_c
from wortwright.calibration.posterior import Calibration, MashPlan
from wortwright.planning.plan import TemperaturePlan, TimedTemperature
from wortwright.records.recipe import Recipe
from wortwright.records.setup import LauterMethod, Setup

# Less than this share of the water is what is left of rounding, not a sparge.
LEAST_SPARGE = 1e-9
# A recipe without a mash; common practice, no source.
USUAL_REST = TimedTemperature(66.0, 60.0)


@dataclass(frozen=True, slots=True)
class ExpectedMash:
    """A mash as the calibration expects it; volumes at 20 degC."""

    grain_kg: float
    extract_yield: float
    temperature_c: float
    conversion: float
    apparent_absorption_l_per_kg: float
    true_absorption_l_per_kg: float
    dead_space_l: float
    strike_water_l: float
    sparge_l: tuple[float, ...]

    @property
    def wort_gravity(self) -> float:
        """Gravity of the wort in the mash. [SG]"""
        dissolved_kg = self.grain_kg * self.extract_yield * self.conversion
        return gravity_of_wort(dissolved_kg, mash_wort_l(self.strike_water_l, dissolved_kg))

    @property
    def absorbed_l(self) -> float:
        """Water in minus wort out, without the dead space. [L]"""
        return self.apparent_absorption_l_per_kg * self.grain_kg


def expect_mash(
    setup: Setup, calibration: Calibration, plan: MashPlan, rests: tuple[TimedTemperature, ...]
) -> ExpectedMash:
    """Work out the water of a mash from the setup's calibration.

    Parameters
    ----------
    setup : Setup
        Lauter method and runnings.
    calibration : Calibration
        Absorption, dead space and conversion.
    plan : MashPlan
        Grain and wort to collect.
    rests : tuple of TimedTemperature
        The mash, first rest first.

    Returns
    -------
    ExpectedMash
        Strike and sparge water, and what they rest on.
    """
    strike_l = expected_strike_water_l(calibration, plan)
    plan = MashPlan(plan.grain_kg, plan.extract_yield, plan.preboil_l, strike_l)
    apparent = expected_apparent_absorption_l_per_kg(calibration, plan)
    dead_space_l = calibration.constants["dead_space_l"].mean
    total_l = strike_water_l(plan.preboil_l, plan.grain_kg, apparent, dead_space_l)
    sparge_l = _sparge_l(setup, total_l - strike_l, total_l)
    return ExpectedMash(
        plan.grain_kg,
        plan.extract_yield,
        rests[0].temperature_c,
        expected_conversion(calibration, plan),
        apparent,
        calibration.constants["true_absorption_l_per_kg"].mean,
        dead_space_l,
        strike_l if sparge_l else total_l,
        sparge_l,
    )


def _sparge_l(setup: Setup, sparged_l: float, total_l: float) -> tuple[float, ...]:
    """Each sparge; none where the strike water takes all the water."""
    if sparged_l <= LEAST_SPARGE * total_l:
        return ()
    sparges = setup.runnings - 1 if setup.lauter_method is LauterMethod.BATCH_SPARGE else 1
    return (sparged_l / sparges,) * sparges


def rests_of(recipe: Recipe) -> tuple[TimedTemperature, ...]:
    """Return the rests of a recipe, or the usual single one."""
    rests = tuple(TimedTemperature(step.temperature_c, step.time_min) for step in recipe.mash)
    return rests or (USUAL_REST,)


def temperatures(
    setup: Setup,
    calibration: Calibration,
    mash: ExpectedMash,
    recipe: Recipe,
    grain_c: float,
) -> TemperaturePlan:
    """Temperatures to reach; the strike water makes up for what past mash-ins missed.

    The first rest ends cooler by what past mashes lost, if no heat is added.
    """
    rests = rests_of(recipe)
    # Water heated in the mash vessel itself has already warmed it.
    poured = setup.vessels.mash_tun is not None
    strike_c = strike_temperature_c(
        mash.temperature_c - calibration.constants["mash_in_offset_c"].mean,
        mash.grain_kg,
        grain_c,
        mash.strike_water_l * water_density_kg_per_l(20.0),
        calibration.constants["vessel_heat_kg"].mean if poured else 0.0,
        grain_c,
    )
    loss_c_per_h = calibration.constants["mash_heat_loss_c_per_h"].mean
    ends_c = rest_end_c(loss_c_per_h, rests[0].temperature_c, grain_c, rests[0].time_min)
    return TemperaturePlan(strike_c, grain_c, rests, recipe.boil_time_min, ends_c)
