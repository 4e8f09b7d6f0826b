"""A fermentation: where it will end, how far it is, and whether it has finished."""

from dataclasses import dataclass

from wortwright.brewing.alcohol import real_attenuation
from wortwright.brewing.attenuation import (
    Alcohol,
    FinalGravity,
    YeastAttenuation,
    alcohol,
    attenuation_as_stated,
    attenuation_of_class,
    final_gravity_forecast,
)
from wortwright.brewing.fermentation import (
    USUAL_DAYS_TO_STAY,
    FermentationState,
    GravityReading,
    Progress,
    gravity_to_expect,
    progress,
)
from wortwright.brewing.hydrometer import gravity_at_20
from wortwright.brewing.tables.yeast import YeastClass, attenuation_class
from wortwright.planning.cautions import Caution, caution
from wortwright.planning.hazards import STRONG_BY_VOLUME
from wortwright.planning.plan import Finding, Forecast
from wortwright.records.sentence import in_percent

_MEANING = {
    FermentationState.TOO_FEW_READINGS: "Two readings some days apart are needed to tell.",
    FermentationState.FALLING: "It is still fermenting: do not bottle.",
    FermentationState.NOT_LONG_ENOUGH: (
        "The gravity has not stayed the same for long enough: read it again in some days."
    ),
    FermentationState.STUCK: (
        "The gravity stays above what was expected: it may be stuck and wake up in the bottle. "
        "Warm and rouse it, and do not bottle."
    ),
    FermentationState.FINISHED: "It has finished.",
}


@dataclass(frozen=True, slots=True)
class FermentingYeast:
    """The yeast: its class, or the apparent attenuation that its maker states."""

    yeast_class: YeastClass | None = None
    apparent_attenuation: float | None = None


@dataclass(frozen=True, slots=True)
class ReadGravity:
    """A hydrometer reading: days after pitching, gravity as read, temperature of the sample."""

    after_days: float
    gravity: float
    temperature_c: float = 20.0


@dataclass(frozen=True, slots=True)
class Fermentation:
    """A wort and its yeast, and what was read since.

    ``sugar_share`` is the part of the extract that is simple sugar [fraction].
    """

    original_gravity: float
    yeast: FermentingYeast = FermentingYeast()
    mash_temperature_c: float | None = None
    sugar_share: float = 0.0
    readings: tuple[ReadGravity, ...] = ()


@dataclass(frozen=True, slots=True)
class FermentationReport:
    """Where it will end, what the last reading says, and what bottling has to reckon with."""

    summary: str
    final_gravity: Forecast
    apparent_attenuation: float
    state: FermentationState
    finished: bool
    days_stable: float
    days_to_stay: float
    gravity: float | None
    alcohol: Alcohol | None
    real_attenuation: float | None
    gravity_to_expect: float
    warnings: tuple[Finding, ...]
    cautions: tuple[Caution, ...]


def report_fermentation(fermentation: Fermentation) -> FermentationReport:
    """Judge a fermentation.

    Parameters
    ----------
    fermentation : Fermentation
        Wort, yeast and readings.

    Returns
    -------
    FermentationReport
        Forecast, attenuation and alcohol by the last reading, finished or not.

    Raises
    ------
    OutOfRangeError
        For values outside their range, or a reading above the original gravity.
    """
    yeast = _attenuation(fermentation.yeast)
    forecast = final_gravity_forecast(
        fermentation.original_gravity,
        yeast,
        fermentation.mash_temperature_c,
        fermentation.sugar_share,
    )
    days_to_stay = _days_to_stay(fermentation.yeast)
    now = progress(tuple(map(_at_20, fermentation.readings)), forecast, days_to_stay)
    made = None if now.gravity is None else alcohol(fermentation.original_gravity, now.gravity)
    return FermentationReport(
        summary=_summary(now, made),
        final_gravity=Forecast(forecast.mean, forecast.low_80, forecast.high_80),
        apparent_attenuation=forecast.apparent_attenuation,
        state=now.state,
        finished=now.state is FermentationState.FINISHED,
        days_stable=now.days_stable,
        days_to_stay=days_to_stay,
        gravity=now.gravity,
        alcohol=made,
        real_attenuation=None
        if now.gravity is None
        else real_attenuation(fermentation.original_gravity, now.gravity),
        gravity_to_expect=gravity_to_expect(now, forecast),
        warnings=tuple(_warnings(fermentation, forecast, now)),
        cautions=tuple(map(caution, _codes(now, made))),
    )


def stops_of(fermentation: Fermentation) -> dict[str, float]:
    """Tell what a bottling has to know of a fermentation.

    Parameters
    ----------
    fermentation : Fermentation
        Wort, yeast and readings.

    Returns
    -------
    dict
        Gravity to expect and the lowest it may come to; of a fermentation that was read also
        the gravity now and the alcohol.

    Raises
    ------
    OutOfRangeError
        As `report_fermentation`.
    """
    report = report_fermentation(fermentation)
    expected = report.gravity_to_expect
    lowest = expected if report.finished else min(expected, report.final_gravity.low_80)
    stops = {"expected_final_gravity": expected, "lowest_final_gravity": lowest}
    if report.gravity is None or report.alcohol is None:
        return stops
    return {**stops, "gravity": report.gravity, "alcohol": report.alcohol.by_volume}


def _attenuation(yeast: FermentingYeast) -> YeastAttenuation:
    if yeast.apparent_attenuation is not None:
        return attenuation_as_stated(yeast.apparent_attenuation)
    return attenuation_of_class(yeast.yeast_class or YeastClass.MEDIUM)


def _days_to_stay(yeast: FermentingYeast) -> float:
    if yeast.yeast_class is None:
        return USUAL_DAYS_TO_STAY
    return attenuation_class(yeast.yeast_class).days_to_stay


def _at_20(reading: ReadGravity) -> GravityReading:
    return GravityReading(reading.after_days, gravity_at_20(reading.gravity, reading.temperature_c))


def _summary(now: Progress, made: Alcohol | None) -> str:
    said = _MEANING[now.state]
    if made is None or now.gravity is None:
        return said
    return (
        f"{said} At {now.gravity:.3f} it holds {in_percent(made.by_volume, 1)} of alcohol by "
        f"volume, {in_percent(made.apparent_attenuation)} attenuated."
    )


def _warnings(fermentation: Fermentation, forecast: FinalGravity, now: Progress) -> list[Finding]:
    found = []
    yeast = fermentation.yeast
    if yeast.yeast_class is None and yeast.apparent_attenuation is None:
        found.append(
            Finding(
                "yeast_assumed", "The yeast is not known: one of medium attenuation was assumed."
            )
        )
    if forecast.tolerance_passed:
        found.append(
            Finding(
                "alcohol_tolerance",
                "The beer would hold more alcohol than this yeast bears; it may stop higher.",
            )
        )
    if now.state is not FermentationState.FINISHED:
        found.append(Finding(f"fermentation_{now.state}", _MEANING[now.state]))
    elif now.gravity is not None and now.gravity < forecast.low_80 - 0.001:
        found.append(
            Finding(
                "below_forecast",
                f"{now.gravity:.3f} is below what was expected: wild yeast or a misread "
                "instrument. Wait and read again before bottling.",
            )
        )
    return found


def _codes(now: Progress, made: Alcohol | None) -> list[str]:
    codes = ["fermentation_gas"]
    if now.state is not FermentationState.FINISHED:
        codes += ["sealed_vessel", "bottle_pressure"]
    if made is not None and made.by_volume >= STRONG_BY_VOLUME:
        codes.append("strong_drink")
    return codes
