"""One brew: what went in, what was read, what came out."""

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from wortwright.records.grist import Fermentable, HopAddition
from wortwright.records.recipe import MashStep, Yeast


class Stage(StrEnum):
    """When a reading was taken."""

    STRIKE_WATER = "strike_water"
    MASH_IN = "mash_in"
    MASH_END = "mash_end"
    FIRST_WORT = "first_wort"
    PRE_BOIL = "pre_boil"
    MID_BOIL = "mid_boil"
    POST_BOIL = "post_boil"
    FERMENTER = "fermenter"
    FINAL = "final"
    PACKAGED = "packaged"


class SessionState(StrEnum):
    """Open while brewing, closed when it may teach, set aside when it must not."""

    OPEN = "open"
    CLOSED = "closed"
    SET_ASIDE = "set_aside"


@dataclass(frozen=True, slots=True)
class Reading:
    """One measurement as read; corrections happen where it is used.

    ``volume_l`` is as seen at ``volume_temperature_c`` (20 degC if None); ``gravity`` is SG
    as read at ``gravity_temperature_c`` (20 degC if None); ``temperature_c`` is the mash's, or
    that of the strike water before it meets grain and mash tun. What is packaged has a volume.

    ``depth_mm`` is the depth of the wort in the kettle, instead of a volume; ``brix`` what a
    refractometer shows, instead of a gravity, with its ``wort_correction_factor``;
    ``boiled_min`` the minutes boiled so far. A hydrometer made for another temperature than
    20 degC says so by ``calibrated_c``; ``reads_in_water`` is what it shows in water then.
    """

    stage: Stage
    volume_l: float | None = None
    volume_temperature_c: float | None = None
    gravity: float | None = None
    gravity_temperature_c: float | None = None
    temperature_c: float | None = None
    ph: float | None = None
    instrument: str | None = None
    depth_mm: float | None = None
    brix: float | None = None
    boiled_min: float | None = None
    calibrated_c: float | None = None
    reads_in_water: float | None = None
    wort_correction_factor: float | None = None


@dataclass(frozen=True, slots=True)
class WaterUsed:
    """Water that went in, litres at 20 degC."""

    strike_l: float | None = None
    sparge_l: float | None = None
    top_up_l: float | None = None


class Act(StrEnum):
    """What was done with a session that changed what it may teach."""

    CLOSED = "closed"
    SET_ASIDE = "set_aside"
    REOPENED = "reopened"
    TRUSTED = "trusted"
    DOUBTED = "doubted"


@dataclass(frozen=True, slots=True)
class Event:
    """What was done with a session, when, and why if a reason was given."""

    act: Act
    at: datetime
    reason: str | None = None


@dataclass(frozen=True, slots=True)
class Session:
    """One brew in base units; every fermentable carries its mass.

    ``trusted_because`` overrules the doubt of the calibration: its readings are taken at their
    word. ``events`` is everything that was done with it, in its order. ``mash`` is what was
    meant: the rests that were read are readings.
    """

    brewed_at: datetime
    grist: tuple[Fermentable, ...]
    readings: tuple[Reading, ...] = ()
    planned_preboil_l: float | None = None
    water: WaterUsed = WaterUsed()
    boil_time_min: float | None = None
    hop_bill: tuple[HopAddition, ...] = ()
    state: SessionState = SessionState.OPEN
    set_aside_because: str | None = None
    trusted_because: str | None = None
    events: tuple[Event, ...] = ()
    mash: tuple[MashStep, ...] = ()
    grain_temperature_c: float | None = None
    yeast: Yeast | None = None
