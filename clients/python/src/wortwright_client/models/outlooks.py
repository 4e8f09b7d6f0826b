"""What the readings of a brew day say: as corrected, the outlook, and what corrects it."""

from dataclasses import dataclass

from wortwright_client._reading import Model
from wortwright_client.models.findings import Doubt
from wortwright_client.quantities import Forecast, Quantity


@dataclass(frozen=True, kw_only=True)
class CorrectedReading(Model):
    """One reading at 20 degC and by a true instrument; None where nothing usable was read."""

    stage: str
    volume: Quantity | None
    gravity: Quantity | None
    boiled: Quantity | None
    warnings: tuple[Doubt, ...]


@dataclass(frozen=True, kw_only=True)
class Outlook(Model):
    """The beer that a brew under way will become.

    ``postboil`` is None once the wort has left the kettle.
    """

    original_gravity: Forecast
    final_gravity: Forecast
    alcohol_by_volume: Forecast
    postboil: Forecast | None
    fermenter: Forecast
    bitterness: Quantity
    colour: Quantity


@dataclass(frozen=True, kw_only=True)
class HopChange(Model):
    """One addition to weigh otherwise than planned; ``planned`` is 0 for one that was not."""

    name: str
    moment: str
    time: Quantity
    planned: Quantity
    mass: Quantity


@dataclass(frozen=True, kw_only=True)
class KettleCorrection(Model):
    """One whole course of action from here that reaches the target, and where it ends.

    ``boil`` is the boil still to come, None where there is none; ``boil_down_to`` the volume at
    its end, at 20 degC, before water goes in.
    """

    kind: str
    detail: str
    boil: Quantity | None
    boil_down_to: Quantity | None
    top_up: Quantity
    dry_extract: Quantity
    hop_changes: tuple[HopChange, ...]
    end: Outlook


@dataclass(frozen=True, kw_only=True)
class KettleLog(Model):
    """Where the brew stands as of the last reading, and where it ends if nothing is done.

    ``boil_off`` is what the rest of the boil is reckoned with. ``on_target`` says that gravity
    and bitterness need nothing done.
    """

    stage: str
    boiled: Quantity
    volume: Forecast
    gravity: Quantity
    boil_off: Forecast
    outlook: Outlook
    on_target: bool
    corrections: tuple[KettleCorrection, ...]
    cannot_be_mended: tuple[Doubt, ...]
    warnings: tuple[Doubt, ...]


@dataclass(frozen=True, kw_only=True)
class BrewDay(Model):
    """The readings of a session as corrected, in their order, and what they say together.

    ``log`` is None where the session was not made from a scaling, or where its readings
    contradict one another: ``warnings`` tell which.
    """

    session_id: str
    corrected: tuple[CorrectedReading, ...]
    log: KettleLog | None
    warnings: tuple[Doubt, ...]
