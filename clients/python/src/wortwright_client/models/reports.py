"""What the knowledge of a setup is worth."""

from dataclasses import dataclass

from wortwright_client._reading import Model
from wortwright_client.quantities import Interval, Quantity


@dataclass(frozen=True, kw_only=True)
class CurvePoint(Model):
    """Mash efficiency to come at one grain load: its mean, and where it will lie.

    The spread of its logarithm comes of what is not known of the setup (``curve_log_sd``), of
    how brews differ (``brew_log_sd``), and of reading it (``measurement_log_sd``).
    """

    grain_load_kg_per_l: float
    potential_kg_per_l: float
    potential_gravity: Quantity
    mean: Quantity
    interval_50: Interval
    interval_80: Interval
    interval_95: Interval
    curve_log_sd: float
    brew_log_sd: float
    measurement_log_sd: float
    outside_seen_range: float | None


@dataclass(frozen=True, kw_only=True)
class SessionPoint(Model):
    """One session beside the curve.

    ``influence`` is how far the curve there would move without it; None if it was not left out.
    The curve is that of the setup as it is now, and speaks no more of a brew ``before_change``.
    ``weight`` is below 1 where the session is not believed in full, for the reason given.
    """

    session_id: str
    grain_load_kg_per_l: float
    observed: Quantity
    observed_sd: float
    expected: Quantity
    influence: float | None
    before_change: bool
    weight: float
    reason: str | None


@dataclass(frozen=True, kw_only=True)
class LeaveOneOut(Model):
    """Each session forecast from all others: mean errors of pre-boil gravity in points."""

    session_count: int
    model_points: float
    average_points: float


@dataclass(frozen=True, kw_only=True)
class CalibrationReport(Model):
    """What a calibration is worth: its curve, its sessions, and its record.

    ``leave_one_out`` sets the error of the curve beside that of the plain average of past
    efficiencies; it is None with fewer than two sessions.
    """

    number: int
    preboil_volume: Quantity
    curve: tuple[CurvePoint, ...]
    grid: tuple[CurvePoint, ...]
    sessions: tuple[SessionPoint, ...]
    leave_one_out: LeaveOneOut | None


@dataclass(frozen=True, kw_only=True)
class ForecastAt(Model):
    """The forecast of one mash, by what is known of its setup now."""

    number: int
    preboil_volume: Quantity
    forecast: CurvePoint
