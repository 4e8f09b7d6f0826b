"""What a scale can do: quantities rounded to the brewer's own steps."""

from dataclasses import dataclass

from wortwright.calibration.posterior import MashPlan
from wortwright.planning.grain import mash_plan
from wortwright.planning.target import WeighIn
from wortwright.records.grist import Fermentable

# International yard and pound agreement of 1959: 1 lb = 0.45359237 kg exactly; 16 oz to the lb.
OUNCE_KG = 0.45359237 / 16.0


@dataclass(frozen=True, slots=True)
class Steps:
    """Smallest step of the grain scale and of the hop scale. [kg]"""

    grain_kg: float
    hops_kg: float


# Common practice, no source: a kitchen scale for grain, a pocket scale for hops.
STEPS = {
    WeighIn.METRIC: Steps(grain_kg=0.010, hops_kg=0.0001),
    WeighIn.US: Steps(grain_kg=OUNCE_KG, hops_kg=OUNCE_KG * 0.05),
}
METRIC_HOPS_WHOLE_GRAMS_FROM_KG = 0.010


def weigh_grain_kg(mass_kg: float, weigh_in: WeighIn) -> float:
    """Round grain to what the scale shows. [kg]"""
    return _to_step(mass_kg, STEPS[weigh_in].grain_kg)


def weigh_hops_kg(mass_kg: float, weigh_in: WeighIn) -> float:
    """Round hops to what the scale shows: whole grams from 10 g up, else tenths. [kg]"""
    step = STEPS[weigh_in].hops_kg
    if weigh_in is WeighIn.METRIC and mass_kg >= METRIC_HOPS_WHOLE_GRAMS_FROM_KG:
        step = 0.001
    return _to_step(mass_kg, step)


def weighed_mash(
    lines: tuple[Fermentable, ...],
    masses_kg: tuple[float, ...],
    preboil_l: float,
    weigh_in: WeighIn,
) -> MashPlan:
    """Return the mash of grain rounded to what the scale shows."""
    weighed_kg = tuple(weigh_grain_kg(mass_kg, weigh_in) for mass_kg in masses_kg)
    return mash_plan(lines, weighed_kg, preboil_l)


def _to_step(mass_kg: float, step_kg: float) -> float:
    """Round to the nearest step; something wanted is never rounded away to nothing."""
    return max(1, round(mass_kg / step_kg)) * step_kg if mass_kg > 0.0 else 0.0
