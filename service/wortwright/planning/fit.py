"""Whether a brew goes into its vessels, each checked as hot as it will be."""

from dataclasses import replace
from typing import NamedTuple

from scipy.optimize import brentq

from wortwright.brewing.heat import FIRST_LIFT_L_PER_KG, wet_bag_kg
from wortwright.brewing.mash_water import GRAIN_DISPLACEMENT_L_PER_KG, mash_volume_l
from wortwright.brewing.water_density import hot_volume_from_20_l
from wortwright.calibration.posterior import Calibration, MashPlan
from wortwright.planning.foam import usable_l
from wortwright.planning.grain import LEAST_SHARE
from wortwright.planning.mashing import ExpectedMash, expect_mash
from wortwright.planning.plan import Fit, TimedTemperature, VesselFit
from wortwright.planning.volumes import Volumes
from wortwright.records.sentence import Sentence, litres, say
from wortwright.records.setup import GrainHeldBy, Setup, Vessel

BOILING_C = 100.0
# Common practice, no source: from here on a beer is aged before it is packaged.
AGED_FROM_GRAVITY = 1.075
WORTH_KEEPING_L = 0.05


class Room(NamedTuple):
    """What a vessel has to hold, and what it may, as hot as it will be. [L]"""

    vessel: str
    at: str
    needed_l: float
    usable_l: float
    capacity_l: float

    @property
    def fits(self) -> bool:
        """Whether it goes in."""
        return _goes_in(self.needed_l, self.usable_l)


def rooms(
    setup: Setup, volumes: Volumes, mash: ExpectedMash, original_gravity: float, foam: float
) -> tuple[Room, ...]:
    """Hold mash, boil, fermentation and, for a strong beer, ageing against their vessels.

    Parameters
    ----------
    setup : Setup
        The vessels.
    volumes : Volumes
        Wort volumes at 20 degC.
    mash : ExpectedMash
        Grain and strike water.
    original_gravity : float
        Gravity planned; strong beer is aged. [SG]
    foam : float
        How high it foams in the fermenter.

    Returns
    -------
    tuple of Room
        One entry a vessel, in the order of the brew day.
    """
    found = [_mash(setup, mash), _boil(setup.vessels.kettle, volumes.preboil_l)]
    if setup.vessels.fermenters:
        found.append(_fermenters(setup.vessels.fermenters, volumes.fermenter_l, foam))
    if setup.vessels.ageing and original_gravity >= AGED_FROM_GRAVITY:
        capacity_l = sum(vessel.capacity_l for vessel in setup.vessels.ageing)
        found.append(Room("ageing vessels", "ageing", volumes.packaged_l, capacity_l, capacity_l))
    return tuple(found)


def check_fit(
    setup: Setup, volumes: Volumes, mash: ExpectedMash, original_gravity: float, foam: float
) -> tuple[VesselFit, ...]:
    """Say of every vessel whether it holds what it has to; arguments as `rooms`.

    Returns
    -------
    tuple of VesselFit
        One entry a check, in the order of the brew day.
    """
    return tuple(
        VesselFit(*room, fits=room.fits, detail=_said(room, setup))
        for room in rooms(setup, volumes, mash, original_gravity, foam)
    )


def _said(room: Room, setup: Setup) -> Sentence:
    if room.at == "ageing":
        return _said_of_ageing(room, setup.vessels.ageing)
    spare_l = room.usable_l - room.needed_l
    return say(
        _SAID[room.at] + (" {spare} to spare" if room.fits else " {spare} too much"),
        needed=litres(room.needed_l),
        usable=litres(room.usable_l),
        spare=litres(abs(spare_l)),
    )


_SAID = {
    "mash": "grain and water take {needed} hot, {usable} leave room to stir:",
    "boil": "the wort takes {needed} at the boil, {usable} leave room for foam:",
    "fermentation": "{needed} of wort, {usable} leave room for foam:",
}


def fit_of(
    checks: tuple[VesselFit, ...],
    setup: Setup,
    mash: ExpectedMash,
    largest_kg: float,
    ceiling_gravity: float | None,
    foam: float,
) -> Fit:
    """Sum up the checks, with the largest grain bill and the weight of a wet bag."""
    drained, lifted = _wet_bag(setup, mash)
    return Fit(
        fits=all(check.fits for check in checks),
        reaches_gravity=ceiling_gravity is None,
        checks=checks,
        largest_grain_bill_kg=largest_kg,
        ceiling_gravity=ceiling_gravity,
        wet_bag_drained_kg=drained,
        wet_bag_lifted_kg=lifted,
        foam=foam,
    )


def mash_vessel(setup: Setup) -> Vessel:
    """Return the vessel that the mash is made in."""
    return setup.vessels.mash_tun or setup.vessels.kettle


def _named(vessel: Vessel, otherwise: str) -> str:
    return vessel.name or otherwise


def _goes_in(needed_l: float, usable_l: float) -> bool:
    """Whether a volume goes in; the last digit of a sum is no reason to refuse it."""
    return needed_l <= usable_l + 1e-9


def _mash(setup: Setup, mash: ExpectedMash) -> Room:
    vessel = mash_vessel(setup)
    cold_l = mash_volume_l(mash.strike_water_l, mash.grain_kg)
    return Room(
        _named(vessel, "kettle" if setup.vessels.mash_tun is None else "mash tun"),
        "mash",
        hot_volume_from_20_l(cold_l, mash.temperature_c),
        vessel.capacity_l * (1.0 - vessel.mash_room),
        vessel.capacity_l,
    )


def _boil(kettle: Vessel, preboil_l: float) -> Room:
    return Room(
        _named(kettle, "kettle"),
        "boil",
        hot_volume_from_20_l(preboil_l, BOILING_C),
        kettle.capacity_l * (1.0 - kettle.foam_room),
        kettle.capacity_l,
    )


def _fermenters(fermenters: tuple[Vessel, ...], fermenter_l: float, foam: float) -> Room:
    """Fill the fewest vessels, the largest first, each with its room for foam."""
    roomiest = sorted(fermenters, key=lambda vessel: -usable_l(vessel, foam))
    holds_l = capacity_l = 0.0
    names = []
    for vessel in roomiest:
        holds_l += usable_l(vessel, foam)
        capacity_l += vessel.capacity_l
        names.append(_named(vessel, "fermenter"))
        if holds_l >= fermenter_l:
            break
    return Room(" + ".join(names), "fermentation", fermenter_l, holds_l, capacity_l)


def _said_of_ageing(room: Room, ageing: tuple[Vessel, ...]) -> Sentence:
    """Ageing vessels are filled to the neck; the last one may be left part-filled."""
    left_l, full = room.needed_l, 0
    for vessel in sorted(ageing, key=lambda vessel: -vessel.capacity_l):
        if _goes_in(vessel.capacity_l, left_l):
            left_l -= vessel.capacity_l
            full += 1
    over_l, then = left_l, ""
    if not room.fits:
        over_l, then = room.needed_l - room.capacity_l, ", {over} too much"
    elif left_l > WORTH_KEEPING_L:
        then = " and leaves {over} for a smaller vessel"
    return say(
        "{needed} of beer fills {full} of {all} to the neck" + then,
        needed=litres(room.needed_l),
        full=full,
        all=len(ageing),
        over=litres(over_l),
    )


def largest_grain_bill_kg(
    setup: Setup, calibration: Calibration, plan: MashPlan, rests: tuple[TimedTemperature, ...]
) -> float:
    """Grain of this kind whose mash just fills its vessel, for the same wort before the boil.

    Parameters
    ----------
    setup : Setup
        Mash vessel and lauter method.
    calibration : Calibration
        Absorption and strike water.
    plan : MashPlan
        The mash planned; only its grain is varied.
    rests : tuple of TimedTemperature
        The mash, first rest first.

    Returns
    -------
    float
        Grain; 0 if the water alone does not fit. [kg]
    """

    def spare_l(grain_kg: float) -> float:
        mash = expect_mash(setup, calibration, replace(plan, grain_kg=grain_kg), rests)
        check = _mash(setup, mash)
        return check.usable_l - check.needed_l

    # Grain alone, without a drop of water, would fill the vessel brim-full.
    most_kg = mash_vessel(setup).capacity_l / GRAIN_DISPLACEMENT_L_PER_KG
    least_kg = LEAST_SHARE * most_kg
    if spare_l(least_kg) <= 0.0:
        return 0.0
    return float(brentq(spare_l, least_kg, most_kg, xtol=1e-9))


def _wet_bag(setup: Setup, mash: ExpectedMash) -> tuple[float | None, float | None]:
    """Weight of the bag drained and at first lift; None where no bag is lifted. [kg]"""
    if not _lifts_a_bag(setup):
        return None, None

    def weight(held_l_per_kg: float) -> float:
        return wet_bag_kg(
            mash.grain_kg,
            mash.extract_yield * mash.conversion,
            held_l_per_kg * mash.grain_kg,
            mash.wort_gravity,
        )

    held = mash.true_absorption_l_per_kg
    return weight(held), weight(max(held, FIRST_LIFT_L_PER_KG))


def _lifts_a_bag(setup: Setup) -> bool:
    """Whether a bag is lifted; grain mashed in the kettle has to come out of it somehow."""
    if setup.grain_held_by is None:
        return setup.vessels.mash_tun is None
    return setup.grain_held_by is GrainHeldBy.BAG
