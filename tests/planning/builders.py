"""Small recipes, setups and calibrations. All of it is invented, and no one's real data."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from hypothesis import strategies as st

from wortwright.brewing.boil import kettle_hop_absorption_l
from wortwright.brewing.gravity import gravity_of_wort
from wortwright.calibration.curve import PARAMETERS
from wortwright.calibration.efficiency import mean_mash_efficiency
from wortwright.calibration.posterior import (
    Calibration,
    EfficiencyPosterior,
    Estimate,
    MashPlan,
)
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
from wortwright.records.recipe import EfficiencyKind, MashStep, Recipe, VolumeAt
from wortwright.records.setup import GrainHeldBy, LauterMethod, Setup, Vessel, Vessels

EXTRACT_VOLUME_L_PER_KG = 0.617
"""Volume that dissolved extract adds: mass balance over the Plato table, 5 to 30 degP."""

PREFERENCES = Preferences()
HUGE_L = 1000.0


def calibration(
    method: LauterMethod = LauterMethod.NO_SPARGE,
    runnings: int = 2,
    *,
    conversion: float = 0.93,
    loss: float = 0.35,
    absorption: float = 1.0,
    dead_space_l: float = 0.0,
    bypass: float = 0.0,
    curve_sd: float = 0.03,
    brew_log_sd: float = 0.02,
    **changes: Any,
) -> Calibration:
    """What a setup is known to do; constants by name, or a field of the calibration."""
    physics = {
        "conversion": conversion,
        "conversion_loss_per_kg_per_l": loss,
        "true_absorption_l_per_kg": absorption,
        "dead_space_l": dead_space_l,
        "bypass": bypass,
        "washing": 1.0,
    }
    means = tuple(physics[name] for name in PARAMETERS)
    size = len(PARAMETERS)
    covariance = tuple(
        tuple(curve_sd**2 if row == column == 0 else 0.0 for column in range(size))
        for row in range(size)
    )
    constants = {
        "boil_off_l_per_h": 3.5,
        "kettle_loss_l": 1.2,
        "fermenter_loss_l": 1.0,
        "mash_in_offset_c": 0.0,
        "mash_heat_loss_c_per_h": 2.0,
        "vessel_heat_kg": 0.5,
        **physics,
    }
    constants |= {name: changes.pop(name) for name in list(changes) if name in constants}
    return Calibration(
        efficiency=EfficiencyPosterior(
            method, runnings, PARAMETERS, means, covariance, brew_log_sd
        ),
        constants={
            name: Estimate(mean, 0.1 * mean, mean, 0.1 * mean) for name, mean in constants.items()
        },
        **({"session_count": 4} | changes),
    )


def setup(
    method: LauterMethod = LauterMethod.NO_SPARGE,
    runnings: int = 2,
    kettle_l: float = HUGE_L,
    **changes: Any,
) -> Setup:
    """A setup whose vessels hold anything unless told otherwise."""
    facts: dict[str, Any] = {
        "name": "Millrace test kettle",
        "lauter_method": method,
        "runnings": runnings,
        "vessels": Vessels(Vessel(kettle_l)),
        "grain_held_by": GrainHeldBy.BAG,
    }
    return Setup(**(facts | changes))


def pale(mass_kg: float | None = 5.0, **changes: Any) -> Fermentable:
    """Pale malt, 0.77 kg of extract to the kilogram as weighed."""
    facts: dict[str, Any] = {
        "name": "Pale malt",
        "kind": Kind.BASE_MALT,
        "extract_yield": 0.77,
        "moisture": 0.0,
        "colour_ebc": 6.0,
        "added_to": AddedTo.MASH,
        "role": Role.BASE,
        "mass_kg": mass_kg,
    }
    return Fermentable(**(facts | changes))


def crystal(mass_kg: float | None = 0.4, **changes: Any) -> Fermentable:
    """Crystal malt, a character malt."""
    facts: dict[str, Any] = {
        "name": "Crystal malt",
        "kind": Kind.CRYSTAL_MALT,
        "extract_yield": 0.74,
        "moisture": 0.04,
        "colour_ebc": 118.0,
        "role": Role.CHARACTER,
    }
    return pale(mass_kg, **(facts | changes))


def sugar(mass_kg: float | None = 0.5, **changes: Any) -> Fermentable:
    """Sugar for the kettle, all of it extract."""
    facts: dict[str, Any] = {
        "name": "Sugar",
        "kind": Kind.SUGAR,
        "extract_yield": 1.0,
        "colour_ebc": 0.0,
        "added_to": AddedTo.KETTLE,
    }
    return pale(mass_kg, **(facts | changes))


def hop(
    mass_kg: float | None = 0.030,
    time_min: float = 60.0,
    purpose: Purpose = Purpose.BITTERNESS,
    moment: Moment = Moment.BOIL,
    **changes: Any,
) -> HopAddition:
    """Pellets of 10 % alpha acid."""
    facts: dict[str, Any] = {
        "name": "Challenger",
        "alpha": 0.10,
        "form": HopForm.PELLET,
        "moment": moment,
        "purpose": purpose,
        "time_min": time_min,
        "mass_kg": mass_kg,
    }
    return HopAddition(**(facts | changes))


HOPS = (
    hop(0.030),
    hop(0.020, 20.0),
    hop(0.040, 5.0, Purpose.AROMA),
    hop(0.050, 20.0, Purpose.AROMA, Moment.STAND, temperature_c=85.0),
    hop(0.060, 0.0, Purpose.AROMA, Moment.DRY),
)
"""Bitterness and aroma, in the kettle and in the fermenter."""


def recipe(**changes: Any) -> Recipe:
    """A pale beer of 20 L counted in the kettle, at 75 % into the kettle."""
    facts: dict[str, Any] = {
        "name": "Tail Race Pale",
        "volume_l": 20.0,
        "volume_at": VolumeAt.KETTLE,
        "grist": (pale(), crystal()),
        "efficiency": 0.75,
        "efficiency_kind": EfficiencyKind.MASH,
        "original_gravity": None,
        "mash": (MashStep(66.0, 60.0),),
        "hop_bill": (hop(),),
    }
    return Recipe(**(facts | changes))


def potential(grist: tuple[Fermentable, ...], added_to: AddedTo) -> float:
    """Laboratory extract of what goes in there. [kg]"""
    return sum(
        (line.mass_kg or 0.0) * line.as_is_yield for line in grist if line.added_to == added_to
    )


def hops_keep_l(hops: tuple[HopAddition, ...], *, dry: bool) -> float:
    """Wort or beer kept back by the hops, 6 L/kg of pellets and 8 L/kg of whole hops. [L]"""
    kept = [line for line in hops if (line.moment is Moment.DRY) is dry]
    return kettle_hop_absorption_l(
        *(sum(line.mass_kg or 0.0 for line in kept if line.form is form) for form in HopForm)
    )


def recipe_of_this_setup(
    made: Recipe, known: Calibration, efficiency: Callable[[MashPlan], float] | None = None
) -> Recipe:
    """That recipe with the gravity that this setup makes of its grist in its own volume."""
    constants = known.constants
    loss_l = constants["kettle_loss_l"].mean + hops_keep_l(made.hop_bill, dry=False)
    left_l = constants["fermenter_loss_l"].mean + hops_keep_l(made.hop_bill, dry=True)
    above_l = {VolumeAt.KETTLE: 0.0, VolumeAt.PACKAGE: loss_l + left_l}
    postboil_l = made.volume_l + above_l.get(made.volume_at, loss_l)
    kettle_kg = potential(made.grist, AddedTo.KETTLE)
    boiled_off_l = constants["boil_off_l_per_h"].mean * made.boil_time_min / 60.0
    preboil_l = postboil_l + boiled_off_l - EXTRACT_VOLUME_L_PER_KG * kettle_kg
    grain_kg = sum(line.mass_kg or 0.0 for line in made.grist if line.added_to is AddedTo.MASH)
    mash = MashPlan(grain_kg, potential(made.grist, AddedTo.MASH) / grain_kg, preboil_l)
    share = efficiency(mash) if efficiency else mean_mash_efficiency(known, mash)
    extract_kg = share * potential(made.grist, AddedTo.MASH) + kettle_kg
    return replace(made, original_gravity=gravity_of_wort(extract_kg, postboil_l), efficiency=None)


def plan(
    made: Recipe,
    known: Calibration,
    on: Setup | None = None,
    target: Target | None = None,
    preferences: Preferences = PREFERENCES,
) -> Plan:
    """Refit a recipe, by default onto vessels that hold anything."""
    posterior = known.efficiency
    on = on or setup(posterior.method, posterior.runnings)
    return make_plan(made, on, known, target or Target(), preferences)


def grain_masses(made: Plan) -> list[float]:
    """Exact masses of what is mashed. [kg]"""
    return [line.exact_kg for line in made.grist if line.added_to is AddedTo.MASH]


def exact_extract_kg(made: Plan, read: Recipe, known: Calibration) -> float:
    """Extract after the boil of the exact masses: yield by yield, sugar whole. [kg]"""
    yields = [line.as_is_yield for line in read.grist]
    gives = [line.exact_kg * share for line, share in zip(made.grist, yields, strict=True)]
    mashed = [line.added_to is AddedTo.MASH for line in made.grist]
    potential_kg = sum(give for give, mash in zip(gives, mashed, strict=True) if mash)
    grain_kg = sum(grain_masses(made))
    mash = MashPlan(grain_kg, potential_kg / grain_kg, made.water.preboil_l)
    return mean_mash_efficiency(known, mash) * potential_kg + sum(
        give
        for give, line in zip(gives, made.grist, strict=True)
        if line.added_to is AddedTo.KETTLE
    )


METHODS = st.sampled_from(
    [
        (LauterMethod.NO_SPARGE, 1),
        (LauterMethod.BATCH_SPARGE, 2),
        (LauterMethod.BATCH_SPARGE, 3),
        (LauterMethod.CONTINUOUS_SPARGE, 1),
    ]
)


@st.composite
def calibrations(draw: st.DrawFn, methods: st.SearchStrategy[Any] = METHODS) -> Calibration:
    """Setups over the whole prior population, two spreads each way."""
    method, runnings = draw(methods)
    continuous = method is LauterMethod.CONTINUOUS_SPARGE
    return calibration(
        method,
        runnings,
        conversion=draw(st.floats(0.76, 0.97)),
        loss=draw(st.floats(0.0, 0.9)),
        absorption=draw(st.floats(0.65, 1.7)),
        dead_space_l=draw(st.floats(0.0, 1.5)),
        bypass=draw(st.floats(0.0, 0.4)) if continuous else 0.0,
        boil_off_l_per_h=draw(st.floats(1.5, 6.0)),
        kettle_loss_l=draw(st.floats(0.0, 3.0)),
        fermenter_loss_l=draw(st.floats(0.0, 2.0)),
    )


@st.composite
def recipes(draw: st.DrawFn) -> Recipe:
    """Recipes of 10 to 40 L with sensible grain loads, with or without sugar in the kettle."""
    volume_l = draw(st.floats(10.0, 40.0))
    grist = [
        pale(volume_l * draw(st.floats(0.10, 0.35)), extract_yield=draw(st.floats(0.74, 0.80))),
        crystal(volume_l * draw(st.floats(0.001, 0.04))),
    ]
    if draw(st.booleans()):
        grist.append(sugar(volume_l * draw(st.floats(0.005, 0.04))))
    return recipe(
        volume_l=volume_l,
        volume_at=draw(st.sampled_from([VolumeAt.KETTLE, VolumeAt.FERMENTER, VolumeAt.PACKAGE])),
        grist=tuple(grist),
        boil_time_min=draw(st.sampled_from([30.0, 60.0, 90.0])),
        hop_bill=HOPS if draw(st.booleans()) else (hop(),),
    )
