"""Plans around a recipe, and the styles to hold it against: nothing of them is stored."""

from collections.abc import Iterator

from wortwright_client.documents.amounts import Units
from wortwright_client.documents.plans import (
    RecipeAuditDocument,
    SmallBeerDocument,
    VesselChainDocument,
)
from wortwright_client.models.audits import RecipeAudit, Style
from wortwright_client.models.vessel_chains import SmallBeer, VesselChain
from wortwright_client.operations.base import Operations, at


class Plans(Operations):
    """Recipe audits, vessel chains and small beers, of which nothing is stored."""

    def compute_recipe_audit(
        self, recipe_audit: RecipeAuditDocument, *, units: Units | None = None
    ) -> RecipeAudit:
        """Hold a recipe against its own numbers, and against the style it names."""
        return self._post(RecipeAudit, at("recipe-audits"), recipe_audit, {"units": units})

    def list_styles(self, *, units: Units | None = None) -> Iterator[Style]:
        """List the styles of the 2021 guidelines that are known, in numbers only."""
        return self._list(Style, at("styles"), {"units": units})

    def compute_vessel_chain(
        self, vessel_chain: VesselChainDocument, *, units: Units | None = None
    ) -> VesselChain:
        """Plan the brews for a volume wanted in bottles, every vessel and loss counted."""
        return self._post(VesselChain, at("vessel-chains"), vessel_chain, {"units": units})

    def compute_small_beer(
        self, small_beer: SmallBeerDocument, *, units: Units | None = None
    ) -> SmallBeer:
        """Forecast the small beer that rinsing the spent grain of a brew would give."""
        return self._post(SmallBeer, at("small-beers"), small_beer, {"units": units})
