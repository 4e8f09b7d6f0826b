"""Sessions and their readings."""

from dataclasses import dataclass
from typing import Any
from uuid import UUID

from marshmallow import Schema, ValidationError, fields, post_load, validate

from wortwright.api.fields import Choice, StrictNumber, StrictText, UtcDateTime
from wortwright.api.quantity_field import Quantity
from wortwright.api.refusal import Refusal
from wortwright.api.schemas import InSchema, OutSchema
from wortwright.api.shapes.common import (
    MOST_LINES,
    Id,
    StoredOut,
    gravity_field,
    temperature_field,
    time_field,
    volume_field,
)
from wortwright.api.shapes.grist import (
    HopAdditionIn,
    HopAdditionOut,
    WeighedFermentableIn,
    WeighedFermentableOut,
)
from wortwright.api.shapes.recipe import MOST_RESTS, MashStepIn, MashStepOut, YeastIn, YeastOut
from wortwright.records.session import Act, Reading, Session, SessionState, Stage, WaterUsed
from wortwright.units import Dimension
from wortwright.usecases.sessions import MOST_READINGS


class ReadingFields(Schema):
    """A measurement."""

    stage = Choice(Stage, required=True)
    volume = volume_field("volume_l", allow_none=True)
    volume_temperature = temperature_field("volume_temperature_c", allow_none=True)
    gravity = gravity_field("gravity", minimum=0.98, allow_none=True)
    gravity_temperature = temperature_field("gravity_temperature_c", allow_none=True)
    temperature = temperature_field("temperature_c", allow_none=True)
    ph = StrictNumber(minimum=3.0, maximum=9.0, allow_none=True)
    instrument = StrictText(max_length=100, allow_none=True)
    depth = Quantity(
        Dimension.LENGTH, attribute="depth_mm", minimum=1.0, maximum=3000.0, allow_none=True
    )
    brix = Quantity(Dimension.REFRACTION, minimum=0.0, maximum=40.0, allow_none=True)
    boiled = time_field("boiled_min", allow_none=True)
    calibrated_at = temperature_field("calibrated_c", minimum=10.0, maximum=30.0, allow_none=True)
    reads_in_water = gravity_field("reads_in_water", minimum=0.98, maximum=1.02, allow_none=True)
    wort_correction_factor = StrictNumber(minimum=0.9, maximum=1.2, allow_none=True)


class ReadingIn(ReadingFields, InSchema):
    """One measurement as it was read; corrections for temperature are made where it is used.

    Without its temperature a volume or a gravity counts as read at 20 degC. `temperature` is
    that of the mash, or at `strike_water` of the water before it meets the grain. In the kettle a
    `depth` stands for the volume, where the setup tells the kettle's diameter; before
    fermentation `brix` of a refractometer stands for the gravity. `boiled` is how long it had
    boiled: a reading in the middle of the boil counts only with it.
    `calibrated_at` is the temperature a hydrometer is made for, `reads_in_water` what it shows
    in water then.
    """

    @post_load
    def build(self, data: dict[str, Any], **_: Any) -> Any:
        """Build the reading, if anything was read."""
        reading = Reading(**data)
        read = (
            reading.volume_l,
            reading.depth_mm,
            reading.gravity,
            reading.brix,
            reading.temperature_c,
            reading.ph,
        )
        if all(value is None for value in read):
            accepted = ("volume", "depth", "gravity", "brix", "temperature", "ph")
            raise ValidationError([Refusal("Nothing was read.", accepted)])
        return reading


class ReadingOut(ReadingFields, OutSchema):
    """One measurement as it was read."""


class WaterFields(Schema):
    """Water that went in."""

    strike = volume_field("strike_l", may_be_zero=True, allow_none=True)
    sparge = volume_field("sparge_l", may_be_zero=True, allow_none=True)
    top_up = volume_field("top_up_l", may_be_zero=True, allow_none=True)


class WaterIn(WaterFields, InSchema):
    """Water that went in, as it would measure at 20 degC."""

    record = WaterUsed


class WaterOut(WaterFields, OutSchema):
    """Water that went in."""


class SessionFields(Schema):
    """What a session is, but for its lists."""

    brewed_at = UtcDateTime(required=True)
    planned_preboil_volume = volume_field("planned_preboil_l", allow_none=True)
    boil_time = time_field("boil_time_min", allow_none=True)
    grain_temperature = temperature_field("grain_temperature_c", maximum=50.0, allow_none=True)
    state = Choice(SessionState)
    set_aside_because = StrictText(max_length=500, lines=True, allow_none=True)
    trusted_because = StrictText(max_length=500, lines=True, allow_none=True)


class SessionIn(SessionFields, InSchema):
    """One brew: what went in and what was read. A closed one teaches its setup.

    `mash` is what was meant, `grain_temperature` that of the dry grain; with `yeast` and the
    gravity after fermentation it teaches the attenuation, with the volume `packaged` what is
    left in the fermenter.
    """

    grist = fields.List(
        fields.Nested(WeighedFermentableIn()),
        required=True,
        validate=validate.Length(min=1, max=MOST_LINES),
    )
    water = fields.Nested(WaterIn())
    mash = fields.List(fields.Nested(MashStepIn()), validate=validate.Length(max=MOST_RESTS))
    yeast = fields.Nested(YeastIn(), allow_none=True)
    hop_bill = fields.List(fields.Nested(HopAdditionIn()), validate=validate.Length(max=MOST_LINES))
    readings = fields.List(fields.Nested(ReadingIn()), validate=validate.Length(max=MOST_READINGS))

    record = Session

    @post_load
    def build(self, data: dict[str, Any], **_: Any) -> Any:
        """Build the session; a reason belongs to the state that it is the reason of."""
        session: Session = super().build(data)
        is_aside = session.state is SessionState.SET_ASIDE
        if is_aside != (session.set_aside_because is not None):
            message = "A session is set aside with a reason; no other has one."
            raise ValidationError({"set_aside_because": [Refusal(message)]})
        if session.trusted_because is not None and session.state is not SessionState.CLOSED:
            message = "Only a closed session can be trusted: no other teaches."
            raise ValidationError({"trusted_because": [Refusal(message)]})
        return session


@dataclass(frozen=True, slots=True)
class NewSession:
    """A session with the setup it was brewed on and the scaling it was brewed from."""

    setup_id: UUID
    scaling_id: UUID | None
    session: Session


class NewSessionIn(SessionIn):
    """One brew to be kept, and on which setup it was brewed."""

    setup_id = Id(required=True)
    scaling_id = Id(allow_none=True, load_default=None)

    @post_load
    def build(self, data: dict[str, Any], **_: Any) -> Any:
        """Build the session and put its setup and scaling beside it."""
        return NewSession(data.pop("setup_id"), data.pop("scaling_id"), super().build(data))


class TrustingIn(InSchema):
    """Why a session's readings are right although they look wrong."""

    reason = StrictText(required=True, max_length=500, lines=True)


class SettingAsideIn(InSchema):
    """Why a session must not teach."""

    reason = StrictText(required=True, max_length=500, lines=True)


class SessionContentOut(SessionFields, OutSchema):
    """One brew."""

    grist = fields.List(fields.Nested(WeighedFermentableOut()), required=True)
    water = fields.Nested(WaterOut(), required=True)
    mash = fields.List(fields.Nested(MashStepOut()), required=True)
    yeast = fields.Nested(YeastOut(), required=True, allow_none=True)
    hop_bill = fields.List(fields.Nested(HopAdditionOut()), required=True)
    readings = fields.List(fields.Nested(ReadingOut()), required=True)


class EventOut(OutSchema):
    """What was done with a session, when, and why if a reason was given."""

    act = Choice(Act, required=True)
    at = UtcDateTime(required=True)
    reason = fields.String(required=True, allow_none=True)


class SessionOut(SessionContentOut, StoredOut):
    """A stored session, with everything that was ever done with it."""

    brewer_id = Id(required=True)
    setup_id = Id(required=True)
    scaling_id = Id(required=True, allow_none=True)
    events = fields.List(fields.Nested(EventOut()), required=True)
