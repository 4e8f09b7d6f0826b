"""What is sent of sessions."""

from collections.abc import Sequence
from typing import Literal, Required, TypeAlias, TypedDict

from wortwright_client.documents.amounts import Amount, Gravity, Timestamp
from wortwright_client.documents.recipes import HopAdditionDocument, WeighedFermentableDocument

SessionState: TypeAlias = Literal["open", "closed", "set_aside"]
Stage: TypeAlias = Literal[
    "mash_in",
    "mash_end",
    "first_wort",
    "pre_boil",
    "mid_boil",
    "post_boil",
    "fermenter",
    "final",
]


class ReadingDocument(TypedDict, total=False):
    """What was read at one stage of a brew."""

    stage: Required[Stage]
    volume: Amount | None
    volume_temperature: Amount | None
    gravity: Gravity | None
    gravity_temperature: Amount | None
    temperature: Amount | None
    ph: float | None
    instrument: str | None


class WaterDocument(TypedDict, total=False):
    """The water that went in."""

    strike: Amount | None
    sparge: Amount | None
    top_up: Amount | None


class SessionDocument(TypedDict, total=False):
    """One brew."""

    brewed_at: Required[Timestamp]
    grist: Required[Sequence[WeighedFermentableDocument]]
    planned_preboil_volume: Amount | None
    boil_time: Amount | None
    state: SessionState
    set_aside_because: str | None
    water: WaterDocument
    hop_bill: Sequence[HopAdditionDocument]
    readings: Sequence[ReadingDocument]


class NewSessionDocument(SessionDocument, total=False):
    """One brew to be kept: on which setup, and by which scaling if by one."""

    setup_id: Required[str]
    scaling_id: str | None
