"""Everything of a brewer as one document."""

import re
from typing import Any

from cattrs import BaseValidationError, transform_error
from marshmallow import Schema, ValidationError, fields, post_load, pre_dump

from wortwright.api.fields import StrictInteger
from wortwright.api.refusal import Refusal
from wortwright.api.schemas import InSchema, OutSchema
from wortwright.api.shapes.recipe import RecipeContentOut, RecipeIn
from wortwright.api.shapes.session import SessionContentOut, SessionIn
from wortwright.api.shapes.setup import SetupContentOut, SetupIn
from wortwright.store.documents import from_document, to_document
from wortwright.usecases.moving import FORMAT_VERSION, BrewerExport

# Each kind of thing is read as if a client had written it: an import obeys the same bounds.
_READ_AS: dict[str, tuple[Schema, Schema]] = {
    "setups": (SetupContentOut(), SetupIn()),
    "recipes": (RecipeContentOut(), RecipeIn()),
    "sessions": (SessionContentOut(), SessionIn()),
}


class BrewerExportFields(Schema):
    """Everything of one brewer, in base units, as it is kept."""

    format_version = StrictInteger(required=True, minimum=FORMAT_VERSION, maximum=FORMAT_VERSION)
    brewer = fields.Dict(keys=fields.String(), required=True)
    setups = fields.List(fields.Dict(keys=fields.String()), required=True)
    calibrations = fields.List(fields.Dict(keys=fields.String()), required=True)
    recipes = fields.List(fields.Dict(keys=fields.String()), required=True)
    scalings = fields.List(fields.Dict(keys=fields.String()), required=True)
    sessions = fields.List(fields.Dict(keys=fields.String()), required=True)


class BrewerExportIn(BrewerExportFields, InSchema):
    """Everything of one brewer, as it was exported."""

    @post_load
    def build(self, data: dict[str, Any], **_: Any) -> Any:
        """Read the document strictly, and each thing in it as if a client had written it."""
        try:
            export = from_document(data, BrewerExport)
        except BaseValidationError as error:
            raise ValidationError(_nested(transform_error(error))) from error
        for kind, (writer, reader) in _READ_AS.items():
            for index, moved in enumerate(getattr(export, kind)):
                faults = reader.validate(_without_assumed(writer.dump(moved.value)))
                if faults:
                    raise ValidationError({kind: {index: {"value": faults}}})
        return export


class BrewerExportOut(BrewerExportFields, OutSchema):
    """Everything of one brewer, to be kept or to be imported elsewhere."""

    @pre_dump
    def write(self, export: BrewerExport, **_: Any) -> dict[str, Any]:
        """Write the document as it is kept."""
        return to_document(export)


def _without_assumed(written: Any) -> Any:
    """Leave out what only an answer has."""
    if isinstance(written, dict):
        return {k: _without_assumed(v) for k, v in written.items() if k != "assumed"}
    if isinstance(written, list):
        return [_without_assumed(one) for one in written]
    return written


def _nested(faults: list[str]) -> dict[str, Any]:
    """Put messages such as ``required field missing @ $.setups[0].row`` in their places."""
    nested: dict[str, Any] = {}
    for fault in faults:
        message, _, path = fault.rpartition(" @ $")
        place = nested
        for step in re.findall(r"[^.\[\]]+", path):
            place = place.setdefault(step, {})
        place.setdefault("_schema", []).append(Refusal(f"{message[:1].upper()}{message[1:]}."))
    return nested
