"""Invented setups and sessions to calibrate with, small enough to be read in a test."""

from dataclasses import replace
from datetime import UTC, datetime

from wortwright.records.grist import AddedTo, Fermentable, Kind, Role
from wortwright.records.session import Reading, Session, SessionState, Stage, WaterUsed
from wortwright.records.setup import (
    BagDrained,
    Crush,
    GrainHeldBy,
    LauterMethod,
    Setup,
    Vessel,
    Vessels,
)

HUNG_BAG = Setup(
    name="electric kettle with a bag",
    lauter_method=LauterMethod.NO_SPARGE,
    vessels=Vessels(Vessel(35.0)),
    grain_held_by=GrainHeldBy.BAG,
    bag_drained=BagDrained.HUNG,
    crush=Crush.SHOP,
)
THREE_VESSELS = Setup(
    name="mash tun with a false bottom",
    lauter_method=LauterMethod.CONTINUOUS_SPARGE,
    vessels=Vessels(Vessel(50.0), mash_tun=Vessel(45.0)),
    grain_held_by=GrainHeldBy.FALSE_BOTTOM,
)
TWO_RUNNINGS = replace(THREE_VESSELS, lauter_method=LauterMethod.BATCH_SPARGE)
SETUPS = (HUNG_BAG, THREE_VESSELS, TWO_RUNNINGS)


def malt(mass_kg, extract_yield=0.76, added_to=AddedTo.MASH):
    return Fermentable(
        "invented malt", Kind.BASE_MALT, extract_yield, 0.0, 6.0, added_to, Role.BASE, mass_kg
    )


def session(readings=(), *, grain_kg=5.0, grist=None, **fields):
    """A closed session; readings by stage as keyword dictionaries."""
    fields.setdefault("state", SessionState.CLOSED)
    water = fields.pop("water", {})
    return Session(
        brewed_at=datetime(2025, 3, 1, tzinfo=UTC),
        grist=grist or (malt(grain_kg),),
        readings=tuple(Reading(stage, **values) for stage, values in readings),
        water=WaterUsed(**water),
        **fields,
    )


def usual_session(preboil_gravity=1.040, original_gravity=1.048, preboil_l=26.0, **fields):
    """A pale ale of 5 kg for 26 L, all volumes and gravities read, and consistent."""
    fields.setdefault("planned_preboil_l", 26.0)
    fields.setdefault("boil_time_min", 60.0)
    fields.setdefault("water", {"strike_l": 29.5})
    return session(
        [
            (Stage.PRE_BOIL, {"volume_l": preboil_l, "gravity": preboil_gravity}),
            (Stage.POST_BOIL, {"volume_l": 21.8}),
            (Stage.FERMENTER, {"volume_l": 20.4, "gravity": original_gravity}),
        ],
        **fields,
    )
