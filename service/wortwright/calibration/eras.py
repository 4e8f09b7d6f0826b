"""Eras of a setup: a change of equipment begins one, from what was known before, widened."""

from collections.abc import Sequence
from datetime import date
from typing import NamedTuple

import numpy as np

from wortwright.calibration.curve import PARAMETERS
from wortwright.calibration.evidence import Evidence
from wortwright.calibration.history import SHARED
from wortwright.calibration.regression import Belief
from wortwright.records.setup import Change, Changed

AS_UNKNOWN = 1.0
"""Variance of the scores that a change adds to what it touches: as much as of a setup that
nobody has brewed on, about what was known before."""

TOUCHES = {
    Changed.MILL: ("conversion", "conversion_loss_per_kg_per_l"),
    Changed.BAG: ("true_absorption_l_per_kg",),
    Changed.KETTLE: ("dead_space_l", "boil_off_l_per_h", "kettle_loss_l"),
    Changed.METHOD: PARAMETERS,
}
"""What a change of each kind may alter: milling the conversion, a bag what the grain holds, a
kettle its own losses; another method of mashing or sparging all that makes the efficiency."""


class Era(NamedTuple):
    """Brews between two changes, in their order, with the changes that began the era."""

    changed: tuple[Changed, ...]
    evidence: tuple[Evidence, ...]


def eras_of(changes: Sequence[Change], evidence: Sequence[Evidence]) -> list[Era]:
    """Eras in their order; the first began with no change. One may be without brews."""
    begun: dict[date, list[Changed]] = {}
    for change in changes:
        if change.what is not Changed.NOTHING:
            begun.setdefault(change.on, []).append(change.what)
    days = [date.min, *sorted(begun)]
    ends = [*days[1:], date.max]
    return [
        Era(
            tuple(begun.get(day, ())),
            tuple(one for one in evidence if day <= one.brewed_on < end),
        )
        for day, end in zip(days, ends, strict=True)
    ]


def unchanged_until(changes: Sequence[Change]) -> date:
    """Last day up to which, by the brewer's word, nothing was changed but what is recorded."""
    said = (change.on for change in changes if change.what is Changed.NOTHING)
    return max(said, default=date.min)


def widened(belief: Belief, touched: Sequence[str]) -> Belief:
    """What is still believed when some constants may have changed."""
    added = np.array([AS_UNKNOWN if name in touched else 0.0 for name in SHARED])
    return belief._replace(covariance=belief.covariance + np.diag(added))


def touched_by(changed: Sequence[Changed]) -> tuple[str, ...]:
    """Constants that changes of these kinds may alter."""
    return tuple({name for what in changed for name in TOUCHES[what]})
