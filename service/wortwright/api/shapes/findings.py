"""What every answer of a calculation carries beside its numbers."""

from marshmallow import fields

from wortwright.api.schemas import OutSchema
from wortwright.api.shapes.plan import CautionOut, WarningOut


class WithFindingsOut(OutSchema):
    """Warnings are doubts about a number, cautions are harms to a person."""

    warnings = fields.List(fields.Nested(WarningOut()), required=True)
    cautions = fields.List(fields.Nested(CautionOut()), required=True)
