"""Clubs, brewers and keys."""

from typing import Any

from marshmallow import Schema, fields, post_load, pre_dump, validate

from wortwright.api.fields import Choice, StrictText, UtcDateTime
from wortwright.api.schemas import InSchema, OutSchema
from wortwright.api.shapes.common import Id, StoredFields, StoredOut, flat, name_field
from wortwright.records.brewer import Brewer, UnitSystem
from wortwright.usecases.callers import KeyKind
from wortwright.usecases.keys import KeyAsked, NewKey
from wortwright.usecases.links import LinkAsked

MOST_ORIGINS = 20
ORIGIN = r"^https?://[a-z0-9.-]+(:[0-9]{1,5})?$"


class ClubOut(StoredOut):
    """A club: the brewers whose data stay together."""

    name = name_field()


class BrewerFields(Schema):
    """A brewer."""

    name = name_field()
    units = Choice(UnitSystem, metadata={"description": "In which answers are written."})


class BrewerIn(BrewerFields, InSchema):
    """A brewer of the club."""

    record = Brewer


class BrewerOut(BrewerFields, StoredOut):
    """A stored brewer."""


class KeyFields(Schema):
    """A key."""

    kind = Choice(KeyKind, required=True)
    name = StrictText(required=True, max_length=200)
    brewer_id = Id(allow_none=True)
    expires_at = UtcDateTime(allow_none=True)


class KeyIn(KeyFields, InSchema):
    """A key to be minted.

    A club key opens everything of the club. A brewer key opens one brewer's things. A page key
    is for a page in a browser: it reads, scales and adds readings for one brewer, for hours.
    """

    origins = fields.List(
        StrictText(
            max_length=200,
            metadata={"pattern": ORIGIN},
            validate=validate.Regexp(ORIGIN, error="Write a web origin like https://club.example."),
        ),
        validate=validate.Length(max=MOST_ORIGINS),
    )

    @post_load
    def build(self, data: dict[str, Any], **_: Any) -> Any:
        """Build what is asked for."""
        return KeyAsked(**{**data, "origins": frozenset(data.get("origins", ()))})


class KeyOut(KeyFields, StoredFields, OutSchema):
    """A stored key, without its text, which is shown once."""

    origins = fields.List(fields.String(), required=True)
    revoked_at = UtcDateTime(required=True, allow_none=True)
    last_used_on = fields.Date(required=True, allow_none=True)

    @pre_dump
    def flatten(self, stored: Any, **_: Any) -> dict[str, Any]:
        """Put what is told of the key side by side."""
        facts = flat(stored)
        return {**facts, "kind": KeyKind(facts["kind"]), "origins": sorted(facts["origins"])}


class LinkIn(InSchema):
    """A link to be minted. It lives 30 days at most, one to a session 48 hours."""

    record = LinkAsked

    name = StrictText(max_length=200, metadata={"description": "Whom it is for."})
    expires_at = UtcDateTime(allow_none=True)


class NewKeyOut(KeyOut):
    """A key just minted, with its text. Keep it: it is not shown again."""

    text = fields.String(metadata={"description": "Shown this once; absent on a replay."})

    @pre_dump
    def flatten(self, stored: NewKey, **_: Any) -> dict[str, Any]:
        """Put the text beside what is told of the key."""
        return {**super().flatten(stored.stored), "text": stored.text}


# What a link opens -> the address of the thing, and of its page for a person.
_ADDRESSES = {
    "scaling": ("/v1/scalings/{}", "/v1/scalings/{}/sheet"),
    "session": ("/v1/sessions/{}", "/v1/sessions/{}/log"),
    "setup": ("/v1/setups/{}/calibration/page", "/v1/setups/{}/calibration/page"),
}


class NewLinkOut(NewKeyOut):
    """A link just minted, with its key and its addresses, which are not shown again."""

    address = fields.String(
        metadata={"description": "Opens the thing without a header; shown this once."}
    )
    page = fields.String(metadata={"description": "Opens its page, for a person; shown this once."})

    @pre_dump
    def flatten(self, stored: NewKey, **_: Any) -> dict[str, Any]:
        """Put the addresses beside what is told of a new key."""
        key = stored.stored.value
        address, page = (
            f"{path.format(key.opens_id)}?key={stored.text}" for path in _ADDRESSES[str(key.opens)]
        )
        return {**super().flatten(stored), "address": address, "page": page}
