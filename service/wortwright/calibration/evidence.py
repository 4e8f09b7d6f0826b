"""What one session says: its readings corrected to 20 degC, and what they come to.

Nothing here knows the curve. A reading that cannot be used is left out and named.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

from wortwright.brewing.errors import OutOfRangeError
from wortwright.brewing.gravity import extract_kg_per_l, plato_from_gravity
from wortwright.brewing.hydrometer import gravity_at_20
from wortwright.brewing.lautering import conversion_from_first_wort
from wortwright.brewing.water_density import volume_at_20_from_hot_l
from wortwright.calibration.efficiency import LARGEST_EFFICIENCY
from wortwright.records.grist import AddedTo, HopForm, Moment
from wortwright.records.session import Reading, Session, Stage
from wortwright.records.setup import LauterMethod

GRAVITY_SD = 0.001
VOLUME_RELATIVE_SD = 0.025
FIRST_WORT_RELATIVE_SD = 0.015
"""A hydrometer, a dipstick, the extract of a stirred first wort; common practice, no source."""

HOP_UPTAKE_L_PER_KG = {HopForm.PELLET: 6.0, HopForm.WHOLE: 8.0}
"""Wort that hops keep in the kettle; common practice (pellets 5 to 8, whole 6 to 10 mL/g)."""

LEAST_GRAVITY = 1.002


@dataclass(frozen=True, slots=True)
class Evidence:
    """One session in litres at 20 degC and SG 20/20; nan where nothing was read.

    ``potential_kg`` is all extract of the mashed grain, ``kettle_extract_kg`` what was added
    to the kettle, which no mash efficiency touches.
    """

    session_id: str
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
    first_wort_gravity: float
    preboil_gravity: float
    postboil_gravity: float
    fermenter_gravity: float
    mash_in_c: float
    mash_end_c: float
    unusable: tuple[str, ...] = ()

    @property
    def extract_yield(self) -> float:
        """Mean yield of the mashed grain as weighed. [kg/kg]"""
        return self.potential_kg / self.grain_kg

    def water_in_l(self, method: LauterMethod) -> float:
        """All water that went through the grain; nan where a part was not written down. [L]"""
        if method is LauterMethod.NO_SPARGE and math.isnan(self.sparge_l):
            return self.strike_l
        return self.strike_l + self.sparge_l

    @property
    def conversion(self) -> float:
        """Conversion by the first wort and the strike water; nan without. [fraction]"""
        if math.isnan(self.first_wort_gravity) or math.isnan(self.strike_l):
            return math.nan
        plato = plato_from_gravity(self.first_wort_gravity)
        return conversion_from_first_wort(plato, self.strike_l, self.grain_kg, self.extract_yield)


@dataclass(frozen=True, slots=True)
class Observed:
    """A figure computed from one session's readings alone, with its standard deviation."""

    mean: float
    sd: float


def evidence_of(session_id: str, session: Session) -> Evidence | None:
    """Evidence of a session; None without mashed grain."""
    grain_kg, potential_kg, kettle_kg = _extract_by_place(session)
    if grain_kg <= 0.0 or potential_kg <= 0.0:
        return None
    unusable: list[str] = []

    def volume_l(stage: Stage) -> float:
        return _mean_at(session, stage, _volume_at_20_l, unusable)

    def gravity(stage: Stage) -> float:
        return _mean_at(session, stage, _gravity_20, unusable)

    def temperature_c(stage: Stage) -> float:
        return _mean_at(session, stage, lambda reading: reading.temperature_c, unusable)

    return Evidence(
        session_id=session_id,
        grain_kg=grain_kg,
        potential_kg=potential_kg,
        kettle_extract_kg=kettle_kg,
        hop_uptake_l=_hop_uptake_l(session),
        boil_h=_or_nan(session.boil_time_min) / 60.0,
        planned_preboil_l=_or_nan(session.planned_preboil_l),
        strike_l=_or_nan(session.water.strike_l),
        sparge_l=_or_nan(session.water.sparge_l),
        top_up_l=session.water.top_up_l or 0.0,
        preboil_l=volume_l(Stage.PRE_BOIL),
        postboil_l=volume_l(Stage.POST_BOIL),
        fermenter_l=volume_l(Stage.FERMENTER),
        first_wort_gravity=gravity(Stage.FIRST_WORT),
        preboil_gravity=gravity(Stage.PRE_BOIL),
        postboil_gravity=gravity(Stage.POST_BOIL),
        fermenter_gravity=gravity(Stage.FERMENTER),
        mash_in_c=temperature_c(Stage.MASH_IN),
        mash_end_c=temperature_c(Stage.MASH_END),
        unusable=tuple(unusable),
    )


def _or_nan(value: float | None) -> float:
    return math.nan if value is None else value


def _extract_by_place(session: Session) -> tuple[float, float, float]:
    grain_kg = potential_kg = kettle_kg = 0.0
    for item in session.grist:
        mass_kg = item.mass_kg or 0.0
        if item.added_to is AddedTo.MASH:
            grain_kg += mass_kg
            potential_kg += mass_kg * item.as_is_yield
        elif item.added_to is AddedTo.KETTLE:
            kettle_kg += mass_kg * item.as_is_yield
    return grain_kg, potential_kg, kettle_kg


def _hop_uptake_l(session: Session) -> float:
    return sum(
        (hop.mass_kg or 0.0) * HOP_UPTAKE_L_PER_KG[hop.form]
        for hop in session.hop_bill
        if hop.moment in (Moment.FIRST_WORT, Moment.BOIL, Moment.STAND)
    )


def _volume_at_20_l(reading: Reading) -> float | None:
    if reading.volume_l is None or reading.volume_temperature_c is None:
        return reading.volume_l
    return volume_at_20_from_hot_l(reading.volume_l, reading.volume_temperature_c)


def _gravity_20(reading: Reading) -> float | None:
    if reading.gravity is None:
        return None
    gravity = reading.gravity
    if reading.gravity_temperature_c is not None:
        gravity = gravity_at_20(gravity, reading.gravity_temperature_c)
    if gravity < LEAST_GRAVITY:
        raise OutOfRangeError("gravity of wort", gravity, f"{LEAST_GRAVITY} SG and more")
    return gravity


def _mean_at(
    session: Session,
    stage: Stage,
    figure: Callable[[Reading], float | None],
    unusable: list[str],
) -> float:
    """Mean of what the readings of a stage say; nan without any that can be used."""
    found = []
    for reading in session.readings:
        if reading.stage is stage:
            try:
                value = figure(reading)
            except OutOfRangeError as error:
                unusable.append(f"{stage.value.replace('_', '-')} reading: {error}")
            else:
                found += [value] if value is not None else []
    return sum(found) / len(found) if found else math.nan


def mash_efficiency_by_readings(
    evidence: Evidence, kettle_loss_l: tuple[float, float]
) -> Observed | None:
    """Mash efficiency as a brewer computes it: extract in the kettle by extract in the grain.

    From the pre-boil reading where there is one, otherwise from the original gravity with the
    volume after the boil, or that in the fermenter plus the kettle loss (mean and sd). None if
    none of them can be had.
    """
    preboil, original = evidence.preboil_gravity, _original_gravity(evidence)
    added_kg = evidence.kettle_extract_kg
    in_kettle_l = evidence.fermenter_l + kettle_loss_l[0] + evidence.hop_uptake_l
    for gravity, volume_l, added, more_sd_l in (
        (preboil, evidence.preboil_l, 0.0, 0.0),
        (original, evidence.postboil_l, added_kg, 0.0),
        (original, in_kettle_l, added_kg, kettle_loss_l[1]),
        (preboil, evidence.planned_preboil_l, 0.0, 0.0),
    ):
        if not math.isnan(gravity * volume_l):
            extract_kg = volume_l * extract_kg_per_l(gravity)
            volume_sd = math.hypot(VOLUME_RELATIVE_SD, more_sd_l / volume_l)
            sd_kg = extract_kg * math.hypot(GRAVITY_SD / (gravity - 1.0), volume_sd)
            kg = evidence.potential_kg
            return Observed((extract_kg - added) / kg, sd_kg / kg)
    return None


def _original_gravity(evidence: Evidence) -> float:
    if math.isnan(evidence.postboil_gravity):
        return evidence.fermenter_gravity
    return evidence.postboil_gravity


def is_data_error(observed: Observed | None) -> bool:
    """Whether a computed efficiency is above what any brewhouse reaches."""
    return observed is not None and observed.mean > LARGEST_EFFICIENCY
