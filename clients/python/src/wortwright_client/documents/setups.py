"""What is sent of setups."""

from collections.abc import Sequence
from typing import Literal, Required, TypedDict

from wortwright_client.documents.amounts import Amount


class VesselDocument(TypedDict, total=False):
    """A vessel, and what of it must stay free."""

    capacity: Required[Amount]
    name: str
    foam_room: Amount
    mash_room: Amount
    inner_diameter: Amount | None


class VesselsDocument(TypedDict, total=False):
    """The vessels of a setup."""

    kettle: Required[VesselDocument]
    mash_tun: VesselDocument | None
    fermenters: Sequence[VesselDocument]
    ageing: Sequence[VesselDocument]


class ConstantsDocument(TypedDict, total=False):
    """What the brewer believes of a setup."""

    boil_off: Amount | None
    kettle_loss: Amount | None
    absorption: Amount | None
    dead_space: Amount | None
    fermenter_loss: Amount | None
    conversion: Amount | None
    vessel_heat: Amount | None
    mash_heat_loss: Amount | None


class ChangeDocument(TypedDict, total=False):
    """A change of equipment or method; of `nothing` it answers a suspicion."""

    on: Required[str]
    what: Required[Literal["mill", "bag", "kettle", "method", "nothing"]]
    note: str


class SetupDocument(TypedDict, total=False):
    """A brewing system."""

    name: Required[str]
    lauter_method: Required[Literal["no_sparge", "batch_sparge", "continuous_sparge"]]
    runnings: int
    grain_held_by: Literal["bag", "false_bottom"] | None
    bag_drained: Literal["hung", "squeezed"] | None
    crush: Literal["fine", "shop", "coarse"] | None
    vessels: Required[VesselsDocument]
    constants: ConstantsDocument
    changes: Sequence[ChangeDocument]
    shares_with_club: bool


class NewSetupDocument(SetupDocument):
    """A brewing system to be kept, and whose it is."""

    brewer_id: str
