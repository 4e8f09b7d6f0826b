"""What is sent to scale recipes."""

from collections.abc import Sequence
from typing import Literal, Required, TypeAlias, TypedDict

from wortwright_client.documents.amounts import Amount, Gravity
from wortwright_client.documents.hops import StoredHopsDocument
from wortwright_client.documents.packaging import PlannedPackagingDocument
from wortwright_client.documents.recipes import BitternessFormula, RecipeDocument, VolumeAt
from wortwright_client.documents.setups import SetupDocument
from wortwright_client.documents.water import BrewersWaterDocument
from wortwright_client.documents.yeast import YeastAtHandDocument

WayOutKind: TypeAlias = Literal[
    "longer_boil",
    "rinsed_grain",
    "rinsed_and_longer_boil",
    "malt_extract",
    "sugar",
    "several_brews",
    "largest_volume",
    "strongest_beer",
]


class TargetDocument(TypedDict, total=False):
    """The beer wanted; what is left out is the recipe's."""

    volume: Amount | None
    volume_at: VolumeAt | None
    gravity: Gravity | None
    bitterness: Amount | None


class PreferencesDocument(TypedDict, total=False):
    """How the brewer wants it.

    From ``no_extract`` on they hold for the ways out of a plan that does not fit: what the
    brewer will not do, and in ``prefer`` what they would rather do, the most welcome kind first.
    Shares are of all the extract.
    """

    grist_policy: Literal["keep_shares", "keep_character"]
    bitterness_formula: BitternessFormula
    weigh_in: Literal["metric", "us"]
    grain_temperature: Amount
    no_extract: bool
    no_sugar: bool
    no_rinse: bool
    max_boil: Amount
    max_brews: int
    largest_extract_share: Amount
    largest_sugar_share: Amount
    prefer: Sequence[WayOutKind]


class BrewhouseDocument(TypedDict, total=False):
    """Recipe and setup, each either by the id of a stored one or written out."""

    setup_id: str | None
    setup: SetupDocument | None
    recipe_id: str | None
    recipe: RecipeDocument | None
    preferences: PreferencesDocument


class ScalingDocument(BrewhouseDocument, total=False):
    """What to scale onto what, and what else to work out for it."""

    target: TargetDocument
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
