"""Mash efficiency of a brew not yet made, from a setup's calibration.

A forecast is closed form and reads only the stored posterior, never the history.
"""

import math
from dataclasses import dataclass
from statistics import NormalDist

from wortwright.brewing.mash_water import apparent_absorption_l_per_kg
from wortwright.calibration.curve import (
    PARAMETERS,
    Mash,
    Parameters,
    conversion_at,
    log_sensitivities,
    mash_efficiency,
    usual_strike_water_l,
)
from wortwright.calibration.posterior import Calibration, EfficiencyPosterior, MashPlan, SeenRange
from wortwright.calibration.priors import GRAVITY_SD, LARGEST_EFFICIENCY, VOLUME_RELATIVE_SD

GRAVITY_PER_EXTRACT = 0.386
"""SG above 1 for each kg/L of extract, nearly constant; enough for the size of an error."""

CERTAIN = 0.999
"""No end of an interval passes it."""

_STANDARD = NormalDist()


@dataclass(frozen=True, slots=True)
class EfficiencyForecast:
    """Mash efficiency to come: the centre, and the spread of its logarithm in parts.

    ``curve_log_sd`` is what the sessions have not yet told of the setup, ``brew_log_sd`` how
    brews and lots of malt scatter; together they are ``log_sd``, the spread of the efficiency
    that the kettle will really show. A reading of it scatters by ``measurement_log_sd`` more.
    ``outside_seen_range`` is how far grain load or potential lie beyond what was seen, as a
    fraction of the nearest seen value: 0 inside, None before any session.
    """

    mean: float
    curve_log_sd: float
    brew_log_sd: float
    measurement_log_sd: float
    outside_seen_range: float | None

    @property
    def log_sd(self) -> float:
        """Spread of the logarithm of the true efficiency."""
        return math.hypot(self.curve_log_sd, self.brew_log_sd)

    def interval(self, probability: float) -> tuple[float, float]:
        """Range that holds the efficiency with a probability, kept inside (0, 1)."""
        score = _STANDARD.inv_cdf((1.0 + probability) / 2.0)
        factor = math.exp(score * self.log_sd)
        return self.mean / factor, min(self.mean * factor, CERTAIN)


def mean_mash_efficiency(calibration: Calibration, mash_plan: MashPlan) -> float:
    """Centre of the forecast alone, fast enough for the inside of a root finder. [fraction]"""
    posterior = calibration.efficiency
    theta = _parameters(posterior)
    mash = _mash(posterior, theta, mash_plan)
    efficiency = mash_efficiency(theta, posterior.method, posterior.runnings, mash)
    return min(efficiency, LARGEST_EFFICIENCY)


def forecast_mash_efficiency(calibration: Calibration, mash_plan: MashPlan) -> EfficiencyForecast:
    """Mash efficiency to come, with the parts of its spread."""
    posterior = calibration.efficiency
    theta = _parameters(posterior)
    mash = _mash(posterior, theta, mash_plan)
    slopes = log_sensitivities(theta, posterior.method, posterior.runnings, mash)
    variance = sum(
        left * right * covariance
        for left, row in zip(slopes, posterior.covariance, strict=True)
        for right, covariance in zip(slopes, row, strict=True)
    )
    mean = mean_mash_efficiency(calibration, mash_plan)
    return EfficiencyForecast(
        mean=mean,
        curve_log_sd=math.sqrt(variance),
        brew_log_sd=posterior.brew_log_sd,
        measurement_log_sd=_measurement_log_sd(mean * mash_plan.potential_kg_per_l),
        outside_seen_range=_outside(calibration.seen, mash_plan),
    )


def expected_strike_water_l(calibration: Calibration, mash_plan: MashPlan) -> float:
    """Strike water of a mash plan: its own, or what the lauter method usually takes. [L]"""
    posterior = calibration.efficiency
    return _mash(posterior, _parameters(posterior), mash_plan).strike_water_l


def expected_conversion(calibration: Calibration, mash_plan: MashPlan) -> float:
    """Conversion expected at the thickness of a mash plan. [fraction]"""
    theta = _parameters(calibration.efficiency)
    mash = _mash(calibration.efficiency, theta, mash_plan)
    return conversion_at(theta, mash.grain_kg / mash.strike_water_l)


def expected_apparent_absorption_l_per_kg(calibration: Calibration, mash_plan: MashPlan) -> float:
    """Water in minus wort out per kilogram, expected of a mash plan. [L/kg]"""
    return apparent_absorption_l_per_kg(
        _parameters(calibration.efficiency).true_absorption_l_per_kg,
        mash_plan.extract_yield,
        expected_conversion(calibration, mash_plan),
    )


def _parameters(posterior: EfficiencyPosterior) -> Parameters:
    return Parameters(*posterior.mean[: len(PARAMETERS)])


def _mash(posterior: EfficiencyPosterior, theta: Parameters, mash_plan: MashPlan) -> Mash:
    known = (mash_plan.grain_kg, mash_plan.extract_yield, mash_plan.preboil_l)
    strike_water_l = mash_plan.strike_water_l
    if strike_water_l is None:
        strike_water_l = usual_strike_water_l(theta, posterior.method, posterior.runnings, *known)
    return Mash(*known, strike_water_l)


def _measurement_log_sd(preboil_kg_per_l: float) -> float:
    """Relative error of one pre-boil reading of gravity and volume."""
    return math.hypot(GRAVITY_SD / (GRAVITY_PER_EXTRACT * preboil_kg_per_l), VOLUME_RELATIVE_SD)


def _outside(seen: SeenRange | None, mash_plan: MashPlan) -> float | None:
    if seen is None:
        return None
    return max(
        _beyond(mash_plan.grain_load_kg_per_l, *seen.grain_load_kg_per_l),
        _beyond(mash_plan.potential_kg_per_l, *seen.potential_kg_per_l),
    )


def _beyond(value: float, low: float, high: float) -> float:
    return max(0.0, value / high - 1.0, 1.0 - value / low)
