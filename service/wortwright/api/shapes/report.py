"""What a calibration is worth."""

from typing import Any

from marshmallow import ValidationError, fields, post_load, pre_dump, validate

from wortwright.api.refusal import Refusal
from wortwright.api.schemas import InSchema, OutSchema
from wortwright.api.shapes.common import Id, fraction_field, gravity_field, shallow, volume_field
from wortwright.api.shapes.plan import FractionIntervalOut
from wortwright.calibration.priors import USUAL_LOAD_KG_PER_L
from wortwright.calibration.report import PROBABILITIES, CurvePoint, SessionPoint

LOADS_FORECAST = (0.05, 0.60)
"""Grain loads that a mash can have: above them it could not be stirred."""

LEAST_YIELD, MOST_YIELD = 0.40, 0.90
"""Extract of grain as weighed, from the least that is mashed to more than any malt holds."""


class CurvePointOut(OutSchema):
    """Mash efficiency to come at one grain load: its mean, and where it will lie.

    The spread of its logarithm comes of what is not known of the setup (`curve_log_sd`), of how
    brews differ (`brew_log_sd`), and of reading it (`measurement_log_sd`).
    """

    grain_load_kg_per_l = fields.Float(required=True)
    potential_kg_per_l = fields.Float(required=True)
    potential_gravity = gravity_field("potential_gravity", maximum=1.3, required=True)
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

    `influence` is how far the curve there would move without it; null if it was not left out. The
    curve is that of the setup as it is now, and speaks no more of a brew `before_change`.
    `weight` is below 1 where the session is not believed in full, for the reason given.
    """

    session_id = Id(required=True)
    grain_load_kg_per_l = fields.Float(required=True)
    observed = fraction_field("observed", required=True)
    observed_sd = fields.Float(required=True)
    expected = fraction_field("expected", required=True)
    influence = fields.Float(required=True, allow_none=True)
    before_change = fields.Boolean(required=True)
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

    `curve` is over the grain load of usual malt, `grid` over grain load and potential.

    `leave_one_out` sets the error of the curve beside that of the plain average of past
    efficiencies; it is null with fewer than two sessions.
    """

    number = fields.Integer(required=True, attribute="calibration.number")
    preboil_volume = volume_field("preboil_l", required=True)
    curve = fields.List(fields.Nested(CurvePointOut()), required=True, attribute="report.curve")
    grid = fields.List(fields.Nested(CurvePointOut()), required=True, attribute="report.grid")
    sessions = fields.List(
        fields.Nested(SessionPointOut()), required=True, attribute="report.sessions"
    )
    leave_one_out = fields.Nested(
        LeaveOneOutOut(), required=True, allow_none=True, attribute="report.leave_one_out"
    )


class ForecastQuery(InSchema):
    """Of which mash to forecast the efficiency."""

    grain_load_kg_per_l = fields.Float(
        load_default=USUAL_LOAD_KG_PER_L,
        validate=validate.Range(*LOADS_FORECAST),
        metadata={"description": "Grain by the wort before the boil; without, a usual one."},
    )
    potential_kg_per_l = fields.Float(
        load_default=None,
        validate=validate.Range(0.0, LOADS_FORECAST[1], min_inclusive=False),
        metadata={"description": "All its extract by that wort; without, that of usual malt."},
    )

    @post_load
    def check(self, query: dict[str, Any], **_: Any) -> dict[str, Any]:
        """Refuse more extract than grain holds."""
        load, potential = query["grain_load_kg_per_l"], query["potential_kg_per_l"]
        if potential is not None and not LEAST_YIELD <= potential / load <= MOST_YIELD:
            least, most = LEAST_YIELD * load, MOST_YIELD * load
            accepted = f"{least:.3f} to {most:.3f} kg/L"
            message = f"Grain of {load:g} kg/L holds no such extract; {accepted} is accepted."
            raise ValidationError({"potential_kg_per_l": [Refusal(message, (accepted,))]})
        return query


class ForecastAtOut(OutSchema):
    """The forecast of one mash, by what is known of its setup now."""

    number = fields.Integer(required=True, attribute="calibration.number")
    preboil_volume = volume_field("preboil_l", required=True)
    forecast = fields.Nested(CurvePointOut(), required=True, attribute="point")
