"""Beers that go together: nothing of them is stored."""

from wortwright_client.documents.amounts import Units
from wortwright_client.documents.beers import (
    BlendDocument,
    BrewSetDocument,
    SecondBrewDocument,
)
from wortwright_client.models.beers import Blend, BrewSet, SecondBrew
from wortwright_client.operations.base import Operations, at


class Beers(Operations):
    """Blends, second brews and sets of brews, of which nothing is stored."""

    def compute_blend(self, blend: BlendDocument, *, units: Units | None = None) -> Blend:
        """Blend beers, or find how much of each makes the blend wanted."""
        return self._post(Blend, at("blends"), blend, {"units": units})

    def compute_second_brew(
        self, second_brew: SecondBrewDocument, *, units: Units | None = None
    ) -> SecondBrew:
        """Plan the second brew of a pair so that the blend comes nearest to what was wanted."""
        return self._post(SecondBrew, at("second-brews"), second_brew, {"units": units})

    def compute_brew_set(self, brew_set: BrewSetDocument, *, units: Units | None = None) -> BrewSet:
        """Plan several brews of one recipe, the later ones by what the earlier became."""
        return self._post(BrewSet, at("brew-sets"), brew_set, {"units": units})
