"""What is sent for recipe audits, vessel chains and small beers."""

from typing import Required, TypedDict

from wortwright_client.documents.amounts import Amount, Gravity
from wortwright_client.documents.recipes import BitternessFormula, RecipeDocument
from wortwright_client.documents.scalings import BrewhouseDocument, TargetDocument


class RecipeAuditDocument(TypedDict, total=False):
    """A recipe to hold against its own numbers; its ``style`` is the id or name of a style."""

    bitterness_formula: BitternessFormula
    recipe: Required[RecipeDocument]


class VesselChainDocument(BrewhouseDocument, total=False):
    """Beer wanted in bottles. Unless ``aged`` is false it goes through the ageing vessels.

    Gravity and bitterness default to the recipe's; ``ageing_loss`` is what stays with the yeast
    in each ageing vessel.
    """

    packaged: Required[Amount]
    aged: bool
    gravity: Gravity | None
    bitterness: Amount | None
    ageing_loss: Amount
    cellar_temperature: Amount
    max_brews: int


class SmallBeerDocument(BrewhouseDocument, total=False):
    """A brew whose drained grain is rinsed: a scaling, or a recipe on a setup and its target.

    Either the ``rinse`` is given, or the original ``gravity`` that it should make.
    """

    scaling_id: str | None
    target: TargetDocument
    rinse: Amount | None
    gravity: Gravity | None
    boil_time: Amount
