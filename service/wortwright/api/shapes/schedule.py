"""When what is to be done."""

from marshmallow import fields

from wortwright.api.fields import UtcDateTime
from wortwright.api.schemas import InSchema, OutSchema
from wortwright.api.sentences import SentenceField


class ScheduleQuery(InSchema):
    """When the strike water goes on the heat."""

    starts_at = UtcDateTime(
        load_default=None,
        metadata={
            "description": "When the strike water goes on the heat; without it the start of the "
            "last session that was made from this scaling."
        },
    )


class ScheduleStepOut(OutSchema):
    """One thing to do. `code` is stable, `detail` a sentence for a person.

    `at` is when it is usually done. What waits for the beer is done between `earliest_at` and
    `latest_at`; both are null on the brew day.
    """

    code = fields.String(required=True)
    at = UtcDateTime(required=True)
    earliest_at = UtcDateTime(required=True, allow_none=True)
    latest_at = UtcDateTime(required=True, allow_none=True)
    detail = SentenceField(required=True)


class ScheduleOut(OutSchema):
    """A brew from the strike water to the first glass, in the order of time.

    Durations are common practice, by the strength of the beer: readings decide.
    """

    steps = fields.List(fields.Nested(ScheduleStepOut()), required=True)
    fermenter_free_at = UtcDateTime(required=True)
    ready_at = UtcDateTime(required=True)
