"""Yeast for a wort."""

from typing import Literal, Required, TypedDict

from wortwright_client.documents.amounts import Amount, Gravity


class DryYeastDocument(TypedDict, total=False):
    """Packets of dry yeast; without ``packets`` as many as hold the cells wanted.

    ``cells_per_gram`` is of viable cells.
    """

    packet: Amount
    packets: int | None
    cells_per_gram: Amount


class LiquidYeastDocument(TypedDict, total=False):
    """Packs of liquid yeast kept cold; past 120 days only a starter tells what still lives."""

    age: Required[Amount]
    packs: int
    cells_per_pack: Amount


class SlurryDocument(TypedDict, total=False):
    """Settled slurry kept cold since an earlier session; without a volume as much as is wanted."""

    age: Required[Amount]
    volume: Amount | None


class CakeDocument(TypedDict):
    """The cake of an earlier session, told by the beer that it came from."""

    age: Amount
    fermented: Amount
    original_gravity: Gravity
    final_gravity: Gravity


class YeastAtHandDocument(TypedDict, total=False):
    """The kind of yeast, the temperature it is pitched at, and one form of it.

    Say at most one of ``dry``, ``liquid``, ``slurry`` and ``cake``; with none only the cells
    wanted are told. ``starter`` is the method of a starter, where one may be made.
    """

    kind: Required[Literal["ale", "hybrid", "lager"]]
    temperature: Required[Amount]
    dry: DryYeastDocument | None
    liquid: LiquidYeastDocument | None
    slurry: SlurryDocument | None
    cake: CakeDocument | None
    starter: Literal["still", "stirred"] | None


class PitchDocument(TypedDict):
    """A wort and the yeast for it."""

    volume: Amount
    original_gravity: Gravity
    yeast: YeastAtHandDocument
