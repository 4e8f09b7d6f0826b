"""What the brewer will not do, and what they would rather do."""

from dataclasses import dataclass
from enum import StrEnum


class WayKind(StrEnum):
    """Kinds of way out, in the order they are offered unless the brewer prefers another."""

    LONGER_BOIL = "longer_boil"
    RINSED_GRAIN = "rinsed_grain"
    RINSED_AND_LONGER_BOIL = "rinsed_and_longer_boil"
    MALT_EXTRACT = "malt_extract"
    SUGAR = "sugar"
    SEVERAL_BREWS = "several_brews"
    LARGEST_VOLUME = "largest_volume"
    STRONGEST_BEER = "strongest_beer"


@dataclass(frozen=True, slots=True)
class Limits:
    """Limits of the brewer; the defaults are common practice, no source.

    ``largest_extract_share`` and ``largest_sugar_share`` are shares of all the extract that
    malt extract and plain sugar may come to, with what the recipe has of them already.
    ``prefer`` names kinds of way out, the most welcome first; the rest follow in their usual
    order.
    """

    no_extract: bool = False
    no_sugar: bool = False
    no_rinse: bool = False
    max_boil_min: float = 150.0
    max_brews: int = 2
    largest_extract_share: float = 0.40
    largest_sugar_share: float = 0.10
    prefer: tuple[WayKind, ...] = ()

    def rank(self, kind: WayKind) -> int:
        """Place of a kind in the brewer's order; smaller is more welcome."""
        order = [*self.prefer, *(other for other in WayKind if other not in self.prefer)]
        return order.index(kind)
