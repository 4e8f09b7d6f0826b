"""All ways out of a plan that does not fit or cannot reach its gravity."""

from collections.abc import Iterator
from dataclasses import replace

from wortwright.planning.brewhouse import Brewhouse
from wortwright.planning.limits import Limits, WayKind
from wortwright.planning.plan import Asked, Finding, Plan, WayOut
from wortwright.planning.ways.added_extract import by_malt_extract, by_sugar
from wortwright.planning.ways.way import make_way, worth_offering
from wortwright.planning.ways_out import largest_volume, strongest
from wortwright.records.sentence import Sentence, litres, say

# A longer boil is looked for in these steps; less more beer than this is not worth it.
BOIL_STEP_MIN = 15.0
WORTH_L = 0.3
LEAST_RINSE_L = 1.0


def offer_ways(house: Brewhouse, asked: Asked, limits: Limits) -> tuple[WayOut, ...]:
    """Find what else could be brewed.

    Parameters
    ----------
    house : Brewhouse
        Recipe, setup and what it does.
    asked : Asked
        The target that does not fit or is not reached.
    limits : Limits
        What the brewer will not do, and what they would rather do.

    Returns
    -------
    tuple of WayOut
        Whole plans that fit and reach their gravity, the most welcome kind first; what another
        beats in every respect is left out. None where the target itself works.
    """
    if house.margin(asked) >= 0.0:
        return ()
    plain = largest_volume(asked, house.margin)
    plain_l = 0.0 if plain is None else plain.volume_l
    ways = [
        *_smaller(house, asked, plain),
        *_weaker(house, asked),
        *_several(house, asked, limits, plain),
        *_boiled_longer(house, asked, limits, plain_l),
        *_rinsed(house, asked, limits, plain_l),
        *by_malt_extract(house, asked, limits, plain_l),
        *by_sugar(house, asked, limits, plain_l),
    ]
    return worth_offering(ways, asked, limits)


def _smaller(house: Brewhouse, asked: Asked, plain: Asked | None) -> Iterator[WayOut]:
    if plain is not None:
        said = say(
            "{volume} instead of {asked} at the same gravity",
            volume=litres(plain.volume_l),
            asked=litres(asked.volume_l),
        )
        yield make_way(WayKind.LARGEST_VOLUME, said, house, house.plan(plain))


def _weaker(house: Brewhouse, asked: Asked) -> Iterator[WayOut]:
    weaker = strongest(asked, house.margin)
    if weaker is not None:
        said = f"{weaker.gravity:.3f} instead of {asked.gravity:.3f} at the same volume"
        yield make_way(WayKind.STRONGEST_BEER, said, house, house.plan(weaker))


def _several(
    house: Brewhouse, asked: Asked, limits: Limits, plain: Asked | None
) -> Iterator[WayOut]:
    """The fewest equal brews that make the volume; else as many as allowed, each the largest."""
    for brews in range(2, limits.max_brews + 1):
        each = replace(asked, volume_l=asked.volume_l / brews)
        if house.margin(each) >= 0.0:
            yield _brews(house, each, brews)
            return
    if plain is not None and limits.max_brews > 1:
        yield _brews(house, plain, limits.max_brews)


def _brews(house: Brewhouse, each: Asked, brews: int) -> WayOut:
    said = say(
        "{brews} brews of {each} each, combined: {all}",
        brews=brews,
        each=litres(each.volume_l),
        all=litres(brews * each.volume_l),
    )
    risk = Finding(
        "brews_far_apart",
        "Pitch all the yeast into the first brew and let the next follow within a day or two, "
        "aerated before it goes in; beer that already ferments takes harm from more air.",
    )
    return make_way(WayKind.SEVERAL_BREWS, said, house, house.plan(each), (risk,), brews=brews)


def _boiled_longer(
    house: Brewhouse, asked: Asked, limits: Limits, plain_l: float
) -> Iterator[WayOut]:
    """More wort before the boil takes more out of less grain; the boil brings it down again."""
    found = _best_boil(house, asked, limits, plain_l)
    if found is not None:
        boiled, each = found
        fuller = _fuller(boiled, house)
        said = say("{volume} from {fuller}", volume=litres(each.volume_l), fuller=fuller)
        risks = (_boil_risk(boiled, house),)
        yield make_way(
            WayKind.LONGER_BOIL, said, boiled, boiled.plan(each), risks, instead_of=house
        )


def _best_boil(
    house: Brewhouse, asked: Asked, limits: Limits, plain_l: float
) -> tuple[Brewhouse, Asked] | None:
    """The shortest longer boil that makes all of the volume, else the one that makes most."""
    usual_min = house.read.recipe.boil_time_min
    steps = int((limits.max_boil_min - usual_min) / BOIL_STEP_MIN + 1e-9)
    boils = [house.with_boil(usual_min + BOIL_STEP_MIN * step) for step in range(1, steps + 1)]
    for boiled in boils:
        if boiled.margin(asked) >= 0.0:
            return boiled, asked
    found, most_l = None, plain_l
    for boiled in reversed(boils):
        worth_it = replace(asked, volume_l=most_l + WORTH_L)
        each = largest_volume(asked, boiled.margin) if boiled.margin(worth_it) >= 0.0 else None
        if each is not None:
            found, most_l = (boiled, each), each.volume_l
    return found


def _more_min(boiled: Brewhouse, house: Brewhouse) -> float:
    return boiled.read.recipe.boil_time_min - house.read.recipe.boil_time_min


def _more_l(boiled: Brewhouse, house: Brewhouse) -> float:
    rate = house.calibration.constants["boil_off_l_per_h"].mean
    return rate * _more_min(boiled, house) / 60.0


def _fuller(boiled: Brewhouse, house: Brewhouse) -> Sentence:
    return say(
        "a kettle {more} fuller, boiled {long:.0f} min instead of {usual:.0f}",
        more=litres(_more_l(boiled, house)),
        long=boiled.read.recipe.boil_time_min,
        usual=house.read.recipe.boil_time_min,
    )


def _boil_risk(boiled: Brewhouse, house: Brewhouse) -> Finding:
    return Finding(
        "long_boil",
        say(
            "{time:.0f} min more at the boil darken the wort and take {wort} more away; where it "
            "boils harder or more gently than known, the volume misses by as much.",
            time=_more_min(boiled, house),
            wort=litres(_more_l(boiled, house)),
        ),
    )


def _rinsed(house: Brewhouse, asked: Asked, limits: Limits, plain_l: float) -> Iterator[WayOut]:
    """Part of the water over the drained grain: it takes no room in the mash."""
    rinsed = None if limits.no_rinse else house.rinsed()
    if rinsed is None:
        return
    each = asked if rinsed.margin(asked) >= 0.0 else _larger(rinsed, asked, plain_l)
    plan = None if each is None else rinsed.plan(each)
    if plan is not None and _rinse_l(plan) >= LEAST_RINSE_L:
        plain_l = plan.asked.volume_l
        said = say("{volume} when {kept_back}", volume=litres(plain_l), kept_back=_kept_back(plan))
        risks = (_rinse_risk(plan),)
        yield make_way(WayKind.RINSED_GRAIN, said, rinsed, plan, risks, instead_of=house)
    found = _best_boil(rinsed, asked, limits, plain_l)
    if found is None or plain_l >= asked.volume_l:
        return
    boiled, each = found
    plan = boiled.plan(each)
    if _rinse_l(plan) >= LEAST_RINSE_L:
        said = say(
            "{volume} from {fuller}, when {kept_back}",
            volume=litres(each.volume_l),
            fuller=_fuller(boiled, house),
            kept_back=_kept_back(plan),
        )
        both = (_rinse_risk(plan), _boil_risk(boiled, house))
        kind = WayKind.RINSED_AND_LONGER_BOIL
        yield make_way(kind, said, boiled, plan, both, instead_of=house)


def _larger(house: Brewhouse, asked: Asked, plain_l: float) -> Asked | None:
    if house.margin(replace(asked, volume_l=plain_l + WORTH_L)) < 0.0:
        return None
    return largest_volume(asked, house.margin)


def _rinse_l(plan: Plan) -> float:
    return sum(plan.water.sparge_l)


def _kept_back(plan: Plan) -> Sentence:
    return say(
        "{rinse} of the water are kept back and the drained grain is stirred up in them once more",
        rinse=litres(_rinse_l(plan)),
    )


def _rinse_risk(plan: Plan) -> Finding:
    return Finding(
        "rinse_untried",
        say(
            "It takes a second vessel for {rinse} of hot water. The forecast counts on the grain "
            "being stirred up and drained again; water merely poured over it gains less.",
            rinse=litres(_rinse_l(plan)),
        ),
    )
