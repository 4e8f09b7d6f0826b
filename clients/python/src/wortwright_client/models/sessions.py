"""Sessions, their readings, and what they taught."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any, Self, cast

from wortwright_client._reading import Model, as_document
from wortwright_client.documents.sessions import SessionDocument
from wortwright_client.models.findings import Doubt
from wortwright_client.models.outlooks import CorrectedReading, KettleLog
from wortwright_client.models.people import Stored
from wortwright_client.models.recipes import HopAddition, MashStep, WeighedFermentable, Yeast
from wortwright_client.models.setups import Calibration
from wortwright_client.quantities import Quantity


@dataclass(frozen=True, kw_only=True)
class Reading(Model):
    """One measurement as it was read."""

    stage: str
    volume: Quantity | None = None
    volume_temperature: Quantity | None = None
    gravity: Quantity | None = None
    gravity_temperature: Quantity | None = None
    temperature: Quantity | None = None
    ph: float | None = None
    instrument: str | None = None
    depth: Quantity | None = None
    brix: Quantity | None = None
    boiled: Quantity | None = None
    calibrated_at: Quantity | None = None
    reads_in_water: Quantity | None = None
    wort_correction_factor: float | None = None


@dataclass(frozen=True, kw_only=True)
class Water(Model):
    """The water that went in."""

    strike: Quantity | None = None
    sparge: Quantity | None = None
    top_up: Quantity | None = None


@dataclass(frozen=True, kw_only=True)
class SessionContent(Model):
    """One brew: what went in, what was read."""

    brewed_at: datetime
    grist: tuple[WeighedFermentable, ...]
    water: Water
    mash: tuple[MashStep, ...]
    yeast: Yeast | None
    hop_bill: tuple[HopAddition, ...]
    readings: tuple[Reading, ...]
    planned_preboil_volume: Quantity | None = None
    boil_time: Quantity | None = None
    grain_temperature: Quantity | None = None
    state: str | None = None
    set_aside_because: str | None = None
    trusted_because: str | None = None


@dataclass(frozen=True, kw_only=True)
class SessionEvent(Model):
    """What was done with a session, when, and why if a reason was given."""

    act: str
    at: datetime
    reason: str | None


@dataclass(frozen=True, kw_only=True)
class Session(SessionContent, Stored):
    """A stored session."""

    brewer_id: str
    setup_id: str
    scaling_id: str | None
    events: tuple[SessionEvent, ...] = ()

    def to_document(self) -> SessionDocument:
        """Write the session as `replace_session` takes it."""
        return cast(SessionDocument, as_document(self))


@dataclass(frozen=True, kw_only=True)
class ReadingAdded(Session):
    """A session with its new reading, that as ``corrected``, and what all of them say together.

    ``log`` is None where the session was not made from a scaling, or where its readings
    contradict one another: ``warnings`` tell which.
    """

    corrected: CorrectedReading
    log: KettleLog | None
    warnings: tuple[Doubt, ...]


@dataclass(frozen=True, kw_only=True)
class Learnt(Model):
    """A session after a change of its state, and what that changed.

    ``calibration_before`` is None where the change taught nothing.
    """

    session: Session
    calibration: Calibration
    calibration_before: Calibration | None

    @classmethod
    def from_dict(cls, document: Mapping[str, Any]) -> Self:
        """Read what was learnt; the etag of the answer is the session's."""
        learnt = super().from_dict(document)
        return replace(learnt, session=replace(learnt.session, etag=document.get("etag")))
