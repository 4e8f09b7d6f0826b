"""Ways out that put malt extract or sugar in the place of part of the grain."""

from collections.abc import Callable, Iterator
from dataclasses import replace

from wortwright.brewing.alcohol import final_gravity
from wortwright.brewing.attenuation import SUCROSE_ATTENUATION
from wortwright.brewing.gravity import extract_kg
from wortwright.brewing.tables import typical_of_kind
from wortwright.planning.brewhouse import Brewhouse
from wortwright.planning.forecasting import attenuation_of
from wortwright.planning.limits import Limits, WayKind
from wortwright.planning.plan import Asked, Finding, WayOut
from wortwright.planning.recipe import ReadRecipe
from wortwright.planning.ways.way import make_way
from wortwright.planning.ways_out import largest_volume
from wortwright.records.grist import AddedTo, Fermentable, Kind, Role
from wortwright.records.sentence import in_percent, kilograms, litres, say

# Shares are looked for to this; less of it than that is not worth opening a bag for.
SHARE_STEP = 0.002
WORTH_L = 0.3
MOST_BESIDE_MASH = 0.9


def by_malt_extract(
    house: Brewhouse, asked: Asked, limits: Limits, plain_l: float
) -> Iterator[WayOut]:
    """Put dry malt extract into the kettle: no more than needed, and up to a share."""
    room = _room(house.read, limits.largest_extract_share, {Kind.MALT_EXTRACT})
    if limits.no_extract or room < SHARE_STEP:
        return

    def with_share(share: float) -> Brewhouse:
        return _with_line(house, Kind.MALT_EXTRACT, share)

    risk = Finding(
        "extract_ferments_less",
        "Malt extract often ferments a little less far and darker than mashed malt; its own "
        "colour is that of its label, not of this forecast.",
    )
    yield from _by_share(house, asked, with_share, room, plain_l, WayKind.MALT_EXTRACT, risk)


def by_sugar(house: Brewhouse, asked: Asked, limits: Limits, plain_l: float) -> Iterator[WayOut]:
    """Put plain sugar into the kettle: no more than needed, and up to a share."""
    room = _room(house.read, limits.largest_sugar_share, {Kind.SUGAR, Kind.SYRUP})
    if limits.no_sugar or room < SHARE_STEP:
        return

    def with_share(share: float) -> Brewhouse:
        return _thinner(_with_line(house, Kind.SUGAR, share), share)

    risk = Finding(
        "sugar_thins",
        "Sugar ferments out altogether: the beer becomes drier, thinner and stronger than the "
        "same gravity from malt.",
    )
    yield from _by_share(house, asked, with_share, room, plain_l, WayKind.SUGAR, risk)


def _by_share(
    house: Brewhouse,
    asked: Asked,
    with_share: Callable[[float], Brewhouse],
    most: float,
    plain_l: float,
    kind: WayKind,
    risk: Finding,
) -> Iterator[WayOut]:
    """The smallest share that makes all of the volume, else the most beer at the whole share."""
    share, each = most, asked
    if with_share(most).margin(asked) >= 0.0:
        share = _smallest_share(lambda tried: with_share(tried).margin(asked), most)
    else:
        found = largest_volume(asked, with_share(most).margin)
        if found is None or found.volume_l <= plain_l + WORTH_L:
            return
        each = found
    changed = with_share(share)
    plan = changed.plan(each)
    added = plan.grist[-1]
    said = say(
        "{volume} with {mass} of {added} in the kettle, {share} of the extract",
        volume=litres(each.volume_l),
        mass=kilograms(added.to_weigh_kg),
        added=added.name.lower(),
        share=in_percent(share),
    )
    yield make_way(
        kind,
        said,
        changed,
        plan,
        (risk,),
        added_extract_kg=added.to_weigh_kg,
        instead_of=house,
    )


def _smallest_share(margin: Callable[[float], float], most: float) -> float:
    """Smallest share that fits; the largest is known to."""
    low, high = 0.0, most
    while high - low > SHARE_STEP:
        middle = (low + high) / 2.0
        low, high = (low, middle) if margin(middle) >= 0.0 else (middle, high)
    return high


def _room(read: ReadRecipe, largest_share: float, kinds: set[Kind]) -> float:
    """Share that may still be added; something is always left to the mash."""
    return min(
        largest_share - _share_now(read, kinds), MOST_BESIDE_MASH - _share_now(read, {*Kind})
    )


def _share_now(read: ReadRecipe, kinds: set[Kind]) -> float:
    """Share of all the recipe's extract that such fermentables give already."""
    total_kg = extract_kg(read.recipe.volume_l, read.original_gravity)
    given = (
        (line.mass_kg or 0.0) * line.as_is_yield
        for line in read.grist
        if line.kind in kinds and line.added_to is not AddedTo.MASH
    )
    return sum(given) / total_kg


def _with_line(house: Brewhouse, kind: Kind, share: float) -> Brewhouse:
    """Add a fermentable that gives a share of the extract; the mash takes up the difference."""
    read, typical = house.read, typical_of_kind(kind.value)
    total_kg = extract_kg(read.recipe.volume_l, read.original_gravity)
    line = Fermentable(
        name=typical.name,
        kind=kind,
        extract_yield=typical.extract_yield,
        moisture=typical.moisture,
        colour_ebc=typical.colour_ebc,
        added_to=AddedTo.KETTLE,
        role=Role.BASE,
        mass_kg=share * total_kg / (typical.extract_yield * (1.0 - typical.moisture)),
    )
    recipe = replace(
        read.recipe,
        grist=(*read.grist, line),
        original_gravity=read.original_gravity,
        efficiency=None,
    )
    return house.with_recipe(recipe)


def _thinner(house: Brewhouse, share: float) -> Brewhouse:
    """Let the beer ferment further by the share of sugar."""
    read = house.read
    usual = attenuation_of(read.recipe, read.grist, read.original_gravity).mean
    further = usual + share * (SUCROSE_ATTENUATION - usual)
    left = final_gravity(read.original_gravity, further)
    return replace(house, read=replace(read, recipe=replace(read.recipe, final_gravity=left)))
