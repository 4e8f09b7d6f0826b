"""All that a setup learns beside its efficiency curve: warmth of the mash, fermenter, yeast."""

from collections.abc import Sequence
from typing import NamedTuple

from wortwright.calibration.attenuation import AttenuationPosterior
from wortwright.calibration.attenuation_fit import attenuation_constants, fit_attenuation
from wortwright.calibration.constants import plain_estimates
from wortwright.calibration.corrected import Brew
from wortwright.calibration.linear import NormalPrior
from wortwright.calibration.posterior import Estimate, Finding


class BesideTheCurve(NamedTuple):
    """Constants by name, the attenuation with its yeasts, and the sessions not believed."""

    constants: dict[str, Estimate]
    attenuation: AttenuationPosterior
    findings: tuple[Finding, ...]


def beside_the_curve(
    priors: dict[str, NormalPrior], brews: Sequence[Brew], *, poured: bool
) -> BesideTheCurve:
    """Learn from brews.

    ``poured`` tells that the strike water is poured into a vessel that takes up heat.
    """
    plain = plain_estimates(priors, brews, poured=poured)
    fermented = fit_attenuation(brews)
    return BesideTheCurve(
        plain.estimates | attenuation_constants(fermented.posterior),
        fermented.posterior,
        (*plain.findings, *fermented.findings),
    )
