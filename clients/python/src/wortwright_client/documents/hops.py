"""Hops in store and in place of one another."""

from collections.abc import Sequence
from typing import Literal, Required, TypedDict

from wortwright_client.documents.amounts import Amount


class StoredHopsDocument(TypedDict, total=False):
    """Hops with their alpha acid at the date of analysis, and how they were kept since.

    Without a date there is nothing to correct. ``storage_index`` is the hop storage index read
    now; with it age and store do not matter, and are not given. ``lost_in_half_year`` is the
    loss of the variety at 20 degC in an open bag, where it is known better than by its name.
    """

    name: Required[str]
    alpha: Required[Amount]
    age: Amount
    temperature: Amount
    packing: Literal["open_bag", "airtight", "barrier"]
    lost_in_half_year: Amount | None
    storage_index: float | None


class HopAgingDocument(TypedDict):
    """Hops whose alpha acid is to be worked out."""

    hops: Sequence[StoredHopsDocument]


class HopSubstitutionDocument(TypedDict, total=False):
    """A hop addition and the alpha acid of the hop that is to stand for it.

    For ``bitterness`` the bitterness is kept, for ``aroma`` the mass.
    """

    mass: Required[Amount]
    alpha: Required[Amount]
    other_alpha: Required[Amount]
    purpose: Literal["bitterness", "aroma"]
