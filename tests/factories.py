"""Small valid records and bodies. All of it is invented: the Millrace Lane club and its beers."""

from datetime import UTC, datetime
from typing import Any

from wortwright.records.grist import (
    AddedTo,
    Fermentable,
    HopAddition,
    HopForm,
    Kind,
    Moment,
    Purpose,
    Role,
)
from wortwright.records.recipe import MashStep, Recipe, VolumeAt, Yeast
from wortwright.records.session import Reading, Session, SessionState, Stage
from wortwright.records.setup import (
    BagDrained,
    Crush,
    GrainHeldBy,
    LauterMethod,
    Setup,
    StatedConstants,
    Vessel,
    Vessels,
)

SETUP = Setup(
    name="Kettle with a bag",
    lauter_method=LauterMethod.NO_SPARGE,
    vessels=Vessels(
        kettle=Vessel(capacity_l=35.0, name="kettle", inner_diameter_mm=350.0),
        fermenters=(Vessel(capacity_l=27.0), Vessel(capacity_l=27.0)),
        ageing=(Vessel(capacity_l=10.0, foam_room=0.0),),
    ),
    grain_held_by=GrainHeldBy.BAG,
    bag_drained=BagDrained.HUNG,
    crush=Crush.SHOP,
    constants=StatedConstants(boil_off_l_per_h=3.2),
)


def fermentable(mass_kg: float = 4.2, **changes: Any) -> Fermentable:
    """A line of pale malt."""
    facts: dict[str, Any] = {
        "name": "Pale ale malt",
        "kind": Kind.BASE_MALT,
        "extract_yield": 0.81,
        "moisture": 0.04,
        "colour_ebc": 6.0,
        "added_to": AddedTo.MASH,
        "role": Role.BASE,
        "mass_kg": mass_kg,
    }
    return Fermentable(**(facts | changes))


def recipe(name: str = "Lock Keeper's Bitter") -> Recipe:
    """A bitter for 20 L."""
    return Recipe(
        name=name,
        volume_l=20.0,
        volume_at=VolumeAt.FERMENTER,
        original_gravity=1.044,
        bitterness_ibu=32.0,
        grist=(
            fermentable(),
            fermentable(
                0.25,
                name="Crystal 60 L",
                kind=Kind.CRYSTAL_MALT,
                extract_yield=0.74,
                colour_ebc=118.0,
                role=Role.CHARACTER,
            ),
        ),
        mash=(MashStep(66.0, 60.0),),
        yeast=Yeast("English ale", 0.75),
        hop_bill=(
            HopAddition(
                name="Challenger",
                alpha=0.085,
                form=HopForm.PELLET,
                moment=Moment.BOIL,
                purpose=Purpose.BITTERNESS,
                time_min=60.0,
                mass_kg=0.028,
            ),
        ),
    )


def session(day: int = 1, gravity: float = 1.045, **changes: Any) -> Session:
    """A brew of that bitter with the least readings that teach."""
    facts: dict[str, Any] = {
        "brewed_at": datetime(2026, 3, day, 10, tzinfo=UTC),
        "grist": (fermentable(),),
        "planned_preboil_l": 25.0,
        "boil_time_min": 60.0,
        "readings": (Reading(Stage.POST_BOIL, volume_l=21.5, gravity=gravity),),
        "state": SessionState.OPEN,
    }
    return Session(**(facts | changes))
