"""What the readings of a brew day say: as corrected, the outlook, what corrects it."""

from typing import Any

from marshmallow import fields, pre_dump

from wortwright.api.quantity_field import Quantity
from wortwright.api.schemas import OutSchema
from wortwright.api.sentences import SentenceField
from wortwright.api.shapes.common import Id, flat, gravity_field, shallow, time_field, volume_field
from wortwright.api.shapes.plan import (
    FractionForecastOut,
    GravityForecastOut,
    VolumeForecastOut,
    WarningOut,
)
from wortwright.api.shapes.session import SessionOut
from wortwright.units import Dimension
from wortwright.usecases.brew_days import BrewDay


def _warnings() -> fields.List[fields.Nested]:
    return fields.List(fields.Nested(WarningOut()), required=True, attribute="findings")


class CorrectedReadingOut(OutSchema):
    """One reading at 20 degC and by a true instrument; null where nothing usable was read."""

    stage = fields.String(required=True)
    volume = volume_field("volume_l", required=True, allow_none=True)
    gravity = gravity_field("gravity", required=True, allow_none=True)
    boiled = time_field("boiled_min", required=True, allow_none=True)
    warnings = _warnings()


class OutlookOut(OutSchema):
    """The beer that a brew under way will become.

    `postboil` is null once the wort has left the kettle.
    """

    original_gravity = fields.Nested(GravityForecastOut(), required=True)
    final_gravity = fields.Nested(GravityForecastOut(), required=True)
    alcohol_by_volume = fields.Nested(FractionForecastOut(), required=True)
    postboil = fields.Nested(
        VolumeForecastOut(), required=True, allow_none=True, attribute="postboil_l"
    )
    fermenter = fields.Nested(VolumeForecastOut(), required=True, attribute="fermenter_l")
    bitterness = Quantity(Dimension.BITTERNESS, attribute="bitterness_ibu", required=True)
    colour = Quantity(Dimension.COLOUR, attribute="colour_ebc", required=True)


class HopChangeOut(OutSchema):
    """One addition to weigh otherwise than planned; one that was not planned has `planned` 0."""

    name = fields.String(required=True)
    moment = fields.String(required=True)
    time = time_field("time_min", required=True)
    planned = Quantity(Dimension.HOP_MASS, attribute="planned_kg", required=True)
    mass = Quantity(Dimension.HOP_MASS, attribute="mass_kg", required=True)


class KettleCorrectionOut(OutSchema):
    """One course of action from here that reaches the target, whole, and where it ends.

    `boil` is the boil still to come, null where there is none; `boil_down_to` the volume at its
    end, at 20 degC, before water goes in.
    """

    kind = fields.String(required=True)
    detail = SentenceField(required=True)
    boil = time_field("boil_min", required=True, allow_none=True)
    boil_down_to = volume_field("boil_down_to_l", required=True, allow_none=True)
    top_up = volume_field("top_up_l", required=True)
    dry_extract = Quantity(Dimension.MASS, attribute="dry_extract_kg", required=True)
    hop_changes = fields.List(fields.Nested(HopChangeOut()), required=True)
    end = fields.Nested(OutlookOut(), required=True)


class BoilOffIntervalOut(OutSchema):
    """The ends of an interval."""

    low = Quantity(Dimension.VOLUME_RATE, required=True)
    high = Quantity(Dimension.VOLUME_RATE, required=True)


class BoilOffForecastOut(OutSchema):
    """A boil-off to come: its mean and its 80 % interval."""

    mean = Quantity(Dimension.VOLUME_RATE, required=True)
    interval_80 = fields.Nested(BoilOffIntervalOut(), required=True)


class KettleLogOut(OutSchema):
    """Where the brew stands as of the last reading, and where it ends if nothing is done.

    `boil_off` is what the rest of the boil is reckoned with. `on_target` says that gravity and
    bitterness need nothing done.
    """

    stage = fields.String(required=True)
    boiled = time_field("boiled_min", required=True)
    volume = fields.Nested(VolumeForecastOut(), required=True, attribute="volume_l")
    gravity = gravity_field("gravity", required=True)
    boil_off = fields.Nested(BoilOffForecastOut(), required=True, attribute="boil_off_l_per_h")
    outlook = fields.Nested(OutlookOut(), required=True)
    on_target = fields.Boolean(required=True)
    corrections = fields.List(fields.Nested(KettleCorrectionOut()), required=True)
    cannot_be_mended = fields.List(fields.Nested(WarningOut()), required=True)
    warnings = _warnings()


class BrewDayOut(OutSchema):
    """The readings of a session as corrected, in their order, and what they say together.

    `log` is null where the session was not made from a scaling, or where its readings
    contradict one another: `warnings` tell which.
    """

    session_id = Id(required=True)
    corrected = fields.List(fields.Nested(CorrectedReadingOut()), required=True)
    log = fields.Nested(KettleLogOut(), required=True, allow_none=True)
    warnings = _warnings()

    @pre_dump
    def name_session(self, day: BrewDay, **_: Any) -> dict[str, Any]:
        """Put the id in the session's place."""
        return {**shallow(day), "session_id": day.session.id}


class ReadingAddedOut(SessionOut):
    """The session with its new reading, that as `corrected`, and what all of them say together.

    `log` is null where the session was not made from a scaling, or where its readings
    contradict one another: `warnings` tell which.
    """

    corrected = fields.Nested(CorrectedReadingOut(), required=True)
    log = fields.Nested(KettleLogOut(), required=True, allow_none=True)
    warnings = _warnings()

    @pre_dump
    def flatten(self, day: BrewDay, **_: Any) -> dict[str, Any]:
        """Put what the readings say beside the session."""
        return {
            **flat(day.session),
            "corrected": day.corrected[-1],
            "log": day.log,
            "findings": day.findings,
        }
