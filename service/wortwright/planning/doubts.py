"""Doubts about the numbers of a plan. Harm to a person is in hazards, not here."""

from wortwright.brewing.colour import DARKEST_SUPPORTED_SRM, srm_from_ebc
from wortwright.brewing.hops import ALPHA_LOAD_LIMIT_MG_PER_L, alpha_load_mg_per_l
from wortwright.brewing.tables.yeast import YeastClass, attenuation_classes
from wortwright.calibration.posterior import Calibration
from wortwright.planning.foam import usable_l
from wortwright.planning.grain import THICKEST_LOAD_KG_PER_L
from wortwright.planning.plan import Finding, Plan, PlannedHop, VesselFit
from wortwright.planning.recipe import ReadRecipe
from wortwright.records.dimension import Dimension
from wortwright.records.grist import Moment, Role
from wortwright.records.sentence import Amount, in_percent, litres, say
from wortwright.records.setup import Setup

# Common practice, no source, unless said otherwise.
THICK_MASH_L_PER_KG = 2.0
HIGHEST_CREDIBLE_IBU = 100.0
TIGHT = 0.03


def warnings_for(
    plan: Plan, read: ReadRecipe, setup: Setup, calibration: Calibration
) -> tuple[Finding, ...]:
    """List every doubt, the recipe's own first.

    Parameters
    ----------
    plan : Plan
        The plan so far.
    read : ReadRecipe
        The recipe and what was noticed while reading it.
    setup : Setup
        The setup.
    calibration : Calibration
        What the forecast rests on.

    Returns
    -------
    tuple of Finding
        Sentences with stable codes.
    """
    return (
        *read.findings,
        *_of_gravity(plan),
        *_of_vessels(plan),
        *_of_foam(plan, setup),
        *_of_experience(plan, calibration),
        *_of_mash(plan),
        *_of_bitterness(plan, read),
        *_of_alpha_load(plan),
        *_of_colour(plan),
        *_of_character(plan),
        *_of_yeast(plan, read),
    )


def _of_gravity(plan: Plan) -> list[Finding]:
    if plan.fit.ceiling_gravity is None:
        return []
    thickest = plan.forecast.grain_load_kg_per_l > 0.99 * THICKEST_LOAD_KG_PER_L
    why = "could not be stirred" if thickest else "would hold back more than it gives"
    return [
        Finding(
            "gravity_out_of_reach",
            say(
                "One mash of this grist reaches {ceiling:.3f} at most in {volume}, not "
                "{wanted:.3f}: more grain {why}.",
                ceiling=plan.fit.ceiling_gravity,
                volume=litres(plan.water.postboil_l),
                wanted=plan.asked.gravity,
                why=why,
            ),
        )
    ]


def _of_vessels(plan: Plan) -> list[Finding]:
    found = []
    for check in plan.fit.checks:
        said = say(
            "{vessel}, {at}: {detail}.", vessel=check.vessel, at=check.at, detail=check.detail
        )
        if not check.fits:
            found.append(Finding("does_not_fit", said))
        elif check.at != "ageing" and _spare(check) < TIGHT:
            found.append(Finding("nearly_full", said))
    return found


def _of_foam(plan: Plan, setup: Setup) -> list[Finding]:
    """Say so where an ordinary beer would have room for its foam and this one has not."""
    return [
        Finding(
            "foams_high",
            f"{check.vessel}: {in_percent(1.0 - check.needed_l / check.capacity_l)} of it stay "
            "free; this gravity with this yeast wants "
            f"{in_percent(1.0 - check.usable_l / check.capacity_l)}. With a tube that leads the "
            "foam away it goes in: give the fermenter less foam_room then.",
        )
        for check in plan.fit.checks
        if check.at == "fermentation" and not check.fits
        if sum(usable_l(one, 1.0) for one in setup.vessels.fermenters) >= check.needed_l
    ]


def _spare(check: VesselFit) -> float:
    return (check.usable_l - check.needed_l) / check.capacity_l


def _of_experience(plan: Plan, calibration: Calibration) -> list[Finding]:
    if calibration.session_count == 0:
        return [
            Finding(
                "no_sessions_yet",
                "No session of this setup is known: the forecast rests on what setups of this "
                "kind usually do. Take the readings; the next one will be closer.",
            )
        ]
    outside = plan.forecast.outside_seen_range or 0.0
    if outside <= 0.05:
        return []
    return [
        Finding(
            "outside_seen_range",
            f"This mash lies {in_percent(outside)} beyond anything this setup has brewed; the "
            "interval is wider for it, and the physics rather than the record carries the "
            "forecast.",
        )
    ]


def _of_mash(plan: Plan) -> list[Finding]:
    thickness = plan.water.strike_l / plan.grain_kg
    if thickness >= THICK_MASH_L_PER_KG:
        return []
    return [
        Finding(
            "thick_mash",
            say(
                "A mash of {thickness} is hard to stir and converts less.",
                thickness=Amount(thickness, Dimension.VOLUME_PER_MASS),
            ),
        )
    ]


def _of_bitterness(plan: Plan, read: ReadRecipe) -> list[Finding]:
    found = []
    stated, counted = read.recipe.bitterness_ibu, plan.recipe_reading.bitterness_ibu
    if stated and abs(stated - counted) > max(3.0, 0.1 * stated):
        found.append(
            Finding(
                "bitterness_differs",
                f"The recipe states {stated:.0f} IBU; its hop bill gives {counted:.0f} by "
                f"{plan.forecast.bitterness_formula.capitalize()}. The hop bill was believed.",
            )
        )
    wanted = plan.asked.bitterness_ibu or 0.0
    # Of the exact masses: what the scale rounds away is no reason to doubt.
    given = sum(hop.bitterness_ibu * _exactly(hop) for hop in plan.hop_bill)
    if abs(given - wanted) > max(1.0, 0.03 * wanted):
        why = (
            "aroma hops alone bring that much" if given > wanted else "no bittering hops to add to"
        )
        found.append(
            Finding(
                "bitterness_not_met",
                f"The hop bill gives {given:.0f} IBU, not the {wanted:.0f} wanted: {why}.",
            )
        )
    return found


def _exactly(hop: PlannedHop) -> float:
    return hop.exact_kg / hop.to_weigh_kg if hop.to_weigh_kg else 0.0


def _of_alpha_load(plan: Plan) -> list[Finding]:
    load = sum(
        alpha_load_mg_per_l(hop.to_weigh_kg, hop.alpha, plan.water.postboil_l)
        for hop in plan.hop_bill
        if hop.moment in (Moment.BOIL, Moment.FIRST_WORT)
    )
    computed = plan.forecast.bitterness_ibu
    if load <= ALPHA_LOAD_LIMIT_MG_PER_L and computed <= HIGHEST_CREDIBLE_IBU:
        return []
    return [
        Finding(
            "bitterness_overstated",
            f"{load:.0f} mg/L of alpha acid is near or beyond what dissolves: real bitterness "
            f"will stay below the computed {computed:.0f} IBU.",
        )
    ]


def _of_colour(plan: Plan) -> list[Finding]:
    if srm_from_ebc(plan.forecast.colour_ebc) <= DARKEST_SUPPORTED_SRM:
        return []
    return [
        Finding(
            "colour_extrapolated",
            "The colour formula was not made for beer this dark; take the figure as "
            "'black', not as a measurement.",
        )
    ]


def _of_character(plan: Plan) -> list[Finding]:
    """Say so where the base malt was asked to shrink to nothing."""
    base = [line for line in plan.grist if line.role is Role.BASE and line.added_to == "mash"]
    if not base or any(line.exact_kg > 0.0 for line in base):
        return []
    return [
        Finding(
            "character_malts_too_much",
            "The character malts alone give more than the gravity asked; keep shares instead.",
        )
    ]


def _of_yeast(plan: Plan, read: ReadRecipe) -> list[Finding]:
    """Say so where the beer is stronger than yeasts of its class usually bear."""
    yeast = read.recipe.yeast
    stated = None if yeast is None else yeast.apparent_attenuation
    attained = plan.forecast.apparent_attenuation if stated is None else stated
    classes = [one for one in attenuation_classes() if one.yeast_class is not YeastClass.DIASTATIC]
    below = [one for one in classes if one.least_attenuation <= attained] or classes[:1]
    bears, strong = below[-1].alcohol_tolerance, plan.forecast.alcohol_by_volume.mean
    if strong <= bears:
        return []
    return [
        Finding(
            "alcohol_tolerance",
            f"{in_percent(strong, 1)} of alcohol is forecast; yeasts that attenuate "
            f"{in_percent(attained)} usually bear {in_percent(bears)}. Take one that is "
            "known to bear it, or count on a sweeter beer.",
        )
    ]
