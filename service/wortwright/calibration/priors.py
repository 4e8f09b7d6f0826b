"""What is believed of a setup before its first session, from what its brewer said of it.

The figures are the prior population of this project: ranges of common practice in home
brewing, set against the published statements named beside them. Where the brewer did not say
which of several cases applies, the prior is a mixture with the moments of all of them.
"""

import math
from dataclasses import dataclass
from statistics import NormalDist

from wortwright.brewing.mash_water import true_absorption_l_per_kg
from wortwright.calibration.curve import PARAMETERS
from wortwright.records.setup import BagDrained, Crush, GrainHeldBy, LauterMethod, Setup

USUAL_EXTRACT_YIELD = 0.76
"""Base malt as weighed: 0.80 on dry basis at 5 % moisture; common practice, no source."""

CONVERSION = {
    Crush.FINE: (0.95, 0.03),
    Crush.SHOP: (0.92, 0.045),
    Crush.COARSE: (0.86, 0.06),
    None: (0.92, 0.05),
}
"""Conversion of a thin mash: mean, sd. Common practice; grind is the largest effect on
extract ("Effect of Operational Parameters on the Determination of Laboratory Extract",
J. Am. Soc. Brew. Chem., abstract)."""

CONVERSION_LOSS = 0.439
"""Scale of the half-normal loss of conversion per kg/L of mash above 0.30 kg/L (mean 0.35).
Thin mashes convert better: K. Troester, "Evaluation of the effect of mash parameters" (2008,
from memory)."""

TRUE_ABSORPTION = {
    BagDrained.SQUEEZED: (0.85, 0.12),
    BagDrained.HUNG: (1.05, 0.17),
    GrainHeldBy.FALSE_BOTTOM: (1.42, 0.17),
}
"""Wort truly held [L/kg]: mean, sd. Common practice, checked against spent-grain moistures of
80 % and more (Farber et al. 2019)."""

DEAD_SPACE = 0.7
"""Scale of the half-normal dead space under a false bottom [L]; common practice, no source."""

BYPASS = (0.20, 0.10)
"""Share of the bed that continuous sparging does not reach; an assumption of this project."""

WASHING = (0.92, 0.10)
"""How far the sparge washes relative to a bed of three stirred tanks; neither the number of
tanks nor the channelling of the flow is a published constant, so the setup's sessions tell."""

BREW_LOG_SD = (0.019, 0.60)
"""Scatter of log mash efficiency from brew to brew: median, and sd of its logarithm. Careful
brewers 0.012 to 0.03; published brew logs 0.04 to 0.06, two sd out."""

USUAL_LOAD_KG_PER_L = 0.22
"""Grain load of a usual brew, where a session tells no volume at all; common practice."""

MALT_LOT_LOG_SD = 0.012
"""A lot's yield against its label: 1 to 1.5 %; common practice, no source."""

BOIL_OFF_L_PER_H = (3.5, 0.9)
KETTLE_LOSS_L = (1.2, 0.6)
FERMENTER_LOSS_L = (1.0, 0.5)
MASH_IN_OFFSET_C = (0.0, 1.0)
VESSEL_HEAT_KG = (0.5, 0.4)
MASH_HEAT_LOSS_C_PER_H = {True: (1.5, 0.8), False: (4.0, 1.5)}
"""By whether there is a mash tun apart from the kettle. All of these: common practice, no
source (home brewing handbooks and hobby reports agree with the ranges)."""

GRAVITY_SD = 0.001
VOLUME_RELATIVE_SD = 0.025
FIRST_WORT_RELATIVE_SD = 0.015
"""A hydrometer, a dipstick, the extract of a stirred first wort; common practice, no source."""

PLANNED_RELATIVE_SD = 0.02
BOIL_OFF_SD_L_PER_H = 0.3
UNKNOWN_BOIL_SD_L = 1.5
KETTLE_LOSS_SD_L = 0.25
HOP_UPTAKE_RELATIVE_SD = 0.25
UNKNOWN_STRIKE_RELATIVE_SD = 0.10
LEAST_WATER_RELATIVE_SD = 0.005
"""How far one session strays from its planned pre-boil volume, from the boil-off and kettle
loss of its setup, from the usual uptake of its hops and from the usual strike water where
that was not written down; common practice, no source."""

PREBOIL_GUESS_RELATIVE_SD = 0.5
"""So wide that the readings alone tell the pre-boil volume."""

LARGEST_EFFICIENCY = 0.97
"""A forecast mean stays at or below it; a computed efficiency above it is a data error (fine
grind dry basis taken for the yield, a hot volume, an unstirred sample)."""

NARROWER = 0.5
"""A constant that the brewer states is a prior mean with this share of the default spread."""

USUAL_SCORE = 2.0

_STANDARD = NormalDist()


@dataclass(frozen=True, slots=True)
class Prior:
    """Belief in one quantity: a normal kept between two bounds.

    It is handled by its standard normal score: the quantity of the same rank. A half-normal is
    a normal about 0 kept above 0. A quantity that the setup does not have has no spread.
    """

    centre: float
    spread: float
    low: float = -math.inf
    high: float = math.inf

    def value(self, score: float) -> float:
        """Quantity at a standard normal score."""
        near = _near(score)
        value = self.centre + self.spread * self._normal_score(near)
        return min(max(value + self.slope(near) * (score - near), self.low), self.high)

    def slope(self, score: float) -> float:
        """Derivative of the quantity by the score, carried on beyond the usual scores."""
        if not self.spread:
            return 0.0
        below, above = self._ranks()
        near = _near(score)
        density = _STANDARD.pdf(near) / _STANDARD.pdf(self._normal_score(near))
        return self.spread * (above - below) * density

    def _ranks(self) -> tuple[float, float]:
        """Ranks of both bounds in the normal without bounds."""
        return (
            _STANDARD.cdf((self.low - self.centre) / self.spread),
            _STANDARD.cdf((self.high - self.centre) / self.spread),
        )

    def _normal_score(self, score: float) -> float:
        """Score in the normal without bounds of the quantity of the same rank."""
        if not self.spread:
            return 0.0
        below, above = self._ranks()
        return _STANDARD.inv_cdf(below + (above - below) * _STANDARD.cdf(score))


def _near(score: float) -> float:
    """Nearest usual score: beyond it the slope would vanish at a bound, and a fit stick there."""
    return min(max(score, -USUAL_SCORE), USUAL_SCORE)


def mixture(parts: list[tuple[float, float]]) -> tuple[float, float]:
    """Mean and sd of equally likely cases, each with its own mean and sd."""
    mean = sum(part_mean for part_mean, _ in parts) / len(parts)
    variance = sum(sd**2 + (part_mean - mean) ** 2 for part_mean, sd in parts) / len(parts)
    return mean, math.sqrt(variance)


def stated_or(stated: float | None, default: tuple[float, float]) -> tuple[float, float]:
    """Default mean and sd, or the brewer's figure with half the spread."""
    return default if stated is None else (stated, default[1] * NARROWER)


def efficiency_priors(setup: Setup) -> tuple[Prior, ...]:
    """Priors of the lauter model, in the order of ``PARAMETERS``."""
    conversion = stated_or(setup.constants.conversion, CONVERSION[setup.crush])
    continuous = setup.lauter_method is LauterMethod.CONTINUOUS_SPARGE
    by_name = {
        "conversion": Prior(*conversion, low=0.4, high=0.995),
        "conversion_loss_per_kg_per_l": Prior(0.0, CONVERSION_LOSS, low=0.0),
        "true_absorption_l_per_kg": Prior(*_true_absorption(setup, conversion[0]), low=0.2),
        "dead_space_l": _dead_space(setup),
        "bypass": Prior(*BYPASS, low=0.0, high=0.9) if continuous else Prior(0.0, 0.0),
        "washing": Prior(*WASHING, low=0.2) if continuous else Prior(1.0, 0.0),
    }
    return tuple(by_name[name] for name in PARAMETERS)


def _holders(setup: Setup) -> list[BagDrained | GrainHeldBy]:
    """Whatever may hold this setup's grain; continuous sparging needs a false bottom."""
    bags = [setup.bag_drained] if setup.bag_drained else list(BagDrained)
    if setup.lauter_method is LauterMethod.CONTINUOUS_SPARGE and setup.grain_held_by is None:
        return [GrainHeldBy.FALSE_BOTTOM]
    if setup.grain_held_by is GrainHeldBy.FALSE_BOTTOM:
        return [GrainHeldBy.FALSE_BOTTOM]
    if setup.grain_held_by is GrainHeldBy.BAG or setup.bag_drained:
        return [*bags]
    return [*bags, GrainHeldBy.FALSE_BOTTOM]


def _true_absorption(setup: Setup, conversion: float) -> tuple[float, float]:
    default = mixture([TRUE_ABSORPTION[holder] for holder in _holders(setup)])
    stated = setup.constants.absorption_l_per_kg
    if stated is None:
        return default
    true = true_absorption_l_per_kg(stated, USUAL_EXTRACT_YIELD, conversion)
    return stated_or(true, default)


def _dead_space(setup: Setup) -> Prior:
    holders = _holders(setup)
    share = holders.count(GrainHeldBy.FALSE_BOTTOM) / len(holders)
    scale = DEAD_SPACE * math.sqrt(share)
    stated = setup.constants.dead_space_l
    if stated is None:
        return Prior(0.0, scale, low=0.0) if scale else Prior(0.0, 0.0)
    return Prior(stated, DEAD_SPACE * NARROWER * math.sqrt(1.0 - 2.0 / math.pi), low=0.0)


def plain_priors(setup: Setup) -> dict[str, tuple[float, float]]:
    """Mean and sd of the constants that stand outside the lauter model."""
    said = setup.constants
    heat_loss = MASH_HEAT_LOSS_C_PER_H[setup.vessels.mash_tun is not None]
    return {
        "boil_off_l_per_h": stated_or(said.boil_off_l_per_h, BOIL_OFF_L_PER_H),
        "kettle_loss_l": stated_or(said.kettle_loss_l, KETTLE_LOSS_L),
        "fermenter_loss_l": stated_or(said.fermenter_loss_l, FERMENTER_LOSS_L),
        "mash_in_offset_c": MASH_IN_OFFSET_C,
        "mash_heat_loss_c_per_h": stated_or(said.mash_heat_loss_c_per_h, heat_loss),
        "vessel_heat_kg": stated_or(said.vessel_heat_kg, VESSEL_HEAT_KG),
    }
