"""Who brews: the club and its brewers."""

from dataclasses import dataclass
from enum import StrEnum


class UnitSystem(StrEnum):
    """The units that a brewer reads."""

    METRIC = "metric"
    US = "us"
    IMPERIAL = "imperial"


@dataclass(frozen=True, slots=True)
class Club:
    """The tenant: brewers whose data stay together."""

    name: str


@dataclass(frozen=True, slots=True)
class Brewer:
    """The person whose setups, recipes and sessions these are."""

    name: str
    units: UnitSystem = UnitSystem.METRIC
