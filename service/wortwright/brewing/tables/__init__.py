"""Generic ingredients, each row with its source: what to assume when a recipe does not say.

Read once, at import. Classes of malt and public hop varieties only; what a maltster's sheet or a
packet says wins. Colours in EBC are 1.97 times the degrees Lovibond of the sources. The largest
shares of a grist are common practice. A fermentability stands only where it is known.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from wortwright.brewing.tables.rows import rows


@dataclass(frozen=True, slots=True)
class GenericFermentable:
    """A class of malt, adjunct, sugar or extract.

    ``extract_yield`` is fine-grind on dry basis, of syrups and extracts per dry solids [kg/kg];
    ``moisture``, ``fermentability`` (of its extract) and ``max_share`` (of the grist's mass) are
    fractions; ``kind`` is one of the kinds of fermentable by its plain name.
    """

    name: str
    aliases: tuple[str, ...]
    kind: str
    extract_yield: float
    moisture: float
    colour_ebc: float
    fermentability: float | None
    max_share: float
    source: str


@dataclass(frozen=True, slots=True)
class GenericHop:
    """A hop variety: acids by mass [fraction], loss of alpha acid per day at 20 degC [1/day]."""

    name: str
    aliases: tuple[str, ...]
    alpha: float
    beta: float
    storage_loss_per_day: float
    source: str


_TYPICAL = {
    "base_malt": "Pale ale malt",
    "kilned_malt": "Munich malt, dark",
    "crystal_malt": "Crystal 60 L",
    "roasted_malt": "Chocolate malt",
    "acidulated_malt": "Acidulated malt",
    "unmalted": "Flaked barley",
    "husks": "Rice hulls",
    "sugar": "Sucrose",
    "syrup": "Invert syrup, pale",
    "malt_extract": "Dry malt extract, light",
}


def fermentable_by_name(name: str) -> GenericFermentable | None:
    """Find a generic fermentable by its name or an alias, in any case.

    Parameters
    ----------
    name : str
        Name as written in a recipe.

    Returns
    -------
    GenericFermentable or None
        None if nothing is known by that name.
    """
    return _FERMENTABLE_BY_NAME.get(_key(name))


def hop_by_name(name: str) -> GenericHop | None:
    """Find a hop variety by its name or an alias, in any case.

    Parameters
    ----------
    name : str
        Name as written in a recipe.

    Returns
    -------
    GenericHop or None
        None if nothing is known by that name.
    """
    return _HOP_BY_NAME.get(_key(name))


def typical_of_kind(kind: str) -> GenericFermentable:
    """Give the fermentable to assume when only its kind is known.

    Parameters
    ----------
    kind : str
        Kind of fermentable, e.g. ``"crystal_malt"``.

    Returns
    -------
    GenericFermentable
        The one in the middle of its kind.

    Raises
    ------
    KeyError
        For an unknown kind.
    """
    return _FERMENTABLE_BY_NAME[_key(_TYPICAL[kind])]


def _key(name: str) -> str:
    return " ".join(name.casefold().split())


def _aliases(row: Mapping[str, str]) -> tuple[str, ...]:
    return tuple(filter(None, row["aliases"].split("; ")))


def _fermentable(row: Mapping[str, str]) -> GenericFermentable:
    return GenericFermentable(
        name=row["name"],
        aliases=_aliases(row),
        kind=row["kind"],
        extract_yield=float(row["extract_yield"]),
        moisture=float(row["moisture"]),
        colour_ebc=float(row["colour_ebc"]),
        fermentability=float(row["fermentability"]) if row["fermentability"] else None,
        max_share=float(row["max_share"]),
        source=row["source"],
    )


def _hop(row: Mapping[str, str]) -> GenericHop:
    return GenericHop(
        name=row["name"],
        aliases=_aliases(row),
        alpha=float(row["alpha"]),
        beta=float(row["beta"]),
        storage_loss_per_day=float(row["storage_loss_per_day"]),
        source=row["source"],
    )


def _keys(item: GenericFermentable | GenericHop) -> list[str]:
    return [_key(name) for name in (item.name, *item.aliases)]


FERMENTABLES = tuple(map(_fermentable, rows("fermentables.csv")))
HOPS = tuple(map(_hop, rows("hops.csv")))
_FERMENTABLE_BY_NAME = {key: item for item in FERMENTABLES for key in _keys(item)}
_HOP_BY_NAME = {key: item for item in HOPS for key in _keys(item)}
