"""Which sessions the curve does not believe in full, and why, in a sentence each."""

import math
from collections.abc import Sequence

import numpy as np

from wortwright.brewing.gravity import gravity_from_extract_kg_per_l
from wortwright.calibration.evidence import Evidence, Observed, is_data_error
from wortwright.calibration.history import VOLUMES, History, Row
from wortwright.calibration.posterior import Finding
from wortwright.calibration.priors import LARGEST_EFFICIENCY
from wortwright.calibration.regression import Fit
from wortwright.records.sentence import Amount, Said, Sentence, in_a_row, in_percent, litres, say

SUSPECT = 0.5
"""A reading that is more likely a blunder than not makes its session a finding."""

HIGHEST_LOG = 5.0
"""What is expected of an absurd session may be absurd; it is written out nevertheless."""

NO_BREW = (
    "Its masses and volumes are not those of one brew, so it teaches nothing: look for a wrong "
    "unit or a slip of the pen."
)

_NAMES = {
    Row.PREBOIL: "pre-boil volume",
    Row.POSTBOIL: "post-boil volume",
    Row.FERMENTER: "volume in the fermenter",
    Row.WATER: "water that went in",
    Row.PREBOIL_GRAVITY: "pre-boil gravity",
    Row.POSTBOIL_GRAVITY: "post-boil gravity",
    Row.FERMENTER_GRAVITY: "original gravity in the fermenter",
    Row.FIRST_WORT: "conversion told by the first wort",
}


def findings_of(
    evidence: Sequence[Evidence],
    observed: Sequence[Observed | None],
    history: History,
    fit: Fit,
) -> tuple[Finding, ...]:
    """Findings in the order of the evidence.

    Of a session that the brewer trusts there is none but what could not be used at all.
    """
    suspect = (fit.trust < SUSPECT) & ~np.isnan(history.read)
    suspect[:, Row.PLANNED] = False  # to miss the plan is no fault of a reading
    weights = history.sd**2 / fit.noise
    doubted: list[bool] = suspect.max(axis=1, initial=False).tolist()
    of_note = [
        index
        for index, (one, figure) in enumerate(zip(evidence, observed, strict=True))
        if doubted[index]
        or one.unusable
        or not fit.possible[index]
        or (figure is not None and is_data_error(one, figure))
    ]
    found = []
    for index in of_note:
        one = evidence[index]
        reasons: list[Said] = [*one.unusable]
        if not fit.possible[index]:
            reasons.append(NO_BREW)
        weight = 0.0 if reasons else 1.0
        figure = observed[index]
        if figure is not None and is_data_error(one, figure):
            reasons.append(_too_efficient(figure))
        for row in np.flatnonzero(suspect[index]):
            reasons.append(_suspect(history, fit, index, Row(int(row))))
            weight = min(weight, float(weights[index, row]))
        found.append(Finding(one.session_id, weight, in_a_row(tuple(reasons), " ")))
    return tuple(found)


def _too_efficient(observed: Observed) -> str:
    return (
        f"Its computed mash efficiency of {in_percent(observed.mean)} is above "
        f"{in_percent(LARGEST_EFFICIENCY)}, which no brewhouse reaches: look for a yield on dry "
        "basis, a volume read hot or a sample that was not stirred."
    )


def _suspect(history: History, fit: Fit, index: int, row: Row) -> Sentence:
    read = float(history.read[index, row])
    expected = read - float(fit.unexpected[index, row])
    preboil_l = float(history.preboil_l[index])
    said: Said | Amount
    meant: Said | Amount
    if row in VOLUMES:
        said, meant = litres(read * preboil_l), litres(expected * preboil_l)
    elif row is Row.FIRST_WORT:
        said, meant = _percent(read), _percent(expected)
    else:
        said, meant = _gravity(read), _gravity(expected)
    return say(
        "The {reading} is {said}; everything else expects about {meant}.",
        reading=_NAMES[row],
        said=said,
        meant=meant,
    )


def _percent(log_share: float) -> str:
    return in_percent(math.exp(min(log_share, HIGHEST_LOG)))


def _gravity(log_extract: float) -> str:
    return f"{gravity_from_extract_kg_per_l(min(math.exp(min(log_extract, 0.0)), 0.45)):.3f}"
