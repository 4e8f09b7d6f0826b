"""The log of a brew day: readings in; where the brew will end and what corrects it out."""

from collections.abc import Sequence
from dataclasses import dataclass

from wortwright.calibration.posterior import Calibration
from wortwright.planning.kettle.beyond_mending import cannot_be_mended
from wortwright.planning.kettle.corrections import Correction, corrections
from wortwright.planning.kettle.course import Course, course_of
from wortwright.planning.kettle.kettle_reading import CorrectedReading, KettleReading, correct
from wortwright.planning.kettle.outlook import Outlook, outlook
from wortwright.planning.kettle.position import NEAR_GRAVITY, NEAR_IBU, position_of
from wortwright.planning.kettle.wort import Wort, wort_as_read
from wortwright.planning.limits import Limits
from wortwright.planning.plan import Finding, Forecast, Plan
from wortwright.records.sentence import in_percent
from wortwright.records.session import Stage
from wortwright.records.setup import Setup

# More than this share of error between two readings of one extract; common practice.
DISAGREE = 0.06


@dataclass(frozen=True, slots=True)
class KettleLog:
    """What the readings of a day say so far.

    ``boil_off_l_per_h`` is what is reckoned with for the rest of the boil. ``on_target`` says
    that gravity and bitterness need nothing done.
    """

    stage: Stage
    boiled_min: float
    corrected: tuple[CorrectedReading, ...]
    volume_l: Forecast
    gravity: float
    boil_off_l_per_h: Forecast
    outlook: Outlook
    on_target: bool
    corrections: tuple[Correction, ...]
    cannot_be_mended: tuple[Finding, ...]
    findings: tuple[Finding, ...]


def read_kettle(
    plan: Plan,
    setup: Setup,
    calibration: Calibration,
    readings: Sequence[KettleReading],
    limits: Limits | None = None,
) -> KettleLog:
    """Say where a brew under way stands, where it will end, and what corrects it.

    Sugar and extract for the kettle are taken to go in after the last reading in the boil.

    Parameters
    ----------
    plan : Plan
        The plan that is being brewed.
    setup : Setup
        Kettle and fermenters.
    calibration : Calibration
        What the setup does.
    readings : sequence of KettleReading
        Of the end of the mash, first wort, before, in and after the boil, and the fermenter.
    limits : Limits, optional
        What the brewer will not do.

    Returns
    -------
    KettleLog
        As of the last reading; without any, as planned.

    Raises
    ------
    ReadingError
        For readings that contradict the setup or one another.
    """
    course = course_of(plan, calibration)
    corrected = tuple(correct(read, setup.vessels.kettle) for read in readings)
    wort = wort_as_read(course, calibration, corrected)
    here = position_of(wort, course, limits or Limits(), setup.vessels)
    ahead = outlook(wort, course, here.base)
    offered = corrections(here)
    return KettleLog(
        stage=wort.stage,
        boiled_min=wort.boiled_min,
        corrected=corrected,
        volume_l=wort.volume.forecast(),
        gravity=wort.gravity,
        boil_off_l_per_h=wort.boil_off.forecast(),
        outlook=ahead,
        on_target=_on_target(ahead, course),
        corrections=offered,
        cannot_be_mended=cannot_be_mended(here, offered),
        findings=(
            *(finding for read in corrected for finding in read.findings),
            *_disagreements(course, calibration, corrected, wort),
        ),
    )


def _on_target(ahead: Outlook, course: Course) -> bool:
    gravity = abs(ahead.original_gravity.mean - course.gravity) < NEAR_GRAVITY
    return gravity and abs(ahead.bitterness_ibu - course.bitterness_ibu) < NEAR_IBU


def _disagreements(
    course: Course, calibration: Calibration, corrected: tuple[CorrectedReading, ...], wort: Wort
) -> list[Finding]:
    """Say so where the last reading and those before it tell of different extract."""
    last = [read for read in corrected if read.stage is wort.stage]
    if wort.stage in (Stage.FERMENTER, Stage.MASH_END) or not any(r.gravity for r in last):
        return []
    before = tuple(read for read in corrected if read.stage is not wort.stage)
    if not any(read.gravity for read in before):
        return []
    earlier = wort_as_read(course, calibration, before)
    added_kg = course.kettle_extract_kg if wort.stage is Stage.POST_BOIL else 0.0
    share = wort.extract_kg / (earlier.extract_kg + added_kg) - 1.0
    if abs(share) < DISAGREE:
        return []
    return [
        Finding(
            "readings_disagree",
            f"The last reading tells of {in_percent(abs(share))} {'more' if share > 0 else 'less'} "
            "extract than those before it, and extract neither comes nor goes in the boil. "
            "Stir, cool the sample and read again; the last one was believed.",
        )
    ]
