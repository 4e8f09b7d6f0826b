"""What a session taught: the calibration before it was counted and after."""

from dataclasses import dataclass

from wortwright.brewing.gravity import gravity_from_extract_kg_per_l
from wortwright.calibration.efficiency import EfficiencyForecast, forecast_mash_efficiency
from wortwright.calibration.intervals import SCORE_80
from wortwright.calibration.posterior import Calibration, Estimate, MashPlan
from wortwright.calibration.priors import USUAL_EXTRACT_YIELD, USUAL_LOAD_KG_PER_L
from wortwright.calibration.reconciliation import POINTS

STRONG_LOAD_KG_PER_L = 0.40
"""Grain load of a strong beer, by which a lesson is judged; common practice."""

SAME_POINTS = 0.05
"""A forecast that moved by less is the same."""

OF_NOTE = 0.1
"""A constant moved if it did by more than this share of its spread before."""

WORDS = {
    "conversion": "conversion",
    "conversion_loss_per_kg_per_l": "what a thick mash fails to convert",
    "absorption_l_per_kg": "what the grain keeps",
    "dead_space_l": "dead space",
    "bypass": "what the sparge does not reach",
    "washing": "how well the sparge washes",
    "boil_off_l_per_h": "boil-off",
    "kettle_loss_l": "wort left in the kettle",
    "fermenter_loss_l": "what stays in the fermenter",
    "mash_heat_loss_c_per_h": "cooling of the mash",
    "mash_in_offset_c": "temperature after mashing in",
    "vessel_heat_kg": "heat that the vessel takes",
}


@dataclass(frozen=True, slots=True)
class Moved:
    """A constant before and after."""

    name: str
    before: Estimate
    after: Estimate


@dataclass(frozen=True, slots=True)
class ForecastMoved:
    """What a beer is forecast to give, before and after: mash efficiency and pre-boil gravity."""

    grain_load_kg_per_l: float
    before: EfficiencyForecast
    after: EfficiencyForecast
    gravity_before: float
    gravity_after: float

    @property
    def points(self) -> float:
        """Gravity points by which the forecast moved."""
        return POINTS * (self.gravity_after - self.gravity_before)


@dataclass(frozen=True, slots=True)
class Lesson:
    """What changed with one session: constants, a usual and a strong beer, and a sentence."""

    constants: tuple[Moved, ...]
    usual: ForecastMoved
    strong: ForecastMoved
    detail: str


def lesson_of(before: Calibration, after: Calibration, preboil_l: float) -> Lesson:
    """Tell two calibrations apart, for beers of so much wort before the boil."""
    usual, strong = (
        _forecast_moved(before, after, load, preboil_l)
        for load in (USUAL_LOAD_KG_PER_L, STRONG_LOAD_KG_PER_L)
    )
    moved = tuple(
        Moved(name, before.constants[name], estimate)
        for name, estimate in after.constants.items()
        if name in before.constants
    )
    return Lesson(moved, usual, strong, _told(moved, usual, strong))


def _forecast_moved(
    before: Calibration, after: Calibration, load_kg_per_l: float, preboil_l: float
) -> ForecastMoved:
    plan = MashPlan(load_kg_per_l * preboil_l, USUAL_EXTRACT_YIELD, preboil_l)
    was, now = (forecast_mash_efficiency(one, plan) for one in (before, after))
    gravity_was, gravity_now = (
        gravity_from_extract_kg_per_l(one.mean * plan.potential_kg_per_l) for one in (was, now)
    )
    return ForecastMoved(load_kg_per_l, was, now, gravity_was, gravity_now)


def _told(moved: tuple[Moved, ...], usual: ForecastMoved, strong: ForecastMoved) -> str:
    said = [
        f"After this brew a strong beer is expected {_by(strong.points)} before the boil, "
        f"a usual one {_by(usual.points)}.",
        f"The 80 % interval of a strong beer's mash efficiency {_width(strong)}.",
    ]
    of_note = [one for one in moved if _moved_by(one) > OF_NOTE and one.name in WORDS]
    if of_note:
        most = max(of_note, key=_moved_by)
        side = "more" if most.after.mean > most.before.mean else "less"
        said.append(f"What moved most is {WORDS[most.name]}: {side} than was thought.")
    return " ".join(said)


def _by(points: float) -> str:
    if abs(points) < SAME_POINTS:
        return "as strong as it was"
    return f"{abs(points):.1f} points {'higher' if points > 0.0 else 'lower'}"


def _width(strong: ForecastMoved) -> str:
    before, after = (
        100.0 * (high - low)
        for low, high in (strong.before.interval(0.80), strong.after.interval(0.80))
    )
    if abs(before - after) < SAME_POINTS:
        return f"stays {after:.1f} percentage points wide"
    verb = "narrows" if after < before else "widens"
    return f"{verb} from {before:.1f} to {after:.1f} percentage points"


def _moved_by(one: Moved) -> float:
    """By how many of its standard deviations before a constant moved."""
    return abs(one.after.mean - one.before.mean) / one.before.sd if one.before.sd > 0.0 else 0.0


def ends_80(estimate: Estimate) -> tuple[float, float]:
    """Both ends of the 80 % interval of a constant."""
    return estimate.mean - SCORE_80 * estimate.sd, estimate.mean + SCORE_80 * estimate.sd
