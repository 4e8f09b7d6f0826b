"""Setups, and what the sessions say of them."""

from dataclasses import dataclass
from datetime import date
from typing import cast

from wortwright_client._reading import Model, as_document
from wortwright_client.documents.setups import SetupDocument
from wortwright_client.models.people import Stored
from wortwright_client.quantities import Amount, Quantity


@dataclass(frozen=True, kw_only=True)
class Vessel(Model):
    """A kettle, mash tun, fermenter or ageing vessel, and what of it must stay free."""

    capacity: Quantity
    name: str | None = None
    foam_room: Quantity | None = None
    mash_room: Quantity | None = None
    inner_diameter: Quantity | None = None


@dataclass(frozen=True, kw_only=True)
class Vessels(Model):
    """The vessels of a setup."""

    kettle: Vessel
    mash_tun: Vessel | None
    fermenters: tuple[Vessel, ...]
    ageing: tuple[Vessel, ...]


@dataclass(frozen=True, kw_only=True)
class Constants(Model):
    """What the brewer believes of a setup."""

    boil_off: Quantity | None = None
    kettle_loss: Quantity | None = None
    absorption: Quantity | None = None
    dead_space: Quantity | None = None
    fermenter_loss: Quantity | None = None
    conversion: Quantity | None = None
    vessel_heat: Quantity | None = None
    mash_heat_loss: Quantity | None = None


@dataclass(frozen=True, kw_only=True)
class Change(Model):
    """A change of equipment or method: brews of that day and later are of a new era."""

    on: date
    what: str
    note: str | None = None


@dataclass(frozen=True, kw_only=True)
class SetupContent(Model):
    """A brewing system: vessels, lauter method and what is believed of them."""

    name: str
    lauter_method: str
    vessels: Vessels
    constants: Constants
    changes: tuple[Change, ...]
    runnings: int | None = None
    grain_held_by: str | None = None
    bag_drained: str | None = None
    crush: str | None = None
    shares_with_club: bool | None = None

    def to_document(self) -> SetupDocument:
        """Write the setup as `replace_setup` and `create_scaling` take it."""
        return cast(SetupDocument, as_document(self))


@dataclass(frozen=True, kw_only=True)
class Setup(SetupContent, Stored):
    """A stored setup of one brewer."""

    brewer_id: str


@dataclass(frozen=True, kw_only=True)
class Estimate(Model):
    """One constant of a setup: now, before any session, and how many sessions spoke of it."""

    name: str
    mean: Amount
    sd: Amount
    prior_mean: Amount
    prior_sd: Amount
    session_count: int


@dataclass(frozen=True, kw_only=True)
class YeastAttenuation(Model):
    """Apparent attenuation of a yeast in this setup, in an ordinary wort mashed at 67 degC."""

    yeast: str
    mean: Amount
    sd: Amount
    prior_mean: Amount
    prior_sd: Amount
    session_count: int


@dataclass(frozen=True, kw_only=True)
class SeenRange(Model):
    """The least and most that the sessions tried; a forecast outside it extrapolates."""

    grain_load_kg_per_l: tuple[float, ...]
    potential_kg_per_l: tuple[float, ...]


@dataclass(frozen=True, kw_only=True)
class Suspect(Model):
    """A session that is not believed in full: its weight (1 is full), and why."""

    session_id: str
    weight: float
    reason: str


@dataclass(frozen=True, kw_only=True)
class SuspectedChange(Model):
    """A change of the setup that nobody wrote down: since which brew, and how large it looks."""

    session_id: str
    on: date
    constant: str
    efficiency_change: Amount
    efficiency_change_sd: Amount
    evidence: float
    reason: str


@dataclass(frozen=True, kw_only=True)
class Calibration(Stored):
    """What the sessions say of a setup. Each change makes the next number; 0 rests on none."""

    setup_id: str
    setup_version: int
    number: int
    session_ids: tuple[str, ...]
    session_count: int
    average_efficiency: Quantity | None
    constants: tuple[Estimate, ...]
    attenuation_by_yeast: tuple[YeastAttenuation, ...]
    seen: SeenRange | None
    suspects: tuple[Suspect, ...]
    suspected_changes: tuple[SuspectedChange, ...]
