"""What is weighed: fermentables and hops."""

from dataclasses import dataclass
from enum import StrEnum


class Kind(StrEnum):
    """What a fermentable is; decides where it goes and what it is for."""

    BASE_MALT = "base_malt"
    KILNED_MALT = "kilned_malt"
    CRYSTAL_MALT = "crystal_malt"
    ROASTED_MALT = "roasted_malt"
    ACIDULATED_MALT = "acidulated_malt"
    UNMALTED = "unmalted"
    HUSKS = "husks"
    SUGAR = "sugar"
    SYRUP = "syrup"
    MALT_EXTRACT = "malt_extract"


class AddedTo(StrEnum):
    """Where a fermentable goes in. Only what is mashed is subject to mash efficiency."""

    MASH = "mash"
    KETTLE = "kettle"
    FERMENTER = "fermenter"


class Role(StrEnum):
    """Base malt gives extract; character malt gives colour and flavour."""

    BASE = "base"
    CHARACTER = "character"


class ShareOf(StrEnum):
    """What a share in a grist is a share of."""

    MASS = "mass"
    EXTRACT = "extract"


class HopForm(StrEnum):
    """How the hops are packed."""

    PELLET = "pellet"
    WHOLE = "whole"


class Moment(StrEnum):
    """When the hops go in."""

    MASH = "mash"
    FIRST_WORT = "first_wort"
    BOIL = "boil"
    STAND = "stand"
    DRY = "dry"


class Purpose(StrEnum):
    """What an addition is for: bitterness keeps its bitterness, aroma its mass per volume."""

    BITTERNESS = "bitterness"
    AROMA = "aroma"


@dataclass(frozen=True, slots=True)
class Fermentable:
    """One line of a grist, complete: what was left out has been filled in and is named.

    Exactly one of ``mass_kg`` and ``share`` is given. ``extract_yield`` is the fine-grind
    laboratory yield on dry basis [fraction]; with ``moisture`` 0 it is the as-is yield.
    ``assumed`` names the fields that came from the table of generic ingredients.
    """

    name: str
    kind: Kind
    extract_yield: float
    moisture: float
    colour_ebc: float
    added_to: AddedTo
    role: Role
    mass_kg: float | None = None
    share: float | None = None
    assumed: tuple[str, ...] = ()

    @property
    def as_is_yield(self) -> float:
        """Extract per kilogram as weighed. [kg/kg]"""
        return self.extract_yield * (1.0 - self.moisture)


@dataclass(frozen=True, slots=True)
class HopAddition:
    """One line of a hop bill. Exactly one of ``mass_kg`` and ``bitterness_ibu`` is given."""

    name: str
    alpha: float
    form: HopForm
    moment: Moment
    purpose: Purpose
    time_min: float = 0.0
    temperature_c: float | None = None
    mass_kg: float | None = None
    bitterness_ibu: float | None = None
    assumed: tuple[str, ...] = ()
