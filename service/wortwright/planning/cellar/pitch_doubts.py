"""Doubts about a pitch."""

from wortwright.brewing.oxygen import OxygenWanted
from wortwright.brewing.starter import StarterStep
from wortwright.brewing.tables.yeast import YeastKind
from wortwright.brewing.yeast import PitchRisk
from wortwright.planning.plan import Finding
from wortwright.records.sentence import litres, say

DILUTING_SHARE = 0.05
"""A starter larger than this part of the wort is decanted first (common practice)."""


def of_kind(asked: YeastKind, counted_as: YeastKind) -> list[Finding]:
    """Tell where the temperature changes how the yeast is counted."""
    if asked is counted_as:
        return []
    return [
        Finding(
            "counted_as_hybrid",
            f"At this temperature the {asked} yeast is counted as a hybrid, which wants "
            f"{'more' if asked is YeastKind.ALE else 'fewer'} cells.",
        )
    ]


def of_cake(*, tired: bool) -> list[Finding]:
    """Tell of yeast that had too hard a life."""
    if not tired:
        return []
    return [
        Finding(
            "tired_yeast",
            "This yeast fermented a beer of more than 8 % by volume and is tired; fresh yeast is "
            "better.",
        )
    ]


def of_share(risk: PitchRisk, meaning: str) -> list[Finding]:
    """Tell what too few or too many cells would mean."""
    return [] if risk is PitchRisk.ENOUGH else [Finding(risk, meaning)]


def of_starter(steps: tuple[StarterStep, ...], volume_l: float) -> list[Finding]:
    """Tell of a starter that would water down the beer."""
    if not steps or steps[-1].volume_l <= DILUTING_SHARE * volume_l:
        return []
    return [
        Finding(
            "decant_starter",
            say(
                "The starter of {volume} is more than a twentieth of the wort: chill it and pour "
                "off the spent beer before pitching.",
                volume=litres(steps[-1].volume_l),
            ),
        )
    ]


def of_oxygen(oxygen: OxygenWanted) -> list[Finding]:
    """Tell where air cannot give the oxygen wanted."""
    found = []
    if oxygen.needs_pure_oxygen:
        found.append(
            Finding(
                "air_is_not_enough",
                f"Air gives this wort {oxygen.air_can_give_mg_l:.0f} mg/L of oxygen at most; "
                f"the {oxygen.wanted_mg_l:.0f} mg/L wanted needs pure oxygen.",
            )
        )
    if oxygen.second_dose:
        found.append(
            Finding(
                "second_oxygen",
                "So strong a wort wants oxygen a second time, 12 to 18 hours after pitching and "
                "never after 24.",
            )
        )
    return found
