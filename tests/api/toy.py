"""A resource made only to show what surrounds every resource."""

from dataclasses import dataclass
from enum import StrEnum
from typing import Any
from uuid import UUID

from flask import Response
from marshmallow import fields, validate

from wortwright.api import conditional, idempotency, paging
from wortwright.api.auth import caller, requires
from wortwright.api.blueprint import Blueprint
from wortwright.api.extensions import database
from wortwright.api.fields import Choice, StrictInteger, StrictNumber, StrictText, UtcDateTime
from wortwright.api.quantity_field import Quantity
from wortwright.api.schemas import InSchema, OutSchema
from wortwright.records.brewer import Brewer
from wortwright.units import Dimension
from wortwright.usecases import brewers


class Wood(StrEnum):
    OAK = "oak"
    CHESTNUT = "chestnut"


@dataclass(frozen=True)
class Hoop:
    width_mm: float


@dataclass(frozen=True)
class Barrel:
    name: str
    volume_l: float
    gravity: float | None = None
    wood: Wood = Wood.OAK
    staves: int = 20
    fullness: float = 1.0
    hoops: tuple[Hoop, ...] = ()
    filled_at: Any = None


class HoopIn(InSchema):
    record = Hoop
    width_mm = StrictNumber(exclusive_minimum=0, maximum=200, required=True)


class BarrelIn(InSchema):
    record = Barrel
    name = StrictText(max_length=50, required=True)
    volume_l = Quantity(
        Dimension.VOLUME, exclusive_minimum=0, maximum=500, required=True, data_key="volume"
    )
    gravity = Quantity(Dimension.GRAVITY, minimum=0.98, maximum=1.2, allow_none=True)
    wood = Choice(Wood)
    staves = StrictInteger(minimum=1, maximum=60)
    fullness = StrictNumber(minimum=0, maximum=1)
    hoops = fields.List(fields.Nested(HoopIn()), validate=validate.Length(max=8))
    filled_at = UtcDateTime(allow_none=True)


class HoopOut(OutSchema):
    width_mm = fields.Float(required=True)


class BarrelOut(OutSchema):
    name = fields.String(required=True)
    volume_l = Quantity(Dimension.VOLUME, data_key="volume", required=True)
    gravity = Quantity(Dimension.GRAVITY, allow_none=True)
    wood = Choice(Wood)
    staves = fields.Integer()
    fullness = fields.Float()
    hoops = fields.List(fields.Nested(HoopOut()))
    filled_at = UtcDateTime(allow_none=True)


class CooperIn(InSchema):
    record = Brewer
    name = StrictText(max_length=50, required=True)


class CooperOut(OutSchema):
    id = fields.UUID(required=True)
    version = fields.Integer(required=True)
    name = fields.String(attribute="value.name", required=True)
    password = fields.Constant("shown once")


class CooperQuery(paging.PageQuery):
    name = fields.String()


BARREL, COOPER = BarrelOut(), CooperOut()
COOPERS = paging.page_schema(COOPER)

toys = Blueprint("toys", __name__, description="Toys.", url_prefix="/v1")


@toys.route("/barrels", methods=["POST"])
@toys.arguments(BarrelIn())
@toys.response(200, BARREL)
def show_barrel(barrel: Barrel) -> Barrel:
    """Give a barrel back as it was understood."""
    return barrel


@toys.route("/faults", methods=["GET"])
@toys.response(200)
def fail() -> None:
    """Fail."""
    raise ZeroDivisionError("a secret of the house")


@toys.route("/coopers", methods=["POST"])
@requires("club")
@toys.arguments(CooperIn())
@toys.stores(201, COOPER)
def add_cooper(cooper: Brewer) -> Response:
    """Store a cooper."""
    return idempotency.answer_stored(
        lambda work: brewers.create_brewer(work, cooper),
        COOPER,
        location=lambda made: f"/v1/coopers/{made.id}",
        once=("password",),
    )


@toys.route("/coopers", methods=["GET"])
@requires("club")
@toys.arguments(CooperQuery(), location="query")
@toys.response(200, COOPERS)
def list_coopers(query: dict[str, Any]) -> dict[str, Any]:
    """List coopers."""
    asked: paging.PageAsked = query["page"]
    found = brewers.list_brewers(database(), caller(), asked.after, asked.limit)
    return paging.page_answer(found)


@toys.route("/coopers/<uuid:cooper_id>", methods=["GET"])
@requires("club", "brewer", "page")
@toys.versioned
@toys.response(200, COOPER)
def get_cooper(cooper_id: UUID) -> tuple[Any, dict[str, str]]:
    """Give a cooper."""
    found = brewers.get_brewer(database(), caller(), cooper_id)
    return found, conditional.versioned(found.version)


@toys.route("/coopers/<uuid:cooper_id>", methods=["PUT"])
@requires("club")
@toys.versioned
@toys.arguments(CooperIn())
@toys.response(200, COOPER)
def replace_cooper(cooper: Brewer, cooper_id: UUID) -> tuple[Any, dict[str, str]]:
    """Change a cooper."""
    expected = conditional.required_version()
    found = brewers.replace_brewer(idempotency.work(), cooper_id, expected, cooper)
    return found, conditional.versioned(found.version)
