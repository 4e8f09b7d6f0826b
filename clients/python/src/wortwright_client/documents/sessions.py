"""What is sent of sessions."""

from collections.abc import Sequence
from typing import Literal, Required, TypeAlias, TypedDict

from wortwright_client.documents.amounts import Amount, Gravity, Timestamp
from wortwright_client.documents.recipes import (
    HopAdditionDocument,
    MashStepDocument,
    WeighedFermentableDocument,
    YeastDocument,
)

SessionState: TypeAlias = Literal["open", "closed", "set_aside"]
Stage: TypeAlias = Literal[
    "strike_water",
    "mash_in",
    "mash_end",
    "first_wort",
    "pre_boil",
    "mid_boil",
    "post_boil",
    "fermenter",
    "final",
    "packaged",
]


class ReadingDocument(TypedDict, total=False):
    """One measurement as it was read; the service corrects it.

    Without its temperature a volume or a gravity counts as read at 20 degC. ``temperature`` is
    that of the mash, or at ``strike_water`` of the water before it meets the grain. In the kettle a
    ``depth`` stands for the volume, where the setup tells the kettle's diameter; before
    fermentation ``brix`` of a refractometer stands for the gravity. ``boiled`` is how long it
    had boiled: a reading in the middle of the boil counts only with it.
    ``calibrated_at`` is the temperature a hydrometer is made for, ``reads_in_water`` what it
    shows in water then.
    """

    stage: Required[Stage]
    volume: Amount | None
    volume_temperature: Amount | None
    gravity: Gravity | None
    gravity_temperature: Amount | None
    temperature: Amount | None
    ph: float | None
    instrument: str | None
    depth: Amount | None
    brix: Amount | None
    boiled: Amount | None
    calibrated_at: Amount | None
    reads_in_water: Gravity | None
    wort_correction_factor: float | None


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
    grain_temperature: Amount | None
    state: SessionState
    set_aside_because: str | None
    trusted_because: str | None
    water: WaterDocument
    mash: Sequence[MashStepDocument]
    yeast: YeastDocument | None
    hop_bill: Sequence[HopAdditionDocument]
    readings: Sequence[ReadingDocument]


class NewSessionDocument(SessionDocument, total=False):
    """One brew to be kept: on which setup, and by which scaling if by one."""

    setup_id: Required[str]
    scaling_id: str | None
