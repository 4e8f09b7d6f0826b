"""A recipe as its author wrote it, for their own system."""

from dataclasses import dataclass
from enum import StrEnum

from wortwright.records.grist import Fermentable, HopAddition, ShareOf


class VolumeAt(StrEnum):
    """Where a volume is counted; every volume is at 20 degC."""

    KETTLE = "kettle"
    FERMENTER = "fermenter"
    PACKAGE = "package"
    UNKNOWN = "unknown"


class EfficiencyKind(StrEnum):
    """Into the kettle (mash) or into the fermenter (brewhouse); print is ambiguous."""

    MASH = "mash"
    BREWHOUSE = "brewhouse"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True)
class MashStep:
    """One rest of the mash."""

    temperature_c: float
    time_min: float


@dataclass(frozen=True, slots=True)
class Yeast:
    """The yeast by name, with the apparent attenuation its maker states."""

    name: str
    apparent_attenuation: float | None = None


@dataclass(frozen=True, slots=True)
class Recipe:
    """A recipe in base units. A grist in shares needs ``original_gravity``."""

    name: str
    volume_l: float
    grist: tuple[Fermentable, ...]
    volume_at: VolumeAt = VolumeAt.UNKNOWN
    efficiency: float | None = None
    efficiency_kind: EfficiencyKind = EfficiencyKind.UNKNOWN
    original_gravity: float | None = None
    final_gravity: float | None = None
    bitterness_ibu: float | None = None
    colour_ebc: float | None = None
    boil_time_min: float = 60.0
    mash: tuple[MashStep, ...] = ()
    yeast: Yeast | None = None
    style: str | None = None
    hop_bill: tuple[HopAddition, ...] = ()
    share_of: ShareOf = ShareOf.MASS
