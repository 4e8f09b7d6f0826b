"""The wort of a brew under way: volume and extract as the readings so far tell them.

The last reading counts as it was read; what it leaves open is carried forward from the
readings before it, and from the plan where there are none.
"""

import math
from dataclasses import dataclass, replace
from statistics import fmean

from wortwright.brewing.gravity import extract_kg_per_l, gravity_of_wort, plato_from_gravity
from wortwright.brewing.mash_water import EXTRACT_VOLUME_L_PER_KG, conversion_from_first_wort
from wortwright.calibration.curve import PARAMETERS, Mash, Parameters, log_sensitivities
from wortwright.calibration.efficiency import expected_conversion
from wortwright.calibration.posterior import Calibration, MashPlan
from wortwright.calibration.priors import (
    FIRST_WORT_RELATIVE_SD,
    GRAVITY_SD,
    VOLUME_RELATIVE_SD,
)
from wortwright.planning.kettle.course import PLANNED_RELATIVE_SD, Course
from wortwright.planning.kettle.kettle_reading import CorrectedReading, ReadingError
from wortwright.planning.spread import Uncertain
from wortwright.records.session import Stage
from wortwright.records.setup import LauterMethod

BREW_DAY = (
    Stage.MASH_END,
    Stage.FIRST_WORT,
    Stage.PRE_BOIL,
    Stage.MID_BOIL,
    Stage.POST_BOIL,
    Stage.FERMENTER,
)


@dataclass(frozen=True, slots=True)
class Wort:
    """Wort at one moment. An error of the volume moves the extract by ``extract_by_volume``
    (change of its logarithm per standard deviation of the volume); the rest of the spread of
    the extract is its own.
    """  # noqa: D205

    stage: Stage
    boiled_min: float
    volume: Uncertain
    extract_kg: float
    extract_by_volume: float
    extract_log_sd: float
    boil_off: Uncertain
    boiled_unread_h: float
    preboil_l: float
    postboil_l: float

    @property
    def gravity(self) -> float:
        """Gravity of the wort now. [SG]"""
        return gravity_of_wort(self.extract_kg, self.volume.mean)


def wort_as_read(
    course: Course, calibration: Calibration, readings: tuple[CorrectedReading, ...]
) -> Wort:
    """Follow a brew through its readings.

    Parameters
    ----------
    course : Course
        The brew as planned.
    calibration : Calibration
        What the setup does; for a first wort.
    readings : tuple of CorrectedReading
        In any order; several of one moment are averaged.

    Returns
    -------
    Wort
        At the moment of the last reading, or at the end of the mash without any.

    Raises
    ------
    ReadingError
        For a reading in the boil without its time, or wort that does not add up.
    """
    wort = _as_planned(course)
    for read in _merged(readings):
        if read.stage in (Stage.MASH_END, Stage.FIRST_WORT):
            wort = _with_first_wort(wort, course, calibration, read)
        else:
            wort = _with_reading(_moved_to(wort, course, read), read)
    return wort


def _as_planned(course: Course) -> Wort:
    return Wort(
        stage=Stage.MASH_END,
        boiled_min=0.0,
        volume=Uncertain(course.preboil_l, PLANNED_RELATIVE_SD * course.preboil_l),
        extract_kg=course.mash_extract_kg,
        extract_by_volume=0.0,
        extract_log_sd=course.mash_log_sd,
        boil_off=course.boil_off,
        boiled_unread_h=0.0,
        preboil_l=course.preboil_l,
        postboil_l=course.postboil_l,
    )


def _merged(readings: tuple[CorrectedReading, ...]) -> list[CorrectedReading]:
    """One reading a moment, in the order of the day."""
    moments: dict[tuple[int, float], list[CorrectedReading]] = {}
    for read in readings:
        if read.stage in BREW_DAY:
            key = (BREW_DAY.index(read.stage), _minutes(read))
            moments.setdefault(key, []).append(read)
    return [
        replace(
            several[0],
            volume_l=_mean([read.volume_l for read in several]),
            gravity=_mean([read.gravity for read in several]),
        )
        for _, several in sorted(moments.items())
    ]


def _minutes(read: CorrectedReading) -> float:
    if read.stage is not Stage.MID_BOIL:
        return 0.0
    if read.boiled_min is None:
        raise ReadingError("boiled", "a reading in the boil needs the minutes boiled so far")
    return read.boiled_min


def _mean(values: list[float | None]) -> float | None:
    known = [value for value in values if value is not None]
    return fmean(known) if known else None


def _with_first_wort(
    wort: Wort, course: Course, calibration: Calibration, read: CorrectedReading
) -> Wort:
    """A stirred mash or first wort tells the conversion; without sparge, the whole wort."""
    if read.gravity is None:
        return replace(wort, stage=read.stage)
    if course.method is LauterMethod.NO_SPARGE:
        volume = wort.volume
        return replace(
            wort,
            stage=read.stage,
            extract_kg=extract_kg_per_l(read.gravity) * volume.mean,
            extract_by_volume=volume.sd / volume.mean,
            extract_log_sd=FIRST_WORT_RELATIVE_SD,
        )
    extract_yield = course.potential_kg / course.grain_kg
    plan = MashPlan(course.grain_kg, extract_yield, course.preboil_l, course.strike_l)
    conversion = conversion_from_first_wort(
        plato_from_gravity(read.gravity), course.strike_l, course.grain_kg, extract_yield
    )
    return replace(
        wort,
        stage=read.stage,
        extract_kg=course.mash_extract_kg * conversion / expected_conversion(calibration, plan),
        extract_by_volume=0.0,
        extract_log_sd=math.hypot(FIRST_WORT_RELATIVE_SD, _lauter_log_sd(calibration, plan)),
    )


def _lauter_log_sd(calibration: Calibration, plan: MashPlan) -> float:
    """Spread of the mash efficiency that stays when the conversion is known."""
    known = calibration.efficiency
    mash = Mash(plan.grain_kg, plan.extract_yield, plan.preboil_l, plan.strike_water_l or 0.0)
    slopes = log_sensitivities(Parameters(*known.mean), known.method, known.runnings, mash)
    told = {PARAMETERS.index("conversion"), PARAMETERS.index("conversion_loss_per_kg_per_l")}
    left = [0.0 if place in told else s for place, s in enumerate(slopes)]
    variance = sum(
        one * other * covariance
        for one, row in zip(left, known.covariance, strict=True)
        for other, covariance in zip(left, row, strict=True)
    )
    return math.sqrt(variance + known.brew_log_sd**2)


def _moved_to(wort: Wort, course: Course, read: CorrectedReading) -> Wort:
    """The wort as expected at the moment of a reading, before that is looked at."""
    if read.stage is Stage.PRE_BOIL:
        return replace(wort, stage=Stage.PRE_BOIL)
    if read.stage is Stage.MID_BOIL:
        return replace(_boiled_to(wort, _minutes(read)), stage=Stage.MID_BOIL)
    if wort.stage is not Stage.POST_BOIL:
        minutes = course.boil_min if read.boiled_min is None else read.boiled_min
        wort = with_extract(_boiled_to(wort, max(minutes, wort.boiled_min)), course)
    if read.stage is Stage.POST_BOIL:
        return replace(wort, stage=Stage.POST_BOIL)
    return _into_fermenter(wort, course)


def _boiled_to(wort: Wort, minutes: float) -> Wort:
    if minutes < wort.boiled_min:
        raise ReadingError("boiled", "readings of the boil go back in time")
    hours = (minutes - wort.boiled_min) / 60.0
    left_l = wort.volume.mean - wort.boil_off.mean * hours
    if left_l <= 0.0:
        raise ReadingError("boiled", "the kettle would have boiled dry by then")
    unread_h = wort.boiled_unread_h + hours
    sd_l = math.hypot(_sd_but_for_boiling_l(wort), wort.boil_off.sd * unread_h)
    # The extract still goes with the volume as it was read, not with what has boiled off.
    share = min(1.0, wort.volume.sd / sd_l) if sd_l > 0.0 else 0.0
    common = wort.extract_by_volume * share
    own = math.hypot(wort.extract_log_sd, wort.extract_by_volume * math.sqrt(1.0 - share**2))
    return replace(
        wort,
        boiled_min=minutes,
        volume=Uncertain(left_l, sd_l),
        extract_by_volume=common,
        extract_log_sd=own,
        boiled_unread_h=unread_h,
        postboil_l=left_l,
    )


def _sd_but_for_boiling_l(wort: Wort) -> float:
    """Spread of the volume but for what boiled off since it was read: at one rate all the time."""
    boiled_sd_l = wort.boil_off.sd * wort.boiled_unread_h
    return math.sqrt(max(0.0, wort.volume.sd**2 - boiled_sd_l**2))


def with_extract(wort: Wort, course: Course) -> Wort:
    """Return the wort with what is added to the kettle."""
    added_kg = course.kettle_extract_kg
    volume_l = wort.volume.mean + EXTRACT_VOLUME_L_PER_KG * added_kg
    share = wort.extract_kg / (wort.extract_kg + added_kg)
    return replace(
        wort,
        stage=Stage.POST_BOIL,
        volume=Uncertain(volume_l, wort.volume.sd),
        extract_kg=wort.extract_kg + added_kg,
        extract_by_volume=wort.extract_by_volume * share,
        extract_log_sd=wort.extract_log_sd * share,
        postboil_l=volume_l,
    )


def _into_fermenter(wort: Wort, course: Course) -> Wort:
    volume_l = wort.volume.mean - course.kettle_loss.mean
    if volume_l <= 0.0:
        raise ReadingError("volume", "nothing would be left after the kettle loss")
    sd_l = math.hypot(wort.volume.sd, course.kettle_loss.sd)
    # What stays behind is as strong as what goes over, so the strength keeps its spread.
    by_volume = wort.extract_by_volume - wort.volume.sd / wort.volume.mean
    return replace(
        wort,
        stage=Stage.FERMENTER,
        volume=Uncertain(volume_l, sd_l),
        extract_kg=wort.extract_kg * volume_l / wort.volume.mean,
        extract_by_volume=sd_l / volume_l,
        extract_log_sd=math.hypot(wort.extract_log_sd, by_volume),
    )


def _with_reading(wort: Wort, read: CorrectedReading) -> Wort:
    if read.volume_l is not None:
        wort = _with_volume(wort, read.volume_l)
    if read.gravity is not None:
        relative_sd = GRAVITY_SD / (read.gravity - 1.0)
        wort = replace(
            wort,
            extract_kg=extract_kg_per_l(read.gravity) * wort.volume.mean,
            extract_by_volume=wort.volume.sd / wort.volume.mean,
            extract_log_sd=relative_sd,
        )
    return wort


def _with_volume(wort: Wort, volume_l: float) -> Wort:
    volume = Uncertain(volume_l, VOLUME_RELATIVE_SD * volume_l)
    if wort.stage is Stage.FERMENTER:
        # A volume in the fermenter says how much came over, not how strong it is.
        by_volume = wort.extract_by_volume - wort.volume.sd / wort.volume.mean
        return replace(
            wort,
            volume=volume,
            extract_kg=wort.extract_kg * volume_l / wort.volume.mean,
            extract_by_volume=volume.sd / volume_l,
            extract_log_sd=math.hypot(wort.extract_log_sd, by_volume),
        )
    known = replace(
        wort,
        volume=volume,
        boil_off=_boil_off_learnt(wort, volume),
        boiled_unread_h=0.0,
        extract_by_volume=0.0,
        extract_log_sd=math.hypot(wort.extract_log_sd, wort.extract_by_volume),
        postboil_l=volume_l,
    )
    if wort.stage is Stage.PRE_BOIL:
        return replace(known, preboil_l=volume_l)
    return known


def _boil_off_learnt(wort: Wort, volume: Uncertain) -> Uncertain:
    """Boil-off after a volume was read: what it says is weighed against what was known."""
    rate = wort.boil_off
    with_volume = -wort.boiled_unread_h * rate.sd**2
    variance = wort.volume.sd**2 + volume.sd**2
    learnt = rate.mean + with_volume / variance * (volume.mean - wort.volume.mean)
    left = rate.sd**2 - with_volume**2 / variance
    # Never below nothing but for rounding.
    return Uncertain(max(learnt, 0.0), math.sqrt(max(left, 0.0)))
