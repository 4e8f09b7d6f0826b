"""Yeast for a wort."""

from dataclasses import dataclass

from wortwright_client._reading import Model
from wortwright_client.models.findings import Caution, Doubt
from wortwright_client.quantities import Quantity


@dataclass(frozen=True, kw_only=True)
class YeastPitched(Model):
    """What is pitched, and what that share of the cells wanted means.

    ``packets`` (or packs), ``slurry`` or ``cake_share`` tells how much, as the form goes.
    """

    form: str
    packets: int | None
    slurry: Quantity | None
    cake_share: Quantity | None
    viable_cells: Quantity
    viable_share: Quantity | None
    share_of_wanted: Quantity
    risk: str
    meaning: str


@dataclass(frozen=True, kw_only=True)
class PacketChoice(Model):
    """So many whole packets, and what they mean."""

    packets: int
    share_of_wanted: Quantity
    risk: str


@dataclass(frozen=True, kw_only=True)
class StarterStep(Model):
    """One step of a starter."""

    volume: Quantity
    dry_extract: Quantity
    cells_before: Quantity
    cells_after: Quantity


@dataclass(frozen=True, kw_only=True)
class OxygenWanted(Model):
    """Oxygen at pitching."""

    wanted: Quantity
    air_can_give: Quantity
    needs_pure_oxygen: bool
    second_dose: bool


@dataclass(frozen=True, kw_only=True)
class Pitch(Model):
    """Cells for a wort; counts are honest to a factor of 1.5, of slurry and cake to one of two."""

    warnings: tuple[Doubt, ...]
    cautions: tuple[Caution, ...]
    summary: str
    counted_as: str
    pitch_rate: Quantity
    cells_wanted: Quantity
    pitched: YeastPitched | None
    packet_choices: tuple[PacketChoice, ...]
    starter: tuple[StarterStep, ...]
    oxygen: OxygenWanted
