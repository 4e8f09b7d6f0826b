"""One plan for one target: the exact size, what is weighed, the forecast, the fit."""

from dataclasses import replace

from wortwright.brewing.gravity import gravity_of_wort
from wortwright.brewing.water_density import hot_volume_from_20_l
from wortwright.calibration.posterior import Calibration
from wortwright.planning.comparing import compare
from wortwright.planning.doubts import warnings_for
from wortwright.planning.fit import BOILING_C, check_fit, fit_of, largest_grain_bill_kg
from wortwright.planning.foam import foam_of
from wortwright.planning.forecasting import (
    Weighed,
    colour_ebc,
    forecast_beer,
    forecast_kettle,
    reserve_for,
)
from wortwright.planning.hazards import cautions_for
from wortwright.planning.hopping import SizedHop, with_mass
from wortwright.planning.mashing import ExpectedMash, expect_mash, rests_of, temperatures
from wortwright.planning.plan import (
    Asked,
    Plan,
    PlannedFermentable,
    PlannedHop,
    RecipeReading,
    WaterPlan,
)
from wortwright.planning.recipe import ReadRecipe
from wortwright.planning.sizing import Sizing, size_brew
from wortwright.planning.target import Preferences, WeighIn
from wortwright.planning.volumes import Volumes
from wortwright.planning.weighing import weigh_grain_kg, weigh_hops_kg, weighed_mash
from wortwright.records.grist import AddedTo, Fermentable
from wortwright.records.setup import Setup


def assemble_plan(
    read: ReadRecipe,
    setup: Setup,
    calibration: Calibration,
    asked: Asked,
    preferences: Preferences,
) -> Plan:
    """Plan one brew for one target, whether it fits or not.

    Parameters
    ----------
    read : ReadRecipe
        The recipe.
    setup : Setup
        The vessels and the lauter method.
    calibration : Calibration
        What the setup does.
    asked : Asked
        The target with every default filled in.
    preferences : Preferences
        How the brewer wants it.

    Returns
    -------
    Plan
        Without ways out; where the gravity is out of reach, the plan of most extract.

    Raises
    ------
    TargetError
        If nothing would be left after the losses.
    """
    sizing = size_brew(read, calibration, asked, preferences)
    exact = _grist(sizing)
    hops = _weighed_hops(sizing, preferences.weigh_in)
    weighed = _weighed(sizing, exact, hops, preferences.weigh_in)
    kettle = forecast_kettle(
        calibration,
        weighed.mash,
        weighed.extract_kg(AddedTo.KETTLE),
        sizing.volumes,
        read.recipe.boil_time_min,
    )
    beer = forecast_beer(
        weighed,
        kettle,
        sizing.volumes,
        read.recipe,
        preferences.bitterness_formula.value,
        calibration.attenuation,
    )
    rests = rests_of(read.recipe)
    mash = expect_mash(setup, calibration, weighed.mash, rests)
    foam = foam_of(asked.gravity, read.recipe.yeast)
    checks = check_fit(setup, sizing.volumes, mash, asked.gravity, foam)
    largest_kg = largest_grain_bill_kg(setup, calibration, weighed.mash, rests)
    fit = fit_of(checks, setup, mash, largest_kg, _ceiling(sizing), foam)
    grist = _planned_grist(exact, weighed, kettle.mash_extract_kg)
    bill = tuple(
        _planned_hop(sized, to_weigh)
        for sized, to_weigh in zip(sizing.parts.hop_bill.additions, hops, strict=True)
    )
    plan = Plan(
        recipe_name=read.recipe.name,
        setup_name=setup.name,
        asked=replace(asked, bitterness_ibu=sizing.parts.hop_bill.wanted_ibu(asked)),
        recipe_reading=_reading(read, sizing),
        grist=grist,
        grain_kg=weighed.mash.grain_kg,
        hop_bill=bill,
        water=_water(sizing.volumes, mash),
        temperatures=temperatures(
            setup, calibration, mash, read.recipe, preferences.grain_temperature_c
        ),
        forecast=beer,
        fit=fit,
        in_reserve=reserve_for(kettle, beer.original_gravity, asked.gravity),
        compared_with=compare(read, sizing, calibration),
        warnings=(),
        cautions=(),
    )
    return replace(
        plan,
        warnings=warnings_for(plan, read, setup, calibration),
        cautions=cautions_for(plan, setup),
    )


def _grist(sizing: Sizing) -> tuple[Fermentable, ...]:
    """Every fermentable at its exact mass: the mash first, then what is added later."""
    mashed = zip(sizing.mashed.lines, sizing.grain.masses_kg, strict=True)
    return (
        *(replace(line, mass_kg=mass_kg, share=None) for line, mass_kg in mashed),
        *sizing.parts.added,
    )


def _weighed(
    sizing: Sizing,
    exact: tuple[Fermentable, ...],
    hops: tuple[SizedHop, ...],
    weigh_in: WeighIn,
) -> Weighed:
    grist = tuple(
        replace(line, mass_kg=weigh_grain_kg(line.mass_kg or 0.0, weigh_in)) for line in exact
    )
    grain = sizing.grain.masses_kg
    mash = weighed_mash(sizing.mashed.lines, grain, sizing.volumes.preboil_l, weigh_in)
    return Weighed(grist, mash, sum(hop.bitterness_ibu for hop in hops))


def _weighed_hops(sizing: Sizing, weigh_in: WeighIn) -> tuple[SizedHop, ...]:
    return tuple(
        with_mass(sized, weigh_hops_kg(sized.mass_kg, weigh_in), sizing.volumes.postboil_l)
        for sized in sizing.parts.hop_bill.additions
    )


def _planned_grist(
    exact: tuple[Fermentable, ...], weighed: Weighed, mash_extract_kg: float
) -> tuple[PlannedFermentable, ...]:
    """Pair exact and weighed masses; shares are of the extract that ends in the beer."""
    efficiency = mash_extract_kg / (weighed.mash.grain_kg * weighed.mash.extract_yield)
    gives = [
        line.as_is_yield
        * (line.mass_kg or 0.0)
        * (efficiency if line.added_to is AddedTo.MASH else 1.0)
        for line in weighed.grist
    ]
    return tuple(
        PlannedFermentable(
            name=line.name,
            kind=line.kind,
            added_to=line.added_to,
            role=line.role,
            exact_kg=line.mass_kg or 0.0,
            to_weigh_kg=to_weigh.mass_kg or 0.0,
            share_of_extract=given / sum(gives),
        )
        for line, to_weigh, given in zip(exact, weighed.grist, gives, strict=True)
    )


def _planned_hop(exact: SizedHop, weighed: SizedHop) -> PlannedHop:
    hop = exact.hop
    return PlannedHop(
        name=hop.name,
        form=hop.form,
        moment=hop.moment,
        purpose=hop.purpose,
        alpha=hop.alpha,
        time_min=hop.time_min,
        temperature_c=hop.temperature_c,
        exact_kg=exact.mass_kg,
        to_weigh_kg=weighed.mass_kg,
        bitterness_ibu=weighed.bitterness_ibu,
    )


def _ceiling(sizing: Sizing) -> float | None:
    """Gravity of the most extract that this mash gives; None where the target is reached."""
    if sizing.grain.reach >= 1.0 - 1e-9:
        return None
    most_kg = sizing.grain.extract_kg + sizing.parts.kettle_extract_kg
    return gravity_of_wort(most_kg, sizing.volumes.postboil_l)


def _water(volumes: Volumes, mash: ExpectedMash) -> WaterPlan:
    return WaterPlan(
        strike_l=mash.strike_water_l,
        sparge_l=mash.sparge_l,
        total_l=mash.strike_water_l + sum(mash.sparge_l),
        absorbed_l=mash.absorbed_l,
        dead_space_l=mash.dead_space_l,
        preboil_l=volumes.preboil_l,
        preboil_hot_l=hot_volume_from_20_l(volumes.preboil_l, BOILING_C),
        boiled_off_l=volumes.boiled_off_l,
        postboil_l=volumes.postboil_l,
        postboil_hot_l=hot_volume_from_20_l(volumes.postboil_l, BOILING_C),
        kettle_loss_l=volumes.kettle_loss_l,
        fermenter_l=volumes.fermenter_l,
        fermenter_loss_l=volumes.fermenter_loss_l,
        packaged_l=volumes.packaged_l,
    )


def _reading(read: ReadRecipe, sizing: Sizing) -> RecipeReading:
    recipe = read.recipe
    return RecipeReading(
        volume_l=recipe.volume_l,
        volume_at=read.volume_at,
        original_gravity=read.original_gravity,
        implied_efficiency=read.implied_efficiency,
        stated_efficiency=recipe.efficiency,
        bitterness_ibu=sizing.parts.hop_bill.as_written_ibu,
        colour_ebc=colour_ebc(read.grist, sizing.volumes.postboil_l / sizing.parts.volume_scale),
        believed=read.believed,
    )
