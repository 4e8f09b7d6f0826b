"""The constants of a setup as estimates: those of the regression, and those beside it."""

import math
from collections.abc import Sequence

from wortwright.brewing.mash_water import apparent_absorption_l_per_kg
from wortwright.calibration.evidence import Evidence
from wortwright.calibration.history import SHARED
from wortwright.calibration.posterior import Estimate
from wortwright.calibration.priors import USUAL_EXTRACT_YIELD, Prior
from wortwright.calibration.regression import Belief
from wortwright.records.setup import LauterMethod

MASH_COOLING_SD_C = 1.0
"""Error of the fall in temperature over a mash taken for an hour long: two readings of 0.5
degC, and mashes of 45 to 90 minutes. Common practice, no source."""

TAIL = 4.0
"""Degrees of freedom of the heavy-tailed likelihood of a plain constant."""


def shared_estimates(
    priors: Sequence[Prior],
    belief: Belief,
    evidence: Sequence[Evidence],
    method: LauterMethod,
) -> dict[str, Estimate]:
    """Estimates of all that the regression learnt, and of the apparent absorption."""
    counts = _session_counts(evidence, method)
    estimates = {
        name: Estimate(
            mean=prior.value(float(score)),
            sd=prior.slope(float(score)) * math.sqrt(variance),
            prior_mean=prior.value(0.0),
            prior_sd=prior.slope(0.0),
            session_count=counts.get(name, counts["conversion"]),
        )
        for name, prior, score, variance in zip(
            SHARED, priors, belief.scores, belief.covariance.diagonal(), strict=True
        )
    }
    estimates["absorption_l_per_kg"] = _apparent(
        estimates["true_absorption_l_per_kg"], estimates["conversion"]
    )
    return estimates


def _apparent(true: Estimate, conversion: Estimate) -> Estimate:
    """Apparent absorption of usual malt; conversion hardly adds to its spread."""
    return Estimate(
        apparent_absorption_l_per_kg(true.mean, USUAL_EXTRACT_YIELD, conversion.mean),
        true.sd,
        apparent_absorption_l_per_kg(true.prior_mean, USUAL_EXTRACT_YIELD, conversion.prior_mean),
        true.prior_sd,
        true.session_count,
    )


def _session_counts(evidence: Sequence[Evidence], method: LauterMethod) -> dict[str, int]:
    """How many sessions speak of each constant; unnamed ones are told by any efficiency."""

    def count(*figures: float) -> int:
        return sum(not math.isnan(figure) for figure in figures)

    def before(one: Evidence) -> float:
        return one.planned_preboil_l if math.isnan(one.preboil_l) else one.preboil_l

    def after(one: Evidence) -> float:
        return one.fermenter_l if math.isnan(one.postboil_l) else one.postboil_l

    return {
        "conversion": count(
            *(
                one.original_gravity if math.isnan(one.preboil_gravity) else one.preboil_gravity
                for one in evidence
            )
        ),
        "true_absorption_l_per_kg": count(
            *(one.water_in_l(method) + before(one) for one in evidence)
        ),
        "boil_off_l_per_h": count(*(before(one) + after(one) + one.boil_h for one in evidence)),
        "kettle_loss_l": count(*(one.fermenter_l + one.postboil_l for one in evidence)),
    }


def plain_estimates(
    priors: dict[str, tuple[float, float]], evidence: Sequence[Evidence]
) -> dict[str, Estimate]:
    """Estimates of the constants that stand outside the regression.

    A mash is taken for an hour long, as the record does not say. No reading tells of the
    others yet: they stay as stated.
    """
    cooling = [one.mash_cooling_c for one in evidence if not math.isnan(one.mash_cooling_c)]
    read = {"mash_heat_loss_c_per_h": cooling}
    return {
        name: normal_estimate(prior, read.get(name, []), MASH_COOLING_SD_C)
        for name, prior in priors.items()
    }


def normal_estimate(
    prior: tuple[float, float], values: Sequence[float], value_sd: float
) -> Estimate:
    """Conjugate normal estimate of one constant, with readings far out counting less."""
    mean, sd = prior
    weights = [1.0] * len(values)
    for _ in range(3):
        precision = 1.0 / prior[1] ** 2 + sum(weights) / value_sd**2
        told = sum(w * value for w, value in zip(weights, values, strict=True)) / value_sd**2
        mean = (prior[0] / prior[1] ** 2 + told) / precision
        sd = precision**-0.5
        spread = value_sd**2 + sd**2
        weights = [(TAIL + 1.0) / (TAIL + (value - mean) ** 2 / spread) for value in values]
    return Estimate(mean, sd, *prior, len(values))
