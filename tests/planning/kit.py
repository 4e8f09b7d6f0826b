"""Invented brews of the Millrace Lane club, and a mass balance that shares no code with ours.

The balance counts kilograms of extract and of water; gravity comes from another relation than
the service's (the cubic fitted to the extract tables of the American Society of Brewing
Chemists, from memory), volume from the density at that gravity.
"""

from dataclasses import dataclass

from planning.builders import calibration
from wortwright.calibration.posterior import Calibration
from wortwright.planning.plan import Plan
from wortwright.planning.refit import make_plan
from wortwright.planning.target import Preferences, Target
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
from wortwright.records.recipe import EfficiencyKind, MashStep, Recipe, VolumeAt, Yeast
from wortwright.records.setup import BagDrained, GrainHeldBy, LauterMethod, Setup, Vessel, Vessels

WATER = 0.9982


def plato(gravity):
    return -616.868 + gravity * (1111.14 + gravity * (-630.272 + gravity * 135.997))


def bisect(figure, low, high):
    """Where a rising figure passes 0."""
    for _ in range(60):
        middle = (low + high) / 2.0
        low, high = (middle, high) if figure(middle) < 0.0 else (low, middle)
    return (low + high) / 2.0


@dataclass
class Pot:
    """Wort as kilograms of extract and of water."""

    extract: float
    water: float

    @property
    def gravity(self):
        percent = 100.0 * self.extract / (self.extract + self.water)
        return bisect(lambda g: plato(g) - percent, 1.0, 1.2)

    @property
    def litres(self):
        return (self.extract + self.water) / (self.gravity * WATER)

    def boiled(self, litres):
        """Water gone, counted in litres at 20 degC."""
        return Pot(self.extract, self.water - litres * WATER)

    def with_water(self, litres):
        return Pot(self.extract, self.water + litres * WATER)

    def with_extract(self, kg):
        return Pot(self.extract + kg, self.water)

    def drawn(self, litres):
        """That many litres of it."""
        share = litres / self.litres
        return Pot(self.extract * share, self.water * share)

    def and_also(self, other):
        return Pot(self.extract + other.extract, self.water + other.water)


def pot_of(gravity, litres):
    mass = litres * gravity * WATER
    extract = mass * plato(gravity) / 100.0
    return Pot(extract, mass - extract)


@dataclass
class Mashed:
    """Run-offs of a mash that is stirred before each, and what the grain keeps."""

    wort: Pot
    held: Pot


def mash(grain, yield_, conversion, loss, absorption, strike, sparges=()):
    """Mash and drain: the grain keeps ``absorption`` litres of wort to the kilogram.

    Conversion falls by ``loss`` per kg/L of mash above 0.30 kg/L.
    """
    converted = conversion - loss * max(0.0, grain / strike - 0.30)
    tun = Pot(grain * yield_ * converted, strike * WATER)
    run = tun.drawn(tun.litres - absorption * grain)
    held = tun.drawn(absorption * grain)
    for sparge in sparges:
        tun = held.with_water(sparge)
        run = run.and_also(tun.drawn(tun.litres - absorption * grain))
        held = tun.drawn(absorption * grain)
    return Mashed(run, held)


def pale(mass_kg=4.6, **changes):
    facts = {
        "name": "Pale ale malt",
        "kind": Kind.BASE_MALT,
        "extract_yield": 0.78125,
        "moisture": 0.04,
        "colour_ebc": 6.0,
        "added_to": AddedTo.MASH,
        "role": Role.BASE,
        "mass_kg": mass_kg,
    }
    return Fermentable(**(facts | changes))


def crystal(mass_kg=0.3):
    return pale(
        mass_kg, name="Crystal malt", kind=Kind.CRYSTAL_MALT, colour_ebc=150.0, role=Role.CHARACTER
    )


def hop(mass_kg=0.030, time_min=60.0, purpose=Purpose.BITTERNESS, moment=Moment.BOIL, **changes):
    facts = {
        "name": "Challenger",
        "alpha": 0.08,
        "form": HopForm.PELLET,
        "moment": moment,
        "purpose": purpose,
        "time_min": time_min,
        "mass_kg": mass_kg,
    }
    return HopAddition(**(facts | changes))


BITTER = Recipe(
    name="Weir Bitter",
    volume_l=20.0,
    volume_at=VolumeAt.FERMENTER,
    grist=(pale(), crystal()),
    original_gravity=1.050,
    final_gravity=1.012,
    efficiency_kind=EfficiencyKind.UNKNOWN,
    mash=(MashStep(67.0, 60.0),),
    yeast=Yeast("English ale", 0.76),
    hop_bill=(
        hop(0.035),
        hop(0.015, 20.0),
        hop(0.030, 5.0, Purpose.AROMA),
        hop(0.040, 0.0, Purpose.AROMA, Moment.DRY),
    ),
)

BARLEY_WINE = Recipe(
    name="Sluice Gate Barley Wine",
    volume_l=19.0,
    volume_at=VolumeAt.FERMENTER,
    grist=(pale(10.0), crystal(0.5)),
    original_gravity=1.110,
    final_gravity=1.026,
    mash=(MashStep(66.0, 60.0),),
    yeast=Yeast("English ale", 0.76),
    hop_bill=(hop(0.090),),
)

BAG = Setup(
    name="Kettle with a bag",
    lauter_method=LauterMethod.NO_SPARGE,
    vessels=Vessels(
        Vessel(35.0, "kettle", inner_diameter_mm=350.0),
        fermenters=(Vessel(27.0), Vessel(27.0)),
        ageing=(Vessel(10.0, foam_room=0.0), Vessel(10.0, foam_room=0.0)),
    ),
    grain_held_by=GrainHeldBy.BAG,
    bag_drained=BagDrained.HUNG,
)


def bag_calibration(**changes) -> Calibration:
    """Conversion 0.93 losing 0.35 per kg/L, 1.0 L/kg truly held, kettle loss 1.5 L, 3.2 L/h."""
    return calibration(
        **({"boil_off_l_per_h": 3.2, "kettle_loss_l": 1.5, "fermenter_loss_l": 0.7} | changes)
    )


def plan_for(recipe=BITTER, setup=BAG, known=None, target=None, preferences=None) -> Plan:
    return make_plan(
        recipe, setup, known or bag_calibration(), target or Target(), preferences or Preferences()
    )
