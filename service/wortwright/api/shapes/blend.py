"""Beers that go together: lots, blends, what is wanted of them and what they miss."""

from typing import Any

from marshmallow import Schema, ValidationError, fields, post_load, pre_dump, validate

from wortwright.api.fields import StrictText
from wortwright.api.quantity_field import Quantity
from wortwright.api.refusal import Refusal
from wortwright.api.schemas import InSchema, OutSchema
from wortwright.api.shapes.any_quantity import AnyQuantityOut, told, told_difference, wire_name
from wortwright.api.shapes.common import (
    Id,
    Rounded,
    fraction_field,
    gravity_field,
    shallow,
    volume_field,
)
from wortwright.api.shapes.plan import FractionForecastOut, GravityForecastOut, WarningOut
from wortwright.brewing.blending import Miss, WantedBlend
from wortwright.brewing.gravity import plato_from_gravity
from wortwright.planning.blends.blend import BlendForecast
from wortwright.planning.blends.lot_figures import LotFigures
from wortwright.planning.plan import Interval
from wortwright.units import Dimension
from wortwright.usecases.beers import BlendAsked, Blended, StoredLot

MOST_LOTS = 12
STRONGEST = 1.16


def bitterness_field(**kwargs: Any) -> Quantity:
    """Make the field of a bitterness."""
    return Quantity(
        Dimension.BITTERNESS, attribute="bitterness_ibu", minimum=0.0, maximum=300.0, **kwargs
    )


def colour_field(**kwargs: Any) -> Quantity:
    """Make the field of a colour."""
    return Quantity(Dimension.COLOUR, attribute="colour_ebc", minimum=0.0, maximum=500.0, **kwargs)


class GravityEndsIn(InSchema):
    """The ends of an 80 % interval."""

    low = gravity_field("low", required=True, maximum=STRONGEST)
    high = gravity_field("high", required=True, maximum=STRONGEST)

    record = Interval


class LotIn(InSchema):
    """One beer: of a session, of a scaling as it is forecast, or by its figures.

    `volume` is what there is of it for this; without it all that was packaged. By its figures a
    beer needs `volume` and `original_gravity`; a `final_gravity` counts as read, an
    `apparent_attenuation` as expected. Without its bitterness or colour it counts as having none,
    which only a blend of given volumes allows.
    """

    session_id = Id(allow_none=True)
    scaling_id = Id(allow_none=True)
    volume = volume_field("volume_l", allow_none=True)
    name = StrictText(max_length=100)
    original_gravity = gravity_field(
        "original_gravity", exclusive_minimum=1.0, maximum=STRONGEST, allow_none=True
    )
    original_gravity_interval_80 = fields.Nested(
        GravityEndsIn(), attribute="interval_80", allow_none=True
    )
    final_gravity = gravity_field("final_gravity", minimum=0.98, maximum=STRONGEST, allow_none=True)
    apparent_attenuation = fraction_field("attenuation", minimum=0.3, maximum=1.0, allow_none=True)
    bitterness = bitterness_field()
    colour = colour_field()

    @post_load
    def build(self, data: dict[str, Any], **_: Any) -> Any:
        """Build the one kind of lot that was told."""
        by = ("session_id", "scaling_id", "original_gravity")
        told = [name for name in by if data.get(name) is not None]
        if len(told) != 1:
            raise ValidationError([Refusal("Give one of these.", by)])
        said = {name: value for name, value in data.items() if value is not None}
        if told == ["original_gravity"]:
            _check_figures(said)
            return LotFigures(**said)
        extra = said.keys() - {*by, "volume_l"}
        if extra:
            message = "A beer that is kept here has its own figures."
            raise ValidationError({_on_the_wire(name): [Refusal(message)] for name in extra})
        return StoredLot(**said)


def _on_the_wire(attribute: str) -> str:
    names = {field.attribute or name: name for name, field in LotIn().load_fields.items()}
    return names[attribute]


def _check_figures(said: dict[str, Any]) -> None:
    if "volume_l" not in said:
        raise ValidationError({"volume": [Refusal("Say how much there is of it.")]})
    original, final = said["original_gravity"], said.get("final_gravity")
    if final is not None and final > original:
        message = "The final gravity is not above the original gravity."
        raise ValidationError({"final_gravity": [Refusal(message)]})
    if final is not None and "attenuation" in said:
        message = "Give either final_gravity or apparent_attenuation."
        raise ValidationError({"apparent_attenuation": [Refusal(message)]})
    ends = said.get("interval_80")
    if ends is not None and not ends.low <= original <= ends.high:
        message = "The interval holds the gravity."
        raise ValidationError({"original_gravity_interval_80": [Refusal(message)]})


def check_told(lot: StoredLot | LotFigures, *place: str | int) -> None:
    """Refuse a beer whose bitterness or colour would have to be known, and is not told."""
    if not isinstance(lot, LotFigures):
        return
    told = {"bitterness": lot.bitterness_ibu, "colour": lot.colour_ebc}
    faults: dict[str | int, Any] = {
        name: [Refusal("Say it: what follows is planned to make up for it.")]
        for name, value in told.items()
        if value is None
    }
    if faults:
        for step in reversed(place):
            faults = {step: faults}
        raise ValidationError(faults)


def lots_field(**kwargs: Any) -> fields.List[fields.Nested]:
    """Make the field of several beers."""
    least = 1 if kwargs.get("required") else 0
    return fields.List(
        fields.Nested(LotIn()), validate=validate.Length(min=least, max=MOST_LOTS), **kwargs
    )


class WantedBlendIn(InSchema):
    """Properties that a blend should have; what is left out does not matter."""

    original_gravity = gravity_field(
        "original_gravity", exclusive_minimum=1.0, maximum=STRONGEST, allow_none=True
    )
    final_gravity = gravity_field("final_gravity", minimum=0.98, maximum=STRONGEST, allow_none=True)
    alcohol_by_volume = fraction_field("alcohol_by_volume", maximum=0.2, allow_none=True)
    bitterness = bitterness_field(allow_none=True)
    colour = colour_field(allow_none=True)

    record = WantedBlend


class BlendIn(InSchema):
    """Beers to blend.

    Without `wanted` and `volume` all of each goes in. With them the volumes are solved for the
    blend that comes nearest to what is wanted; `volume` is then that of the blend.
    """

    lots = lots_field(required=True)
    volume = volume_field("volume_l", allow_none=True)
    wanted = fields.Nested(WantedBlendIn(), allow_none=True)

    @post_load
    def build(self, data: dict[str, Any], **_: Any) -> Any:
        """Build the question."""
        wanted = data.get("wanted") or WantedBlend()
        return BlendAsked(tuple(data["lots"]), data.get("volume_l"), wanted)


class MissOut(OutSchema):
    """A property that is not what was wanted; got less wanted is `by`, below zero if too low."""

    property = fields.String(required=True)
    wanted = fields.Nested(AnyQuantityOut(), required=True)
    got = fields.Nested(AnyQuantityOut(), required=True)
    by = fields.Nested(AnyQuantityOut(), required=True)

    @pre_dump
    def write(self, miss: Miss, **_: Any) -> dict[str, Any]:
        """Write the three in the units of this answer."""
        name = wire_name(miss.name)
        return {
            "property": name,
            "wanted": told(miss.wanted, name),
            "got": told(miss.got, name),
            "by": told_difference(miss.got, miss.wanted, name),
        }


class BeerLotOut(OutSchema):
    """One beer with what is known of it."""

    name = fields.String(required=True)
    volume = volume_field("volume_l", required=True)
    original_gravity = fields.Nested(GravityForecastOut(), required=True)
    apparent_attenuation = fields.Nested(FractionForecastOut(), required=True)
    bitterness = bitterness_field(required=True)
    colour = colour_field(required=True)


class BlendForecastOut(OutSchema):
    """What a blend will be; no rule gives its pH. `original_extract_plato` is of its mean."""

    volume = volume_field("volume_l", required=True)
    original_gravity = fields.Nested(GravityForecastOut(), required=True)
    original_extract_plato = Rounded(4, required=True)
    final_gravity = fields.Nested(GravityForecastOut(), required=True)
    alcohol_by_volume = fields.Nested(FractionForecastOut(), required=True)
    apparent_attenuation = fields.Nested(FractionForecastOut(), required=True)
    real_attenuation = fields.Nested(FractionForecastOut(), required=True)
    bitterness = bitterness_field(required=True)
    colour = colour_field(required=True)
    warnings = fields.List(fields.Nested(WarningOut()), required=True, attribute="findings")

    @pre_dump
    def derive(self, made: BlendForecast, **_: Any) -> dict[str, Any]:
        """Put the original extract beside its gravity."""
        plato = plato_from_gravity(made.original_gravity.mean)
        return {**shallow(made), "original_extract_plato": plato}


class BlendPartFields(Schema):
    """How much of a lot goes in."""

    taken = volume_field("taken_l", required=True, may_be_zero=True)


class BlendPartOut(BlendPartFields, BeerLotOut):
    """One beer, and how much of it is taken."""


class BlendOut(OutSchema):
    """How much of each beer, and the blend; `misses` is empty if it is what was wanted."""

    parts = fields.List(fields.Nested(BlendPartOut()), required=True)
    blend = fields.Nested(BlendForecastOut(), required=True)
    misses = fields.List(fields.Nested(MissOut()), required=True)

    @pre_dump
    def pair(self, blended: Blended, **_: Any) -> dict[str, Any]:
        """Put what is taken beside each lot."""
        planned = blended.planned
        parts = [
            {**shallow(lot), "taken_l": taken_l}
            for lot, taken_l in zip(blended.lots, planned.volumes_l, strict=True)
        ]
        return {"parts": parts, "blend": planned.blend, "misses": planned.misses}
