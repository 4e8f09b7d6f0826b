"""Priming and bottles: what to weigh, and the pressure if the forecast is wrong."""

from dataclasses import dataclass

from wortwright.brewing.bottling import (
    WARM_STORE_C,
    BeerToBottle,
    BottlePressureError,
    BottlingPlan,
    bottling_plan,
    bottling_yeast_g,
    needs_fresh_yeast,
)
from wortwright.brewing.carbonation import residual_volumes
from wortwright.brewing.priming import priming_sugar_g
from wortwright.brewing.tables.packaging import BottleKind, PrimingSugar, bottle_limit
from wortwright.planning.cautions import Caution, caution
from wortwright.planning.plan import Finding
from wortwright.records.sentence import Said, Sentence, bar, degrees, grams, litres, say


@dataclass(frozen=True, slots=True)
class PrimingAsked:
    """Beer to be primed: its volume, the gas wanted, and the gas that it may still hold.

    ``highest_temperature_c`` is the highest since fermentation quieted, ``pressure_bar`` what
    was held then.
    """

    volume_l: float
    carbonation: float
    highest_temperature_c: float
    sugar: PrimingSugar = PrimingSugar.SUCROSE
    pressure_bar: float = 0.0


@dataclass(frozen=True, slots=True)
class Priming:
    """Sugar to weigh [g]."""

    summary: Said
    sugar_g: float
    sugar_g_per_l: float
    residual_volumes: float
    warnings: tuple[Finding, ...]
    cautions: tuple[Caution, ...]


@dataclass(frozen=True, slots=True)
class BottlingAsked:
    """Beer to be bottled: what is in it, and in what bottles it is to stand where.

    ``expected_final_gravity`` is where it will stop, ``lowest_final_gravity`` the lowest that it
    could come to. ``days_aged`` and ``alcohol`` tell whether its own yeast will do.
    """

    volume_l: float
    carbonation: float
    highest_temperature_c: float
    gravity: float
    expected_final_gravity: float
    lowest_final_gravity: float
    bottle: BottleKind
    sugar: PrimingSugar = PrimingSugar.SUCROSE
    store_temperature_c: float = WARM_STORE_C
    days_aged: float = 0.0
    alcohol: float = 0.0
    fined_or_filtered: bool = False


@dataclass(frozen=True, slots=True)
class Bottling:
    """A bottling plan; ``yeast_g`` is None where the beer's own yeast will do."""

    summary: Said
    plan: BottlingPlan
    yeast_g: float | None
    warnings: tuple[Finding, ...]
    cautions: tuple[Caution, ...]


def plan_priming(asked: PrimingAsked) -> Priming:
    """Weigh priming sugar for beer that has finished.

    Parameters
    ----------
    asked : PrimingAsked
        Beer and carbonation wanted.

    Returns
    -------
    Priming
        Sugar; nothing where the beer holds the gas already.

    Raises
    ------
    OutOfRangeError
        For values outside their range.
    """
    residual = residual_volumes(asked.highest_temperature_c, asked.pressure_bar)
    sugar_g = priming_sugar_g(asked.volume_l, asked.carbonation, residual, asked.sugar)
    return Priming(
        summary=_weigh(sugar_g, asked.sugar, asked.volume_l),
        sugar_g=sugar_g,
        sugar_g_per_l=sugar_g / asked.volume_l,
        residual_volumes=residual,
        warnings=tuple(_of_sugar(sugar_g, residual, asked.carbonation)),
        cautions=(caution("bottle_pressure"), caution("glass")),
    )


def plan_bottling(asked: BottlingAsked) -> Bottling:
    """Plan a bottling that the bottles will bear.

    Parameters
    ----------
    asked : BottlingAsked
        Beer, bottles and store.

    Returns
    -------
    Bottling
        Sugar, pressures if the final gravity is as expected and if it is not, yeast.

    Raises
    ------
    BottlePressureError
        If the bottles would be under more pressure than they may bear.
    OutOfRangeError
        For values outside their range.
    """
    beer = BeerToBottle(
        asked.volume_l,
        asked.gravity,
        asked.expected_final_gravity,
        asked.lowest_final_gravity,
        asked.highest_temperature_c,
    )
    plan = bottling_plan(
        beer, asked.carbonation, asked.sugar, asked.bottle, asked.store_temperature_c
    )
    fresh = needs_fresh_yeast(asked.days_aged, asked.alcohol, asked.fined_or_filtered)
    codes = ["bottle_pressure", "glass"]
    if not plan.safe_if_lowest:
        codes.insert(1, "doubtful_bottle")
    return Bottling(
        summary=say(
            "{weigh} The bottles then hold {volumes:.1f} volumes, {pressure} at {store}.",
            weigh=_weigh(plan.sugar_g, asked.sugar, asked.volume_l),
            volumes=plan.volumes,
            pressure=bar(plan.gauge_bar),
            store=degrees(asked.store_temperature_c),
        ),
        plan=plan,
        yeast_g=bottling_yeast_g(asked.volume_l) if fresh else None,
        warnings=(
            *_of_sugar(plan.sugar_g, plan.residual_volumes, asked.carbonation),
            *_of_pressure(plan),
            *_of_more_gas(plan, asked.carbonation),
            *_of_yeast(fresh=fresh),
        ),
        cautions=tuple(map(caution, codes)),
    )


def told_pressure(error: BottlePressureError) -> Sentence:
    """Say what bottles would come to, and why they may not.

    Parameters
    ----------
    error : BottlePressureError
        The refusal of a plan.

    Returns
    -------
    Sentence
        One sentence with carbonation, pressure, temperature and limit.
    """
    limit = bottle_limit(error.bottle)
    kind = f"bottles of the kind {error.bottle.replace('_', ' ')!r}"
    most = f"each may hold {limit.most_volumes:g} volumes"
    why = f"these may hold none, for {limit.refused_because}" if limit.refused_because else most
    return say(
        "This would reach {volumes:.1f} volumes, {pressure} at {temperature}, in {kind}: {why}.",
        volumes=error.volumes,
        pressure=bar(error.gauge_bar),
        temperature=degrees(error.temperature_c),
        kind=kind,
        why=why,
    )


def _weigh(sugar_g: float, sugar: PrimingSugar, volume_l: float) -> Said:
    name = sugar.replace("_", " ")
    if sugar_g == 0.0:
        return "The beer holds this much gas already: add no sugar."
    return say(
        "Weigh {mass} of {name} for {volume}.",
        mass=grams(sugar_g / 1000.0),
        name=name,
        volume=litres(volume_l),
    )


def _of_sugar(sugar_g: float, residual: float, carbonation: float) -> list[Finding]:
    if sugar_g > 0.0:
        return []
    return [
        Finding(
            "no_sugar_needed",
            f"The beer still holds {residual:.1f} volumes, not less than the {carbonation:.1f} "
            "wanted.",
        )
    ]


def _of_pressure(plan: BottlingPlan) -> list[Finding]:
    if plan.safe_if_lowest:
        return []
    return [
        Finding(
            "unsafe_if_it_ferments_on",
            say(
                "If the beer ferments on to its lowest it reaches {volumes:.1f} volumes, "
                "{pressure}, more than the {most:g} volumes these bottles may hold: wait until "
                "it has surely finished.",
                volumes=plan.volumes_if_lowest,
                pressure=bar(plan.gauge_bar_if_lowest),
                most=plan.most_volumes,
            ),
        )
    ]


def _of_more_gas(plan: BottlingPlan, carbonation: float) -> list[Finding]:
    more = plan.volumes - max(carbonation, plan.residual_volumes)
    if more < 0.05:
        return []
    return [
        Finding(
            "gas_from_what_is_left",
            f"What is still to ferment adds {more:.1f} volumes to the {carbonation:.1f} wanted; "
            "the sugar does not allow for it.",
        )
    ]


def _of_yeast(*, fresh: bool) -> list[Finding]:
    if not fresh:
        return []
    return [
        Finding(
            "fresh_yeast",
            "The beer's own yeast is too old, too tired or gone: add fresh yeast, the same or "
            "one that attenuates less.",
        )
    ]
