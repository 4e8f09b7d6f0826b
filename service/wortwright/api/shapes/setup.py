"""Setups."""

from dataclasses import dataclass
from typing import Any
from uuid import UUID

from marshmallow import Schema, fields, post_load, validate

from wortwright.api.fields import Choice, StrictInteger, StrictText
from wortwright.api.quantity_field import Quantity
from wortwright.api.schemas import InSchema, OutSchema
from wortwright.api.shapes.change import ChangeIn, ChangeOut
from wortwright.api.shapes.common import (
    Id,
    StoredOut,
    StrictFlag,
    fraction_field,
    name_field,
    volume_field,
)
from wortwright.records.setup import (
    BagDrained,
    Crush,
    GrainHeldBy,
    LauterMethod,
    Setup,
    StatedConstants,
    Vessel,
    Vessels,
)
from wortwright.units import Dimension
from wortwright.usecases.setups import MOST_CHANGES

MOST_VESSELS = 50


class VesselFields(Schema):
    """A vessel."""

    name = StrictText(min_length=0, max_length=100)
    capacity = volume_field("capacity_l", required=True)
    foam_room = fraction_field(
        "foam_room",
        maximum=0.9,
        metadata={
            "description": "Stays free above an ordinary beer. In a fermenter a strong wort and a "
            "yeast that is cropped from the top or makes wheat beer get more of it, a lager yeast "
            "less."
        },
    )
    mash_room = fraction_field("mash_room", maximum=0.9)
    inner_diameter = Quantity(
        Dimension.LENGTH,
        attribute="inner_diameter_mm",
        minimum=50.0,
        maximum=5000.0,
        allow_none=True,
    )


class VesselIn(VesselFields, InSchema):
    """A vessel: its capacity to the brim, and the parts of it that must stay free."""

    record = Vessel


class VesselOut(VesselFields, OutSchema):
    """A vessel."""


class VesselsIn(InSchema):
    """The vessels; without a mash tun the mash is made in the kettle."""

    record = Vessels
    kettle = fields.Nested(VesselIn(), required=True)
    mash_tun = fields.Nested(VesselIn(), allow_none=True)
    fermenters = fields.List(fields.Nested(VesselIn()), validate=validate.Length(max=MOST_VESSELS))
    ageing = fields.List(fields.Nested(VesselIn()), validate=validate.Length(max=MOST_VESSELS))


class VesselsOut(OutSchema):
    """The vessels."""

    kettle = fields.Nested(VesselOut(), required=True)
    mash_tun = fields.Nested(VesselOut(), required=True, allow_none=True)
    fermenters = fields.List(fields.Nested(VesselOut()), required=True)
    ageing = fields.List(fields.Nested(VesselOut()), required=True)


class ConstantsFields(Schema):
    """What a brewer believes of a setup."""

    boil_off = Quantity(
        Dimension.VOLUME_RATE,
        attribute="boil_off_l_per_h",
        minimum=0.0,
        maximum=1000.0,
        allow_none=True,
    )
    kettle_loss = volume_field("kettle_loss_l", 500.0, may_be_zero=True, allow_none=True)
    absorption = Quantity(
        Dimension.VOLUME_PER_MASS,
        attribute="absorption_l_per_kg",
        minimum=0.0,
        maximum=3.0,
        allow_none=True,
    )
    dead_space = volume_field("dead_space_l", 500.0, may_be_zero=True, allow_none=True)
    fermenter_loss = volume_field("fermenter_loss_l", 500.0, may_be_zero=True, allow_none=True)
    conversion = fraction_field("conversion", minimum=0.3, allow_none=True)
    vessel_heat = Quantity(
        Dimension.MASS, attribute="vessel_heat_kg", minimum=0.0, maximum=1000.0, allow_none=True
    )
    mash_heat_loss = Quantity(
        Dimension.TEMPERATURE_RATE,
        attribute="mash_heat_loss_c_per_h",
        minimum=0.0,
        maximum=60.0,
        allow_none=True,
    )


class ConstantsIn(ConstantsFields, InSchema):
    """What the brewer believes of the setup; the sessions will correct it.

    `absorption` is water in minus wort out, per mass of grain. `vessel_heat` is the mass of
    water that would take as much heat as the mash vessel does.
    """

    record = StatedConstants


class ConstantsOut(ConstantsFields, OutSchema):
    """What the brewer believes of the setup."""


class SetupFields(Schema):
    """What a setup is, but for its vessels and constants."""

    name = name_field()
    lauter_method = Choice(LauterMethod, required=True)
    runnings = StrictInteger(minimum=1, maximum=5)
    grain_held_by = Choice(GrainHeldBy, allow_none=True)
    bag_drained = Choice(BagDrained, allow_none=True)
    crush = Choice(Crush, allow_none=True)
    shares_with_club = StrictFlag()


class SetupIn(SetupFields, InSchema):
    """One brewing system.

    With `shares_with_club` it learns from setups of the same method in its club whose brewers
    share too, and they from it: what their constants are, never a reading.
    """

    record = Setup
    vessels = fields.Nested(VesselsIn(), required=True)
    constants = fields.Nested(ConstantsIn())
    changes = fields.List(fields.Nested(ChangeIn()), validate=validate.Length(max=MOST_CHANGES))


@dataclass(frozen=True, slots=True)
class NewSetup:
    """A setup with its brewer."""

    brewer_id: UUID
    setup: Setup


class NewSetupIn(SetupIn):
    """One brewing system to be kept, and whose it is."""

    brewer_id = Id(required=True)

    @post_load
    def build(self, data: dict[str, Any], **_: Any) -> Any:
        """Build the setup and put its brewer beside it."""
        return NewSetup(data.pop("brewer_id"), super().build(data))


class SetupContentOut(SetupFields, OutSchema):
    """One brewing system."""

    vessels = fields.Nested(VesselsOut(), required=True)
    constants = fields.Nested(ConstantsOut(), required=True)
    changes = fields.List(fields.Nested(ChangeOut()), required=True)


class SetupOut(SetupContentOut, StoredOut):
    """A stored setup."""

    brewer_id = Id(required=True)
