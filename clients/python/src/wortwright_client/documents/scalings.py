"""What is sent to scale recipes."""

from collections.abc import Sequence
from typing import Literal, Required, TypedDict

from wortwright_client.documents.amounts import Amount, Gravity
from wortwright_client.documents.hops import StoredHopsDocument
from wortwright_client.documents.packaging import PlannedPackagingDocument
from wortwright_client.documents.recipes import RecipeDocument, VolumeAt
from wortwright_client.documents.setups import SetupDocument
from wortwright_client.documents.water import BrewersWaterDocument
from wortwright_client.documents.yeast import YeastAtHandDocument


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
    water: BrewersWaterDocument | None
    yeast: YeastAtHandDocument | None
    packaging: PlannedPackagingDocument | None
    hops_in_store: Sequence[StoredHopsDocument]


class BatchDocument(TypedDict, total=False):
    """Stored recipes to scale onto one stored setup."""

    setup_id: Required[str]
    recipe_ids: Required[Sequence[str]]
    target: TargetDocument
    preferences: PreferencesDocument
