"""How much grain: one root in the scale factor, because efficiency falls as grain is added."""

from dataclasses import dataclass
from typing import NamedTuple

from scipy.optimize import brentq, minimize_scalar

from wortwright.calibration.efficiency import mean_mash_efficiency
from wortwright.calibration.posterior import Calibration, MashPlan
from wortwright.calibration.priors import LARGEST_EFFICIENCY
from wortwright.planning.recipe import ReadRecipe
from wortwright.planning.target import GristPolicy
from wortwright.records.grist import AddedTo, Fermentable, Role

# The search stops here: a mash of this load has under 1.9 L of water to the kilogram even
# where all of it goes in at once, and cannot be stirred (common practice, no source).
THICKEST_LOAD_KG_PER_L = 0.75
# And it starts at this share of that.
LEAST_SHARE = 1e-6


class StraightLine(NamedTuple):
    """Grain and its laboratory extract as straight lines in a scale factor. [kg]"""

    fixed_kg: float
    scaled_kg: float
    fixed_potential_kg: float
    scaled_potential_kg: float

    def plan(self, scale: float, preboil_l: float) -> MashPlan:
        """Return the mash as the calibration wants it."""
        grain_kg = self.fixed_kg + scale * self.scaled_kg
        return MashPlan(grain_kg, self.potential_kg(scale) / grain_kg, preboil_l)

    def potential_kg(self, scale: float) -> float:
        """Laboratory extract at a scale factor. [kg]"""
        return self.fixed_potential_kg + scale * self.scaled_potential_kg

    def scale_for_potential(self, extract_kg: float) -> float:
        """Scale factor at which the laboratory extract is this, not below 0."""
        return max(0.0, (extract_kg - self.fixed_potential_kg) / self.scaled_potential_kg)


@dataclass(frozen=True, slots=True)
class MashedGrist:
    """The mashed malts as a straight line in a scale factor: ``fixed + scale * scaled``."""

    lines: tuple[Fermentable, ...]
    fixed_kg: tuple[float, ...]
    scaled_kg: tuple[float, ...]

    def masses_kg(self, scale: float) -> tuple[float, ...]:
        """Mass of each line at a scale factor. [kg]"""
        pairs = zip(self.fixed_kg, self.scaled_kg, strict=True)
        return tuple(fixed + scale * scaled for fixed, scaled in pairs)

    def straight_line(self) -> StraightLine:
        """Sum it up."""
        return StraightLine(
            sum(self.fixed_kg),
            sum(self.scaled_kg),
            _potential_kg(self.lines, self.fixed_kg),
            _potential_kg(self.lines, self.scaled_kg),
        )


@dataclass(frozen=True, slots=True)
class GrainBill:
    """Masses that give the extract wanted, or the most that this mash can give."""

    masses_kg: tuple[float, ...]
    plan: MashPlan
    extract_kg: float
    reach: float  # extract to be had over extract wanted; 1 or more if it can be reached


def mash_plan(
    lines: tuple[Fermentable, ...], masses_kg: tuple[float, ...], preboil_l: float
) -> MashPlan:
    """Describe a mash by its grain, its mean as-is yield and the wort to collect."""
    grain_kg = sum(masses_kg)
    return MashPlan(grain_kg, _potential_kg(lines, masses_kg) / grain_kg, preboil_l)


def _potential_kg(lines: tuple[Fermentable, ...], masses_kg: tuple[float, ...]) -> float:
    return sum(line.as_is_yield * mass_kg for line, mass_kg in zip(lines, masses_kg, strict=True))


def mashed_grist(read: ReadRecipe, volume_scale: float, policy: GristPolicy) -> MashedGrist:
    """Set up the mashed malts for a policy.

    Parameters
    ----------
    read : ReadRecipe
        The recipe.
    volume_scale : float
        Volume of this brew over that of the recipe; above 0.
    policy : GristPolicy
        Which malts take up a change of efficiency.

    Returns
    -------
    MashedGrist
        Character malts fixed where they keep their mass per volume; where no other line gives
        extract all of it scales.
    """
    lines = read.lines(AddedTo.MASH)
    masses = [(line.mass_kg or 0.0) * volume_scale for line in lines]
    holds = [policy is GristPolicy.KEEP_CHARACTER and line.role is Role.CHARACTER for line in lines]
    if not any(line.as_is_yield > 0.0 for line, held in zip(lines, holds, strict=True) if not held):
        holds = [False] * len(lines)
    pairs = list(zip(masses, holds, strict=True))
    return MashedGrist(
        lines,
        tuple(mass if held else 0.0 for mass, held in pairs),
        tuple(0.0 if held else mass for mass, held in pairs),
    )


def solve_grain(
    grist: MashedGrist, calibration: Calibration, preboil_l: float, wanted_kg: float
) -> GrainBill:
    """Find the grain that puts the wanted extract into the kettle.

    Parameters
    ----------
    grist : MashedGrist
        The malts and how they scale.
    calibration : Calibration
        What the setup does.
    preboil_l : float
        Wort to collect. [L]
    wanted_kg : float
        Extract wanted from the mash; above 0. [kg]

    Returns
    -------
    GrainBill
        The smallest bill that reaches it; where none does, the bill of most extract.
    """
    line = grist.straight_line()
    heaviest = THICKEST_LOAD_KG_PER_L * preboil_l
    top = (heaviest - line.fixed_kg) / line.scaled_kg

    def extract(scale: float) -> float:
        plan = line.plan(scale, preboil_l)
        return mean_mash_efficiency(calibration, plan) * line.potential_kg(scale)

    def bill(scale: float) -> GrainBill:
        got = extract(scale)
        plan = line.plan(scale, preboil_l)
        return GrainBill(grist.masses_kg(scale), plan, got, got / wanted_kg)

    if top <= 0.0:  # character malts alone are more than the mash can hold
        return bill(0.0)
    # Without grain there is no efficiency, so the search cannot begin at nothing.
    bottom = 0.0 if line.fixed_kg > LEAST_SHARE * heaviest else LEAST_SHARE * top
    if extract(bottom) >= wanted_kg:
        return bill(bottom)
    if extract(top) < wanted_kg:
        inside = minimize_scalar(
            lambda scale: -extract(scale), bounds=(bottom, top), method="bounded"
        )
        top = max(float(inside.x), top, key=extract)  # the search never tries its bounds
        if extract(top) < wanted_kg:
            return bill(top)
    # No mash gives more than the largest efficiency, so the root is not below this.
    least = line.scale_for_potential(wanted_kg / LARGEST_EFFICIENCY) * (1.0 - 1e-9)
    bottom = max(bottom, least)
    root = brentq(lambda scale: extract(scale) - wanted_kg, bottom, top, xtol=1e-13, rtol=1e-13)
    return bill(float(root))
