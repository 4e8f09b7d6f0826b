"""What one brew says: reconciled, beside another, and what it taught."""

from typing import Any

from marshmallow import fields, pre_dump

from wortwright.api.fields import Choice
from wortwright.api.schemas import InSchema, OutSchema
from wortwright.api.sentences import SentenceField
from wortwright.api.shapes.common import (
    Id,
    Rounded,
    gravity_field,
    shallow,
    volume_field,
)
from wortwright.api.shapes.learnt import AmountOut, constant_amount, constant_name
from wortwright.api.shapes.measured import MeasuredIntervalOut, MeasuredOut, interval_80
from wortwright.api.shapes.plan import FractionForecastOut
from wortwright.calibration.efficiency import EfficiencyForecast
from wortwright.calibration.extract_lost import Place, Verdict
from wortwright.calibration.figures import Name
from wortwright.calibration.lesson import ForecastMoved, Moved, ends_80
from wortwright.calibration.posterior import Estimate
from wortwright.calibration.reconciliation import Reconciled
from wortwright.calibration.session_comparison import Compared


class ReconciledOut(OutSchema):
    """One figure of a brew: as read at 20 degC, null if it was not, and what all readings say.

    `trust` is the probability that the reading is not wrong.
    """

    name = Choice(Name, required=True)
    read = fields.Nested(MeasuredOut(), required=True, allow_none=True)
    mean = fields.Nested(MeasuredOut(), required=True)
    interval_80 = fields.Nested(MeasuredIntervalOut(), required=True)
    trust = Rounded(3, required=True, allow_none=True)

    @pre_dump
    def put_ends_together(self, one: Reconciled, **_: Any) -> dict[str, Any]:
        """Write the ends of the interval as one thing."""
        return {**shallow(one), "interval_80": interval_80(one)}


class DisagreementOut(OutSchema):
    """A reading that is probably wrong, what the others allow, and how surely."""

    name = Choice(Name, required=True)
    read = fields.Nested(MeasuredOut(), required=True)
    expected = fields.Nested(MeasuredOut(), required=True)
    probability = Rounded(3, required=True)
    detail = SentenceField(required=True)


class ShareOut(OutSchema):
    """A share of the extract in the grain; the ends are those of its 80 % interval.

    Below 0 there was more than expected.
    """

    mean = Rounded(4, required=True)
    low_80 = Rounded(4, required=True)
    high_80 = Rounded(4, required=True)


class ExtractLostOut(OutSchema):
    """Where the extract of a brew went, against what is expected of its setup.

    It is lost in `conversion` where it did not dissolve, in `washing` where it stayed in the grain.
    `short` is the probability that less reached the kettle than expected, `in_conversion` that
    conversion fell shorter than washing; `certainty` is that of the `place`. `would_tell` is the
    reading that was not taken and would tell.
    """

    verdict = Choice(Verdict, required=True)
    place = Choice(Place, required=True, allow_none=True)
    certainty = Rounded(3, required=True, allow_none=True)
    not_dissolved = fields.Nested(ShareOut(), required=True)
    left_in_grain = fields.Nested(ShareOut(), required=True)
    shortfall = fields.Nested(ShareOut(), required=True)
    short = Rounded(3, required=True)
    in_conversion = Rounded(3, required=True)
    would_tell = Choice(Name, required=True, allow_none=True)
    detail = SentenceField(required=True)


class ReconciliationOut(OutSchema):
    """The readings of a brew against one another, and reconciled by weighted least squares.

    `balance` is the probability that no reading is wrong. `other_sessions` is how many sessions
    tell what the setup usually does.
    """

    session_id = Id(required=True)
    other_sessions = fields.Integer(required=True, attribute="others")
    balance = Rounded(3, required=True, attribute="answer.balance")
    quantities = fields.List(
        fields.Nested(ReconciledOut()), required=True, attribute="answer.quantities"
    )
    disagreements = fields.List(
        fields.Nested(DisagreementOut()), required=True, attribute="answer.disagreements"
    )
    extract_lost = fields.Nested(ExtractLostOut(), required=True, attribute="answer.extract_lost")
    unusable = fields.List(SentenceField(), required=True, attribute="answer.unusable")
    detail = SentenceField(required=True, attribute="answer.detail")


class OtherSessionQuery(InSchema):
    """With which brew to compare."""

    other_id = Id(
        load_default=None,
        metadata={"description": "Another brew of the brewer's; without, the one before."},
    )


class ComparedOut(OutSchema):
    """One figure of two brews, and how much more it is in this than in the other.

    `sure` is the probability that the difference has the sign that it shows; one that is not
    `real` is within the noise.
    """

    name = fields.String(required=True)
    other = fields.Nested(MeasuredOut(), required=True, attribute="first")
    this = fields.Nested(MeasuredOut(), required=True, attribute="second")
    difference = fields.Nested(MeasuredOut(), required=True)
    interval_80 = fields.Nested(MeasuredIntervalOut(), required=True)
    sure = Rounded(3, required=True)
    real = fields.Boolean(required=True, attribute="is_real")
    detail = SentenceField(required=True)

    @pre_dump
    def put_ends_together(self, one: Compared, **_: Any) -> dict[str, Any]:
        """Write the ends of the interval as one thing."""
        return {**shallow(one), "interval_80": interval_80(one)}


class SessionComparisonOut(OutSchema):
    """Two brews of one brewer side by side, and what of it is real."""

    session_id = Id(required=True)
    other_id = Id(required=True)
    figures = fields.List(fields.Nested(ComparedOut()), required=True, attribute="answer.figures")
    detail = fields.String(required=True, attribute="answer.detail")


class StandOut(OutSchema):
    """A constant as it stands: its mean and its 80 % interval."""

    mean = fields.Nested(AmountOut(), required=True)
    low_80 = fields.Nested(AmountOut(), required=True)
    high_80 = fields.Nested(AmountOut(), required=True)


class MovedOut(OutSchema):
    """A constant of a setup before a brew was counted and after."""

    name = fields.String(required=True)
    before = fields.Nested(StandOut(), required=True)
    after = fields.Nested(StandOut(), required=True)

    @pre_dump
    def with_units(self, one: Moved, **_: Any) -> dict[str, Any]:
        """Write the numbers in the units of what the constant measures."""
        return {
            "name": constant_name(one.name),
            "before": _stand(one.name, one.before),
            "after": _stand(one.name, one.after),
        }


class ForecastMovedOut(OutSchema):
    """A beer of one grain load, as it was forecast before a brew was counted and after.

    `gravity_before` and `gravity_after` are those of the wort before the boil, `points` how many
    gravity points more the second is.
    """

    grain_load_kg_per_l = fields.Float(required=True)
    before = fields.Nested(FractionForecastOut(), required=True)
    after = fields.Nested(FractionForecastOut(), required=True)
    gravity_before = gravity_field("gravity_before", required=True)
    gravity_after = gravity_field("gravity_after", required=True)
    points = Rounded(2, required=True)

    @pre_dump
    def with_intervals(self, one: ForecastMoved, **_: Any) -> dict[str, Any]:
        """Write both forecasts with their intervals."""
        return {
            **shallow(one),
            "before": _forecast(one.before),
            "after": _forecast(one.after),
            "points": one.points,
        }


class LessonOut(OutSchema):
    """What changed in what is known of a setup when a brew was counted."""

    session_id = Id(required=True)
    number_before = fields.Integer(required=True, attribute="before.number")
    number_after = fields.Integer(required=True, attribute="after.number")
    preboil_volume = volume_field("preboil_l", required=True)
    constants = fields.List(fields.Nested(MovedOut()), required=True, attribute="answer.constants")
    usual = fields.Nested(ForecastMovedOut(), required=True, attribute="answer.usual")
    strong = fields.Nested(ForecastMovedOut(), required=True, attribute="answer.strong")
    detail = fields.String(required=True, attribute="answer.detail")


def _stand(name: str, estimate: Estimate) -> dict[str, Any]:
    low, high = ends_80(estimate)
    return {
        "mean": constant_amount(name, estimate.mean),
        "low_80": constant_amount(name, low),
        "high_80": constant_amount(name, high),
    }


def _forecast(forecast: EfficiencyForecast) -> dict[str, Any]:
    low, high = forecast.interval(0.80)
    return {"mean": forecast.mean, "interval_80": {"low": low, "high": high}}
