"""One brewing system as its brewer describes it."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum


class LauterMethod(StrEnum):
    """How wort leaves the grain. A dunked bag is a batch sparge with two runnings."""

    NO_SPARGE = "no_sparge"
    BATCH_SPARGE = "batch_sparge"
    CONTINUOUS_SPARGE = "continuous_sparge"


class GrainHeldBy(StrEnum):
    """What holds the grain back."""

    BAG = "bag"
    FALSE_BOTTOM = "false_bottom"


class BagDrained(StrEnum):
    """How a bag gives up its wort."""

    HUNG = "hung"
    SQUEEZED = "squeezed"


class Crush(StrEnum):
    """How finely the malt is milled."""

    FINE = "fine"
    SHOP = "shop"
    COARSE = "coarse"


@dataclass(frozen=True, slots=True)
class Vessel:
    """A vessel: brim capacity and what must stay free of it [fraction]."""

    capacity_l: float
    name: str = ""
    foam_room: float = 0.20
    mash_room: float = 0.05
    inner_diameter_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Vessels:
    """The vessels of a setup; without a mash tun the mash is made in the kettle."""

    kettle: Vessel
    mash_tun: Vessel | None = None
    fermenters: tuple[Vessel, ...] = ()
    ageing: tuple[Vessel, ...] = ()


@dataclass(frozen=True, slots=True)
class StatedConstants:
    """What the brewer believes of the setup; None where not said.

    A stated constant joins the calibration as a prior mean with half the default spread.
    ``absorption_l_per_kg`` is apparent: water in minus wort out, per kilogram of grain.
    """

    boil_off_l_per_h: float | None = None
    kettle_loss_l: float | None = None
    absorption_l_per_kg: float | None = None
    dead_space_l: float | None = None
    fermenter_loss_l: float | None = None
    conversion: float | None = None
    vessel_heat_kg: float | None = None
    mash_heat_loss_c_per_h: float | None = None


class Changed(StrEnum):
    """What was changed on a setup; ``NOTHING`` answers a suspicion."""

    MILL = "mill"
    BAG = "bag"
    KETTLE = "kettle"
    METHOD = "method"
    NOTHING = "nothing"


@dataclass(frozen=True, slots=True)
class Change:
    """A change of equipment or method: brews of that day and later are of a new era.

    Of ``NOTHING`` it says that up to that day nothing else was changed.
    """

    on: date
    what: Changed
    note: str = ""


@dataclass(frozen=True, slots=True)
class Setup:
    """One brewing system in base units.

    With ``shares_with_club`` it learns from setups of the same method whose brewers share too,
    and they from it: constants only, never readings.
    """

    name: str
    lauter_method: LauterMethod
    vessels: Vessels
    runnings: int = 2
    grain_held_by: GrainHeldBy | None = None
    bag_drained: BagDrained | None = None
    crush: Crush | None = None
    constants: StatedConstants = StatedConstants()
    changes: tuple[Change, ...] = ()
    shares_with_club: bool = False
