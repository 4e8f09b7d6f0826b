"""The constants of a setup as estimates: those of the regression, and those beside it."""

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

from wortwright.brewing.mash_water import EXTRACT_VOLUME_L_PER_KG, apparent_absorption_l_per_kg
from wortwright.calibration.corrected import Brew
from wortwright.calibration.doubted_notes import of_cooling, of_fermenter_loss, of_mash_in
from wortwright.calibration.evidence import Evidence, extract_added_kg, hop_uptake_l
from wortwright.calibration.history import SHARED
from wortwright.calibration.linear import Doubt, NormalPrior, Row, learn
from wortwright.calibration.mash_warmth import cooling_rows, mash_in_rows
from wortwright.calibration.posterior import Estimate, Finding
from wortwright.calibration.priors import (
    HOP_UPTAKE_RELATIVE_SD,
    USUAL_EXTRACT_YIELD,
    VOLUME_RELATIVE_SD,
    Prior,
)
from wortwright.calibration.regression import Belief
from wortwright.records.grist import AddedTo, Moment
from wortwright.records.session import Stage
from wortwright.records.setup import LauterMethod

PACKAGED_RELATIVE_SD, FERMENTER_LOSS_SD_L = 0.01, 0.25
"""Bottles are counted and kegs weighed; how far one beer strays from the loss of its setup.
Common practice, no source."""

DRY_HOPS = (Moment.DRY,)


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


class Beside(NamedTuple):
    """Estimates of what stands beside the curve, and the sessions they do not believe."""

    estimates: dict[str, Estimate]
    findings: tuple[Finding, ...]


def plain_estimates(
    priors: dict[str, NormalPrior], brews: Sequence[Brew], *, poured: bool
) -> Beside:
    """Estimates of the constants that stand outside the regression.

    ``poured`` tells that the strike water is poured into a vessel that takes up heat.
    """
    offset, vessel = priors["mash_in_offset_c"], priors["vessel_heat_kg"]
    mashed_in = _tell((offset, vessel), mash_in_rows(brews, vessel[0], poured))
    loss = _tell((priors["fermenter_loss_l"],), fermenter_loss_rows(brews))
    cooling = _tell((priors["mash_heat_loss_c_per_h"],), cooling_rows(brews))
    heat = mashed_in.estimates[1] if poured else replace(mashed_in.estimates[1], session_count=0)
    return Beside(
        {
            "fermenter_loss_l": _not_negative(loss.estimates[0]),
            "mash_in_offset_c": mashed_in.estimates[0],
            "mash_heat_loss_c_per_h": _not_negative(cooling.estimates[0]),
            "vessel_heat_kg": _not_negative(heat),
        },
        (
            *map(of_mash_in, mashed_in.doubts),
            *map(of_cooling, cooling.doubts),
            *map(of_fermenter_loss, loss.doubts),
        ),
    )


def fermenter_loss_rows(brews: Sequence[Brew]) -> list[Row]:
    """Beer left behind beside what dry hops keep, told by what went in and what was packaged."""
    rows = (_fermenter_loss_row(brew) for brew in brews)
    return [row for row in rows if row is not None]


def _fermenter_loss_row(brew: Brew) -> Row | None:
    session_id, session, read = brew
    if not read.has(Stage.FERMENTER, Stage.PACKAGED):
        return None
    filled_l, packaged_l = read.volume_l(Stage.FERMENTER), read.volume_l(Stage.PACKAGED)
    if math.isnan(filled_l + packaged_l):
        return None
    drunk_l = hop_uptake_l(session, DRY_HOPS)
    dissolved_l = EXTRACT_VOLUME_L_PER_KG * extract_added_kg(session, AddedTo.FERMENTER)
    sd = math.hypot(
        VOLUME_RELATIVE_SD * filled_l,
        PACKAGED_RELATIVE_SD * packaged_l,
        HOP_UPTAKE_RELATIVE_SD * drunk_l,
        FERMENTER_LOSS_SD_L,
    )
    trusted = session.trusted_because is not None
    return Row((1.0,), filled_l + dissolved_l - packaged_l - drunk_l, sd, trusted, session_id)


class _Told(NamedTuple):
    """Estimates of constants that the same rows tell, and the rows that they do not believe."""

    estimates: list[Estimate]
    doubts: tuple[Doubt, ...]


def _tell(priors: Sequence[NormalPrior], rows: Sequence[Row]) -> _Told:
    learnt = learn(priors, rows)
    estimates = [
        Estimate(mean, math.sqrt(variance), *prior, len(rows))
        for mean, variance, prior in zip(
            learnt.mean.tolist(), learnt.covariance.diagonal().tolist(), priors, strict=True
        )
    ]
    return _Told(estimates, learnt.doubts)


def _not_negative(estimate: Estimate) -> Estimate:
    """A loss is none at least, whatever a reading says."""
    return replace(estimate, mean=max(0.0, estimate.mean))
