"""Corrections in words, in the units of the answer they come from."""

from collections.abc import Iterator, Mapping
from typing import Any

from wortwright.pages.amounts import amount
from wortwright.pages.kettle_scale import KettleScale
from wortwright.pages.wording import hop_moment, listed

Wire = Mapping[str, Any]

_BOILS = frozenset({"boil_longer", "boil_shorter", "dry_extract_and_boil"})


def what_to_do(correction: Wire, kettle: KettleScale, *, boil_is: str, when: str) -> str:
    """Say what a correction asks for, but for the hops.

    Parameters
    ----------
    correction : mapping
        As the API writes it.
    kettle : KettleScale
        For the volume to boil down to.
    boil_is : str
        What the boil of the correction is counted as: "in all", "from now".
    when : str
        When water and extract go in.

    Returns
    -------
    str
        Half a sentence: ``boil 104 min in all, down to 12.6 L hot, 124 mm deep``.
    """
    return listed(list(_deeds(correction, kettle, boil_is, when))) or "weigh the hops anew"


def _deeds(correction: Wire, kettle: KettleScale, boil_is: str, when: str) -> Iterator[str]:
    if correction["kind"] in _BOILS:
        down_to = kettle.read_hot(correction["boil_down_to"])
        yield f"boil {amount(correction['boil'])} {boil_is}, down to {down_to}"
    if correction["dry_extract"]["value"] > 0.0:
        yield f"dissolve {amount(correction['dry_extract'])} of dry malt extract {when}"
    if correction["top_up"]["value"] > 0.0:
        yield f"top up with {amount(correction['top_up'])} of boiled water {when}"


def hops_anew(correction: Wire) -> list[str]:
    """Say which hops are weighed otherwise than planned."""
    return [_hop_anew(change) for change in correction["hop_changes"]]


def _hop_anew(change: Wire) -> str:
    moment = hop_moment({**change, "temperature": None})
    if change["planned"]["value"] == 0.0:
        return f"{amount(change['mass'])} of {change['name']} more, {moment}"
    planned = amount(change["planned"])
    return f"{amount(change['mass'])} of {change['name']} instead of {planned}, {moment}"


def where_it_ends(end: Wire) -> str:
    """Say what a brew becomes: ``1.061 and 20.4 L in the fermenter, 38 IBU``."""
    volume = amount(end["fermenter"]["mean"])
    gravity = amount(end["original_gravity"]["mean"])
    return f"{gravity} and {volume} in the fermenter, {amount(end['bitterness'])}"
