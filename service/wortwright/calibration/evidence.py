"""What one session says: its readings corrected to 20 degC, and what they come to.

Nothing here knows the curve. A reading that cannot be used is left out and named.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, NamedTuple

from wortwright.brewing.gravity import extract_kg_per_l, plato_from_gravity
from wortwright.brewing.mash_water import conversion_from_first_wort
from wortwright.calibration.corrected import Brew, brew_of, or_nan
from wortwright.calibration.priors import (
    GRAVITY_SD,
    LARGEST_EFFICIENCY,
    VOLUME_RELATIVE_SD,
)
from wortwright.records.grist import AddedTo, HopForm, Moment
from wortwright.records.sentence import Said, kilograms, litres, say
from wortwright.records.session import Session, Stage
from wortwright.records.setup import LauterMethod

HOP_UPTAKE_L_PER_KG = {HopForm.PELLET: 6.0, HopForm.WHOLE: 8.0}
"""Wort that hops keep in the kettle; common practice (pellets 5 to 8, whole 6 to 10 mL/g)."""

LEAST_WORT_L_PER_KG, MOST_WORT_L_PER_KG, LEAST_WORT_L = 0.3, 500.0, 0.5
"""Water or wort to the kilogram of mashed grain, from the last drops of a thick mash to a few
grains steeped for colour, and the least brew of all: what is outside is a slip of the pen."""

BOILED_HOPS = (Moment.FIRST_WORT, Moment.BOIL, Moment.STAND)

_VOLUMES = {
    "planned_preboil_l": "planned pre-boil volume",
    "strike_l": "strike water",
    "preboil_l": "pre-boil volume",
    "postboil_l": "post-boil volume",
    "fermenter_l": "volume in the fermenter",
}


class Evidence(NamedTuple):
    """One session in litres at 20 degC and SG 20/20; nan where nothing was read.

    ``potential_kg`` is all extract of the mashed grain, ``kettle_extract_kg`` what was added
    to the kettle, which no mash efficiency touches. ``conversion`` is told by the first wort
    and the strike water. ``trusted`` is a session whose doubt the brewer has overruled.
    """

    session_id: str
    brewed_on: date
    grain_kg: float
    potential_kg: float
    kettle_extract_kg: float
    hop_uptake_l: float
    boil_h: float
    planned_preboil_l: float
    strike_l: float
    sparge_l: float
    top_up_l: float
    preboil_l: float
    postboil_l: float
    fermenter_l: float
    preboil_gravity: float
    postboil_gravity: float
    fermenter_gravity: float
    conversion: float
    unusable: tuple[Said, ...] = ()
    trusted: bool = False

    def water_in_l(self, method: LauterMethod) -> float:
        """All water that went through the grain; nan where a part was not written down. [L]"""
        if method is LauterMethod.NO_SPARGE and math.isnan(self.sparge_l):
            return self.strike_l
        return self.strike_l + self.sparge_l

    @property
    def original_gravity(self) -> float:
        """Gravity after the boil, from the kettle if read there; nan without. [SG]"""
        kettle = self.postboil_gravity
        return self.fermenter_gravity if math.isnan(kettle) else kettle


@dataclass(frozen=True, slots=True)
class Observed:
    """A figure computed from one session's readings alone, with its standard deviation."""

    mean: float
    sd: float


def evidence_of(session_id: str, session: Session) -> Evidence | None:
    """Evidence of a session; None without mashed grain."""
    return evidence_of_brew(brew_of(session_id, session))


def evidence_of_brew(brew: Brew) -> Evidence | None:
    """Evidence of a session whose readings are corrected already."""
    session_id, session, read = brew
    grain_kg = mashed_kg(session)
    potential_kg = extract_added_kg(session, AddedTo.MASH)
    if grain_kg <= 0.0 or potential_kg <= 0.0:
        return None
    strike_l = or_nan(session.water.strike_l)
    first_wort = read.wort_gravity(Stage.FIRST_WORT)
    evidence = Evidence(
        session_id=session_id,
        brewed_on=session.brewed_at.date(),
        grain_kg=grain_kg,
        potential_kg=potential_kg,
        kettle_extract_kg=extract_added_kg(session, AddedTo.KETTLE),
        hop_uptake_l=hop_uptake_l(session, BOILED_HOPS),
        boil_h=or_nan(session.boil_time_min) / 60.0,
        planned_preboil_l=or_nan(session.planned_preboil_l),
        strike_l=strike_l,
        sparge_l=or_nan(session.water.sparge_l),
        top_up_l=session.water.top_up_l or 0.0,
        preboil_l=read.volume_l(Stage.PRE_BOIL),
        postboil_l=read.volume_l(Stage.POST_BOIL),
        fermenter_l=read.volume_l(Stage.FERMENTER),
        preboil_gravity=read.wort_gravity(Stage.PRE_BOIL),
        postboil_gravity=read.wort_gravity(Stage.POST_BOIL),
        fermenter_gravity=read.wort_gravity(Stage.FERMENTER),
        conversion=_conversion(first_wort, strike_l, grain_kg, potential_kg),
        unusable=tuple(read.unusable),
        trusted=session.trusted_because is not None,
    )
    return _of_one_brew(evidence)


def _of_one_brew(evidence: Evidence) -> Evidence:
    """Leave out, and name, volumes that cannot be of the brew's grain."""
    grain_kg = evidence.grain_kg
    most_l = MOST_WORT_L_PER_KG * grain_kg
    least_l = max(LEAST_WORT_L_PER_KG * grain_kg, LEAST_WORT_L)
    slips = {
        name: volume_l
        for name in _VOLUMES
        if not math.isnan(volume_l := getattr(evidence, name)) and not least_l <= volume_l <= most_l
    }
    if not slips:
        return evidence
    said = "The {name} of {volume} cannot be that of {grain} of grain."
    why = (
        say(said, name=_VOLUMES[name], volume=litres(volume_l), grain=kilograms(grain_kg))
        for name, volume_l in slips.items()
    )
    left_out = (*slips, "conversion") if "strike_l" in slips else tuple(slips)
    nothing: dict[str, Any] = dict.fromkeys(left_out, math.nan)
    return evidence._replace(unusable=(*evidence.unusable, *why), **nothing)


def mash_efficiency_by_readings(
    evidence: Evidence, kettle_loss_l: tuple[float, float]
) -> Observed | None:
    """Mash efficiency as a brewer computes it: extract in the kettle by extract in the grain.

    From the pre-boil reading where there is one, otherwise from the original gravity with the
    volume after the boil, or that in the fermenter plus the kettle loss (mean and sd), at last
    from the pre-boil gravity with the planned volume. None if none of them can be had.
    """
    preboil, original = evidence.preboil_gravity, evidence.original_gravity
    added_kg = evidence.kettle_extract_kg
    in_kettle_l = evidence.fermenter_l + kettle_loss_l[0] + evidence.hop_uptake_l
    for gravity, volume_l, other_kg, more_sd_l in (
        (preboil, evidence.preboil_l, 0.0, 0.0),
        (original, evidence.postboil_l, added_kg, 0.0),
        (original, in_kettle_l, added_kg, kettle_loss_l[1]),
        (preboil, evidence.planned_preboil_l, 0.0, 0.0),
    ):
        if not math.isnan(gravity * volume_l):
            extract_kg = volume_l * extract_kg_per_l(gravity)
            volume_sd = math.hypot(VOLUME_RELATIVE_SD, more_sd_l / volume_l)
            sd_kg = extract_kg * math.hypot(GRAVITY_SD / (gravity - 1.0), volume_sd)
            potential_kg = evidence.potential_kg
            return Observed((extract_kg - other_kg) / potential_kg, sd_kg / potential_kg)
    return None


def is_data_error(evidence: Evidence, observed: Observed) -> bool:
    """Whether a session tells more than any brewhouse reaches, and its brewer has not insisted."""
    return observed.mean > LARGEST_EFFICIENCY and not evidence.trusted


def _conversion(gravity: float, strike_l: float, grain_kg: float, potential_kg: float) -> float:
    if math.isnan(gravity) or not strike_l > 0.0:
        return math.nan
    plato = plato_from_gravity(gravity)
    return conversion_from_first_wort(plato, strike_l, grain_kg, potential_kg / grain_kg)


def extract_added_kg(session: Session, place: AddedTo) -> float:
    """Laboratory extract of what was added at a place. [kg]"""
    added = (item for item in session.grist if item.added_to is place)
    return sum((item.mass_kg or 0.0) * item.as_is_yield for item in added)


def mashed_kg(session: Session) -> float:
    """Mass of what was mashed. [kg]"""
    return sum(item.mass_kg or 0.0 for item in session.grist if item.added_to is AddedTo.MASH)


def hop_uptake_l(session: Session, moments: Sequence[Moment]) -> float:
    """Wort or beer that the hops of some moments keep. [L]"""
    return sum(
        (hop.mass_kg or 0.0) * HOP_UPTAKE_L_PER_KG[hop.form]
        for hop in session.hop_bill
        if hop.moment in moments
    )
