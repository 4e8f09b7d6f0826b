"""Cautions where they belong: each once, in the part of the day in which it can hurt."""

from collections.abc import Iterable, Mapping
from typing import Any

Wire = Mapping[str, Any]

# Code -> the section of the brew sheet it stands in.
SECTION_OF = {
    "alcohol_law": "start",
    "overflow": "start",
    "private_well": "water",
    "laxative_water": "water",
    "lime": "water",
    "acid": "water",
    "metabisulfite": "water",
    "scald": "mash",
    "electric_heating": "mash",
    "gas_burner": "mash",
    "wet_bag": "bag",
    "boil_over": "boil",
    "sealed_kettle": "boil",
    "lifting": "fermenter",
    "caustic": "fermenter",
    "fermentation_gas": "fermenter",
    "sealed_vessel": "finish",
    "glass": "finish",
    "bottle_pressure": "finish",
    "doubtful_bottle": "finish",
    "co2_cylinder": "finish",
    "strong_drink": "finish",
}
SECTIONS = tuple(dict.fromkeys(SECTION_OF.values()))


def by_section(parts: Iterable[Wire]) -> dict[str, list[Wire]]:
    """Sort the cautions of a plan and of what belongs to it.

    Parameters
    ----------
    parts : iterable of mapping
        Whatever carries ``cautions``.

    Returns
    -------
    dict
        Section to its cautions, no code twice; one that is not known here stands at the start.
    """
    sorted_: dict[str, list[Wire]] = {section: [] for section in SECTIONS}
    seen: set[str] = set()
    for row in (row for part in parts for row in part["cautions"]):
        if row["code"] not in seen:
            seen.add(row["code"])
            sorted_[SECTION_OF.get(row["code"], "start")].append(row)
    return sorted_


def doubts(parts: Iterable[Wire]) -> list[str]:
    """Give the warnings of all parts as sentences, none twice."""
    return list(dict.fromkeys(row["detail"] for part in parts for row in part["warnings"]))
