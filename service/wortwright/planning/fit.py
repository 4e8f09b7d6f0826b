"""Whether a brew goes into its vessels, each checked as hot as it will be."""

from wortwright.brewing.heat import FIRST_LIFT_L_PER_KG, wet_bag_kg
from wortwright.brewing.lautering import (
    largest_grain_at_thickness_kg,
    largest_grain_kg,
    mash_volume_l,
)
from wortwright.brewing.water_density import hot_volume_from_20_l, volume_at_20_from_hot_l
from wortwright.calibration.curve import CONTINUOUS_SPARGE_MASH_L_PER_KG
from wortwright.planning.mashing import ExpectedMash
from wortwright.planning.plan import Fit, VesselFit
from wortwright.planning.volumes import Volumes
from wortwright.records.setup import GrainHeldBy, LauterMethod, Setup, Vessel

BOILING_C = 100.0
# Common practice, no source: from here on a beer is aged before it is packaged.
AGED_FROM_GRAVITY = 1.075


def check_fit(
    setup: Setup, volumes: Volumes, mash: ExpectedMash, original_gravity: float
) -> tuple[VesselFit, ...]:
    """Check mash, boil, fermentation and, for a strong beer, ageing.

    Parameters
    ----------
    setup : Setup
        The vessels.
    volumes : Volumes
        Wort volumes at 20 degC.
    mash : MashRoom
        Grain and strike water.
    original_gravity : float
        Gravity planned; strong beer is aged. [SG]

    Returns
    -------
    tuple of VesselFit
        One entry a check, in the order of the brew day.
    """
    checks = [_mash(setup, mash), _boil(setup.vessels.kettle, volumes.preboil_l)]
    if setup.vessels.fermenters:
        checks.append(_fermenters(setup.vessels.fermenters, volumes.fermenter_l))
    if setup.vessels.ageing and original_gravity >= AGED_FROM_GRAVITY:
        checks.append(_ageing(setup.vessels.ageing, volumes.packaged_l))
    return tuple(checks)


def fit_of(
    checks: tuple[VesselFit, ...],
    setup: Setup,
    volumes: Volumes,
    mash: ExpectedMash,
    ceiling_gravity: float | None,
) -> Fit:
    """Sum up the checks, with the largest grain bill and the weight of a wet bag."""
    drained, lifted = _wet_bag(setup, mash)
    return Fit(
        fits=all(check.fits for check in checks),
        reaches_gravity=ceiling_gravity is None,
        checks=checks,
        largest_grain_bill_kg=_largest_bill(setup, volumes.preboil_l, mash),
        ceiling_gravity=ceiling_gravity,
        wet_bag_drained_kg=drained,
        wet_bag_lifted_kg=lifted,
    )


def mash_vessel(setup: Setup) -> Vessel:
    """Return the vessel that the mash is made in."""
    return setup.vessels.mash_tun or setup.vessels.kettle


def _named(vessel: Vessel, otherwise: str) -> str:
    return vessel.name or otherwise


def _check(
    vessel: str, at: str, needed_l: float, usable_l: float, capacity_l: float, said: str
) -> VesselFit:
    fits = needed_l <= usable_l
    verdict = (
        f"{usable_l - needed_l:.1f} L to spare" if fits else f"{needed_l - usable_l:.1f} L too much"
    )
    return VesselFit(
        vessel, at, needed_l, usable_l, capacity_l, fits, said.format(needed=needed_l) + verdict
    )


def _mash(setup: Setup, mash: ExpectedMash) -> VesselFit:
    vessel = mash_vessel(setup)
    cold_l = mash_volume_l(mash.strike_water_l, mash.grain_kg)
    return _check(
        _named(vessel, "kettle" if setup.vessels.mash_tun is None else "mash tun"),
        "mash",
        hot_volume_from_20_l(cold_l, mash.temperature_c),
        vessel.capacity_l * (1.0 - vessel.mash_room),
        vessel.capacity_l,
        "grain and water take {needed:.1f} L hot: ",
    )


def _boil(kettle: Vessel, preboil_l: float) -> VesselFit:
    return _check(
        _named(kettle, "kettle"),
        "boil",
        hot_volume_from_20_l(preboil_l, BOILING_C),
        kettle.capacity_l * (1.0 - kettle.foam_room),
        kettle.capacity_l,
        "the wort takes {needed:.1f} L at the boil, below the room for foam: ",
    )


def _fermenters(fermenters: tuple[Vessel, ...], fermenter_l: float) -> VesselFit:
    """Fill the fewest vessels, the largest first, each with its room for foam."""
    roomiest = sorted(fermenters, key=lambda vessel: -vessel.capacity_l * (1.0 - vessel.foam_room))
    usable_l = capacity_l = 0.0
    names = []
    for vessel in roomiest:
        usable_l += vessel.capacity_l * (1.0 - vessel.foam_room)
        capacity_l += vessel.capacity_l
        names.append(_named(vessel, "fermenter"))
        if usable_l >= fermenter_l:
            break
    return _check(
        " + ".join(names),
        "fermentation",
        fermenter_l,
        usable_l,
        capacity_l,
        "{needed:.1f} L of wort, below the room for foam: ",
    )


def _ageing(ageing: tuple[Vessel, ...], packaged_l: float) -> VesselFit:
    """Ageing vessels are filled to the neck; the last one may be left part-filled."""
    left_l, full = packaged_l, 0
    for vessel in sorted(ageing, key=lambda vessel: -vessel.capacity_l):
        if left_l < vessel.capacity_l - 1e-9:
            break
        left_l -= vessel.capacity_l
        full += 1
    said = f"{packaged_l:.1f} L of beer fills {full} of {len(ageing)} to the neck"
    if left_l > 0.05 and full < len(ageing):
        said += f" and leaves {left_l:.1f} L for a smaller vessel"
    capacity_l = sum(vessel.capacity_l for vessel in ageing)
    fits = left_l <= 0.05 or full < len(ageing)
    if not fits:
        said += f", {left_l:.1f} L too much"
    return VesselFit("ageing vessels", "ageing", packaged_l, capacity_l, capacity_l, fits, said)


def _largest_bill(setup: Setup, preboil_l: float, mash: ExpectedMash) -> float:
    vessel = mash_vessel(setup)
    usable_l = vessel.capacity_l * (1.0 - vessel.mash_room)
    room_l = volume_at_20_from_hot_l(usable_l, mash.temperature_c)
    if setup.lauter_method is LauterMethod.CONTINUOUS_SPARGE:
        return largest_grain_at_thickness_kg(room_l, CONTINUOUS_SPARGE_MASH_L_PER_KG)
    runnings = 1 if setup.lauter_method is LauterMethod.NO_SPARGE else setup.runnings
    return largest_grain_kg(
        room_l,
        preboil_l / runnings,
        mash.apparent_absorption_l_per_kg,
        mash.dead_space_l,
    )


def _wet_bag(setup: Setup, mash: ExpectedMash) -> tuple[float | None, float | None]:
    """Weight of the bag drained and at first lift; None where no bag is lifted. [kg]"""
    if setup.grain_held_by is not GrainHeldBy.BAG:
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
