"""What is sent of beers that go together: blends, second brews and sets of brews."""

from collections.abc import Sequence
from typing import Required, TypedDict

from wortwright_client.documents.amounts import Amount, Gravity, Timestamp
from wortwright_client.documents.scalings import BrewhouseDocument


class GravityEndsDocument(TypedDict):
    """The ends of an interval that holds the gravity in 8 cases of 10."""

    low: Gravity
    high: Gravity


class LotDocument(TypedDict, total=False):
    """One beer: of a session, of a scaling as it is forecast, or by its figures.

    ``volume`` is what there is of it for this; without it all that was packaged. By its figures
    a beer needs ``volume`` and ``original_gravity``; a ``final_gravity`` counts as read, an
    ``apparent_attenuation`` as expected. Without its bitterness or colour it counts as having
    none, which only a blend of given volumes allows.
    """

    session_id: str | None
    scaling_id: str | None
    volume: Amount | None
    name: str
    original_gravity: Gravity | None
    original_gravity_interval_80: GravityEndsDocument | None
    final_gravity: Gravity | None
    apparent_attenuation: Amount | None
    bitterness: Amount
    colour: Amount


class WantedBlendDocument(TypedDict, total=False):
    """What a blend should have; what is left out does not matter."""

    original_gravity: Gravity | None
    final_gravity: Gravity | None
    alcohol_by_volume: Amount | None
    bitterness: Amount | None
    colour: Amount | None


class BlendDocument(TypedDict, total=False):
    """Beers to blend.

    Without ``wanted`` and ``volume`` all of each goes in. With them the volumes are solved for
    the blend that comes nearest to what is wanted; ``volume`` is then that of the blend.
    """

    lots: Required[Sequence[LotDocument]]
    volume: Amount | None
    wanted: WantedBlendDocument | None


class SecondBrewDocument(BrewhouseDocument, total=False):
    """A first brew, and the blend wanted of it and a second one.

    All of the first's ``volume`` is blended with ``second_volume`` of the second, both as
    packaged. What ``wanted`` leaves out is the recipe's; any attenuation will do unless it says
    one.
    """

    first: Required[LotDocument]
    second_volume: Required[Amount]
    wanted: WantedBlendDocument | None


class BrewSetDocument(BrewhouseDocument, total=False):
    """One recipe brewed several times for ``packaged`` in all.

    ``brewed`` is what the first brews became: the later ones make up in the blend for what those
    missed. ``starts_at`` lays the brews to come out on the fermenters.
    """

    packaged: Required[Amount]
    brews: Required[int]
    gravity: Gravity | None
    bitterness: Amount | None
    brewed: Sequence[LotDocument]
    starts_at: Timestamp | None
