"""One way out: a whole plan, what it gives, what it costs, what may go wrong."""

from dataclasses import dataclass

from wortwright.planning.brewhouse import Brewhouse
from wortwright.planning.limits import Limits, WayKind
from wortwright.planning.plan import Asked, Finding, Plan
from wortwright.records.recipe import Recipe
from wortwright.records.setup import Setup

# Doubts of a plan that are risks of choosing it.
RISKY = frozenset({"thick_mash", "nearly_full", "outside_seen_range", "character_malts_too_much"})
ALIKE = 1e-6


@dataclass(frozen=True, slots=True)
class Way:
    """One alternative.

    ``plan`` is of one brew, made ``brews`` times; every figure beside it is of all of them.
    ``volume_l`` is counted where the target was. ``added_extract_kg`` is malt extract or sugar
    that the recipe does not have, ``burner_min`` the time at the boil, ``rinse_l`` water over
    the drained grain. ``recipe`` and ``setup`` are what was planned with: planned with again at
    the plan's own target they give the same.
    """

    kind: WayKind
    detail: str
    plan: Plan
    brews: int
    volume_l: float
    original_gravity: float
    grain_kg: float
    added_extract_kg: float
    burner_min: float
    rinse_l: float
    risks: tuple[Finding, ...]
    recipe: Recipe
    setup: Setup


def make_way(
    kind: WayKind,
    detail: str,
    house: Brewhouse,
    asked: Asked,
    risks: tuple[Finding, ...] = (),
    *,
    brews: int = 1,
    added_extract_kg: float = 0.0,
) -> Way:
    """Make the whole of a way out from its target.

    Parameters
    ----------
    kind : WayKind
        What is done otherwise.
    detail : str
        A sentence on it.
    house : Brewhouse
        Recipe and setup, changed as the way changes them.
    asked : Asked
        Target of one brew.
    risks : tuple of Finding
        What may go wrong with this kind of way.
    brews : int
        How often it is brewed.
    added_extract_kg : float
        Malt extract or sugar of one brew that the recipe does not have. [kg]

    Returns
    -------
    Way
        With the plan's own doubts among the risks.
    """
    plan = house.plan(asked)
    rinsed = house.setup.runnings if plan.water.sparge_l else 0
    return Way(
        kind=kind,
        detail=detail,
        plan=plan,
        brews=brews,
        volume_l=brews * asked.volume_l,
        original_gravity=asked.gravity,
        grain_kg=brews * plan.grain_kg,
        added_extract_kg=brews * added_extract_kg,
        burner_min=brews * plan.temperatures.boil_time_min,
        rinse_l=brews * sum(plan.water.sparge_l) if rinsed else 0.0,
        risks=(*risks, *(doubt for doubt in plan.warnings if doubt.code in RISKY)),
        recipe=house.read.recipe,
        setup=house.setup,
    )


def worth_offering(ways: list[Way], asked: Asked, limits: Limits) -> tuple[Way, ...]:
    """Leave out what another way beats or equals in every respect; order the rest.

    Parameters
    ----------
    ways : list of Way
        All that work.
    asked : Asked
        What was wanted.
    limits : Limits
        The brewer's order.

    Returns
    -------
    tuple of Way
        The most welcome kind first.
    """
    left = [
        way
        for place, way in enumerate(ways)
        if not any(
            _beats(other, way, asked) or (other_place < place and _equals(other, way, asked))
            for other_place, other in enumerate(ways)
        )
    ]
    return tuple(sorted(left, key=lambda way: limits.rank(way.kind)))


def _costs(way: Way, asked: Asked) -> tuple[float, ...]:
    """Everything that is better when smaller."""
    return (
        max(0.0, asked.volume_l - way.volume_l),
        abs(asked.gravity - way.original_gravity),
        float(way.brews),
        way.burner_min,
        way.grain_kg,
        way.added_extract_kg,
        way.rinse_l,
        float(len(way.risks)),
    )


def _beats(one: Way, other: Way, asked: Asked) -> bool:
    pairs = list(zip(_costs(one, asked), _costs(other, asked), strict=True))
    return all(a <= b + ALIKE for a, b in pairs) and any(a < b - ALIKE for a, b in pairs)


def _equals(one: Way, other: Way, asked: Asked) -> bool:
    pairs = zip(_costs(one, asked), _costs(other, asked), strict=True)
    return all(abs(a - b) <= ALIKE for a, b in pairs)
