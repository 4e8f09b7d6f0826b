"""What a calibration is worth."""

from typing import Any

from marshmallow import fields, pre_dump

from wortwright.api.schemas import OutSchema
from wortwright.api.shapes.common import Id, fraction_field, shallow, volume_field
from wortwright.api.shapes.plan import FractionIntervalOut
from wortwright.calibration.report import PROBABILITIES, CurvePoint, SessionPoint


class CurvePointOut(OutSchema):
    """Mash efficiency to come at one grain load: its mean, and where it will lie.

    The spread of its logarithm comes of what is not known of the setup (`curve_log_sd`), of how
    brews differ (`brew_log_sd`), and of reading it (`measurement_log_sd`).
    """

    grain_load_kg_per_l = fields.Float(required=True)
    potential_kg_per_l = fields.Float(required=True)
    mean = fraction_field("mean", required=True)
    interval_50 = fields.Nested(FractionIntervalOut(), required=True)
    interval_80 = fields.Nested(FractionIntervalOut(), required=True)
    interval_95 = fields.Nested(FractionIntervalOut(), required=True)
    curve_log_sd = fields.Float(required=True)
    brew_log_sd = fields.Float(required=True)
    measurement_log_sd = fields.Float(required=True)
    outside_seen_range = fields.Float(required=True, allow_none=True)

    @pre_dump
    def flatten(self, point: CurvePoint, **_: Any) -> dict[str, Any]:
        """Name the intervals by their probability."""
        intervals = {
            f"interval_{probability * 100:.0f}": {"low": low, "high": high}
            for probability, (low, high) in zip(PROBABILITIES, point.intervals, strict=True)
        }
        return {**shallow(point), **shallow(point.forecast), **intervals}


class SessionPointOut(OutSchema):
    """One session beside the curve.

    `influence` is how far the curve there would move without it; null if it was not left out.
    `weight` is below 1 where the session is not believed in full, for the reason given.
    """

    session_id = Id(required=True)
    grain_load_kg_per_l = fields.Float(required=True)
    observed = fraction_field("observed", required=True)
    observed_sd = fields.Float(required=True)
    expected = fraction_field("expected", required=True)
    influence = fields.Float(required=True, allow_none=True)
    weight = fields.Float(required=True)
    reason = fields.String(required=True, allow_none=True)

    @pre_dump
    def flatten(self, point: SessionPoint, **_: Any) -> dict[str, Any]:
        """Put what was observed and found beside the rest."""
        finding = point.finding
        return {
            **shallow(point),
            "observed": point.observed.mean,
            "observed_sd": point.observed.sd,
            "weight": 1.0 if finding is None else finding.weight,
            "reason": None if finding is None else finding.reason,
        }


class LeaveOneOutOut(OutSchema):
    """Each session forecast from all others: mean errors of pre-boil gravity in points."""

    session_count = fields.Integer(required=True)
    model_points = fields.Float(required=True)
    average_points = fields.Float(required=True)


class CalibrationReportOut(OutSchema):
    """What a calibration is worth: its curve, its sessions, and its record.

    `leave_one_out` sets the error of the curve beside that of the plain average of past
    efficiencies; it is null with fewer than two sessions.
    """

    number = fields.Integer(required=True, attribute="calibration.number")
    preboil_volume = volume_field("preboil_l", required=True)
    curve = fields.List(fields.Nested(CurvePointOut()), required=True, attribute="report.curve")
    sessions = fields.List(
        fields.Nested(SessionPointOut()), required=True, attribute="report.sessions"
    )
    leave_one_out = fields.Nested(
        LeaveOneOutOut(), required=True, allow_none=True, attribute="report.leave_one_out"
    )
