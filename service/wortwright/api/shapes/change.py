"""Changes of a setup."""

from marshmallow import Schema

from wortwright.api.fields import Choice, Day, StrictText
from wortwright.api.schemas import InSchema, OutSchema
from wortwright.records.setup import Change, Changed


class ChangeFields(Schema):
    """A change of a setup."""

    on = Day(required=True)
    what = Choice(Changed, required=True)
    note = StrictText(min_length=0, max_length=1000)


class ChangeIn(ChangeFields, InSchema):
    """A change of equipment or method: brews of that day and later are of a new era.

    `nothing` answers a suspicion: up to that day nothing else was changed.
    """

    record = Change


class ChangeOut(ChangeFields, OutSchema):
    """A change of equipment or method."""
