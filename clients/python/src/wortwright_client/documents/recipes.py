"""What is sent of recipes."""

from collections.abc import Sequence
from typing import Literal, Required, TypeAlias, TypedDict

from wortwright_client.documents.amounts import Amount, Gravity

VolumeAt: TypeAlias = Literal["kettle", "fermenter", "package", "unknown"]
AddedTo: TypeAlias = Literal["mash", "kettle", "fermenter"]
BitternessFormula: TypeAlias = Literal["tinseth", "rager"]
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
