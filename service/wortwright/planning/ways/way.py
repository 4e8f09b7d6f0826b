"""Ways out made whole, and which of them are worth offering."""

from wortwright.planning.brewhouse import Brewhouse
from wortwright.planning.limits import Limits, WayKind
from wortwright.planning.plan import Asked, Finding, Plan, WayOut
from wortwright.records.sentence import Said

# Doubts of a plan that are risks of choosing it.
RISKY = frozenset({"thick_mash", "nearly_full", "outside_seen_range", "character_malts_too_much"})
ALIKE = 1e-6


def make_way(
    kind: WayKind,
    detail: Said,
    house: Brewhouse,
    plan: Plan,
    risks: tuple[Finding, ...] = (),
    *,
    brews: int = 1,
    added_extract_kg: float = 0.0,
    instead_of: Brewhouse | None = None,
) -> WayOut:
    """Make the whole of a way out from its plan.

    Parameters
    ----------
    kind : WayKind
        What is done otherwise.
    detail : str
        A sentence on it.
    house : Brewhouse
        Recipe and setup, changed as the way changes them.
    plan : Plan
        Of one brew there.
    risks : tuple of Finding
        What may go wrong with this kind of way.
    brews : int
        How often it is brewed.
    added_extract_kg : float
        Malt extract or sugar of one brew that the recipe does not have. [kg]
    instead_of : Brewhouse, optional
        Recipe and setup unchanged, where the way changes them.

    Returns
    -------
    WayOut
        With the plan's own doubts among the risks.
    """
    recipe, setup = house.read.recipe, house.setup
    before = instead_of or house
    return WayOut(
        kind=kind,
        detail=detail,
        plan=plan,
        brews=brews,
        added_extract_kg=brews * added_extract_kg,
        risks=(*risks, *(doubt for doubt in plan.warnings if doubt.code in RISKY)),
        recipe=None if recipe == before.read.recipe else recipe,
        setup=None if setup == before.setup else setup,
    )


def worth_offering(ways: list[WayOut], asked: Asked, limits: Limits) -> tuple[WayOut, ...]:
    """Leave out what another way beats or equals in every respect; order the rest.

    Parameters
    ----------
    ways : list of WayOut
        All that work.
    asked : Asked
        What was wanted.
    limits : Limits
        The brewer's order.

    Returns
    -------
    tuple of WayOut
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


def _costs(way: WayOut, asked: Asked) -> tuple[float, ...]:
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


def _beats(one: WayOut, other: WayOut, asked: Asked) -> bool:
    pairs = list(zip(_costs(one, asked), _costs(other, asked), strict=True))
    return all(a <= b + ALIKE for a, b in pairs) and any(a < b - ALIKE for a, b in pairs)


def _equals(one: WayOut, other: WayOut, asked: Asked) -> bool:
    pairs = zip(_costs(one, asked), _costs(other, asked), strict=True)
    return all(abs(a - b) <= ALIKE for a, b in pairs)
