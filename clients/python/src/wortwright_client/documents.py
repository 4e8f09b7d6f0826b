"""What is sent to the service: plain dictionaries, typed.

An amount is a text such as ``"20 lb"``, a `Quantity` out of an answer, or ``{"value": 20,
"unit": "lb"}``; a gravity may also be a bare specific gravity such as ``1.044``. Times are aware
`datetime` objects or RFC 3339 texts. What may be left out is filled in by the service.
"""

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any, Literal, Required, TypeAlias, TypedDict

from wortwright_client.quantities import Quantity


class QuantityDocument(TypedDict):
    """A number with its unit."""

    value: float
    unit: str


Amount: TypeAlias = str | Quantity | QuantityDocument
Gravity: TypeAlias = Amount | float
Timestamp: TypeAlias = str | datetime

# All of a brewer, in a form that only the service reads. It is JSON, to be kept in a file.
Export: TypeAlias = Mapping[str, Any]

Units: TypeAlias = Literal["metric", "us", "imperial"]
VolumeAt: TypeAlias = Literal["kettle", "fermenter", "package", "unknown"]
SessionState: TypeAlias = Literal["open", "closed", "set_aside"]
AddedTo: TypeAlias = Literal["mash", "kettle", "fermenter"]
Role: TypeAlias = Literal["base", "character", "auto"]
Kind: TypeAlias = Literal[
    "base_malt",
    "kilned_malt",
    "crystal_malt",
    "roasted_malt",
    "acidulated_malt",
    "unmalted",
    "husks",
    "sugar",
    "syrup",
    "malt_extract",
]
Stage: TypeAlias = Literal[
    "mash_in",
    "mash_end",
    "first_wort",
    "pre_boil",
    "mid_boil",
    "post_boil",
    "fermenter",
    "final",
]


class BrewerDocument(TypedDict, total=False):
    """A brewer."""

    name: Required[str]
    units: Units


class KeyDocument(TypedDict, total=False):
    """A key to be minted: of the club, of one brewer, or for pages in a browser."""

    kind: Required[Literal["club", "brewer", "page", "link"]]
    name: Required[str]
    brewer_id: str | None
    expires_at: Timestamp | None
    origins: Sequence[str]


class LinkDocument(TypedDict, total=False):
    """A link to be minted: whom it is for, and until when."""

    name: str
    expires_at: Timestamp | None


class FermentableDocument(TypedDict, total=False):
    """One line of a recipe's grist, by mass or by share."""

    name: Required[str]
    kind: Kind | None
    extract_yield: Amount | None
    moisture: Amount | None
    colour: Amount | None
    added_to: AddedTo | None
    mass: Amount | None
    share: Amount | None
    share_of: Literal["mass", "extract"] | None
    role: Role


class WeighedFermentableDocument(TypedDict, total=False):
    """One line of a grist as it was weighed."""

    name: Required[str]
    kind: Kind | None
    extract_yield: Amount | None
    moisture: Amount | None
    colour: Amount | None
    added_to: AddedTo | None
    mass: Required[Amount]
    role: Role


class HopAdditionDocument(TypedDict, total=False):
    """One line of a hop bill, by mass or by bitterness."""

    name: Required[str]
    moment: Required[Literal["mash", "first_wort", "boil", "stand", "dry"]]
    mass: Amount | None
    bitterness: Amount | None
    alpha: Amount | None
    form: Literal["pellet", "whole"] | None
    time: Amount | None
    temperature: Amount | None
    purpose: Literal["bitterness", "aroma", "auto"]


class MashStepDocument(TypedDict):
    """One rest of the mash."""

    temperature: Amount
    time: Amount


class YeastDocument(TypedDict, total=False):
    """The yeast, with the apparent attenuation its maker states."""

    name: Required[str]
    apparent_attenuation: Amount | None


class RecipeDocument(TypedDict, total=False):
    """A recipe as its author wrote it, for their own system."""

    name: Required[str]
    volume: Required[Amount]
    volume_at: VolumeAt
    efficiency: Amount | None
    efficiency_kind: Literal["mash", "brewhouse", "unknown"]
    original_gravity: Gravity | None
    final_gravity: Gravity | None
    bitterness: Amount | None
    colour: Amount | None
    boil_time: Amount
    style: str | None
    mash: Sequence[MashStepDocument]
    yeast: YeastDocument | None
    grist: Required[Sequence[FermentableDocument]]
    hop_bill: Sequence[HopAdditionDocument]


class NewRecipeDocument(RecipeDocument):
    """A recipe to be kept, and whose it is: ``club``, or the id of a brewer."""

    owner: str


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


class NewSetupDocument(SetupDocument):
    """A brewing system to be kept, and whose it is."""

    brewer_id: str


class ReadingDocument(TypedDict, total=False):
    """What was read at one stage of a brew."""

    stage: Required[Stage]
    volume: Amount | None
    volume_temperature: Amount | None
    gravity: Gravity | None
    gravity_temperature: Amount | None
    temperature: Amount | None
    ph: float | None
    instrument: str | None


class WaterDocument(TypedDict, total=False):
    """The water that went in."""

    strike: Amount | None
    sparge: Amount | None
    top_up: Amount | None


class SessionDocument(TypedDict, total=False):
    """One brew."""

    brewed_at: Required[Timestamp]
    grist: Required[Sequence[WeighedFermentableDocument]]
    planned_preboil_volume: Amount | None
    boil_time: Amount | None
    state: SessionState
    set_aside_because: str | None
    water: WaterDocument
    hop_bill: Sequence[HopAdditionDocument]
    readings: Sequence[ReadingDocument]


class NewSessionDocument(SessionDocument, total=False):
    """One brew to be kept: on which setup, and by which scaling if by one."""

    setup_id: Required[str]
    scaling_id: str | None


class TargetDocument(TypedDict, total=False):
    """The beer wanted; what is left out is the recipe's."""

    volume: Amount | None
    volume_at: VolumeAt | None
    gravity: Gravity | None
    bitterness: Amount | None


class PreferencesDocument(TypedDict, total=False):
    """How the brewer wants it."""

    grist_policy: Literal["keep_shares", "keep_character"]
    bitterness_formula: Literal["tinseth", "rager"]
    weigh_in: Literal["metric", "us"]
    grain_temperature: Amount


class ScalingDocument(TypedDict, total=False):
    """What to scale onto what: each either by the id of a stored one or written out."""

    setup_id: str | None
    setup: SetupDocument | None
    recipe_id: str | None
    recipe: RecipeDocument | None
    target: TargetDocument
    preferences: PreferencesDocument


class BatchDocument(TypedDict, total=False):
    """Stored recipes to scale onto one stored setup."""

    setup_id: Required[str]
    recipe_ids: Required[Sequence[str]]
    target: TargetDocument
    preferences: PreferencesDocument
