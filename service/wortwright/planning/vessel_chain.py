"""From the beer wanted in bottles back to the brews: racking, ageing, fermenting, boil, mash."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations

from wortwright.brewing.oxygen import head_space_oxygen_mg_l
from wortwright.planning.brewhouse import Brewhouse
from wortwright.planning.plan import Asked, Finding, Plan
from wortwright.planning.target import TargetError
from wortwright.records.recipe import VolumeAt
from wortwright.records.sentence import Sentence, litres, say
from wortwright.records.setup import Vessel

# What stays with the yeast when an ageing vessel is emptied; common practice, no source.
AGEING_LOSS_L = 0.3
CELLAR_C = 12.0
MOST_AGEING_VESSELS = 8


@dataclass(frozen=True, slots=True)
class ChainAsked:
    """Beer wanted at the end of the chain. Without ``aged`` it is packaged from the fermenter.

    Gravity and bitterness default to the recipe's.
    """

    packaged_l: float
    aged: bool = True
    gravity: float | None = None
    bitterness_ibu: float | None = None
    ageing_loss_l: float = AGEING_LOSS_L
    cellar_c: float = CELLAR_C
    max_brews: int = 4


@dataclass(frozen=True, slots=True)
class AgeingFill:
    """One ageing vessel: what is in it, the air above it, and the oxygen that could bring.

    ``oxygen_mg_l`` is per litre of the beer in that vessel, if all of it dissolves; the trade
    aims at less than 0.1.
    """

    vessel: str
    capacity_l: float
    beer_l: float
    head_space_l: float
    oxygen_mg_l: float


@dataclass(frozen=True, slots=True)
class ChainStep:
    """Volume at one place of the chain, of all brews, and what stays behind there. [L]"""

    at: str
    volume_l: float
    left_behind_l: float


@dataclass(frozen=True, slots=True)
class VesselChain:
    """The whole chain: ``brews`` equal brews, each by ``plan``.

    ``surplus_l`` is beer beyond what was wanted, brewed so that every ageing vessel is full to
    the neck; ``part_filled`` is what the vessels would be without it.
    """

    packaged_l: float
    brews: int
    plan: Plan
    ageing: tuple[AgeingFill, ...]
    part_filled: tuple[AgeingFill, ...]
    steps: tuple[ChainStep, ...]
    surplus_l: float
    left_behind_l: float
    findings: tuple[Finding, ...]


@dataclass(frozen=True, slots=True)
class _Candidate:
    """Some of the ageing vessels, all full, and a number of brews that fills them."""

    vessels: tuple[Vessel, ...]
    racked_l: float
    surplus_l: float
    brews: int


def chain_back(house: Brewhouse, asked: ChainAsked) -> VesselChain:
    """Plan the brews for a volume wanted in bottles.

    The fewest brews are taken, and among those the vessels that leave the least beer over.

    Parameters
    ----------
    house : Brewhouse
        Recipe and setup.
    asked : ChainAsked
        What is wanted at the end.

    Returns
    -------
    VesselChain
        Ageing vessels full to the neck under an airlock, volumes at every place, the brews.

    Raises
    ------
    TargetError
        If the ageing vessels or so many brews do not hold it.
    """
    found = min(
        _candidates(house, asked),
        key=lambda one: (one.brews, one.surplus_l, len(one.vessels)),
        default=None,
    )
    if found is None:
        raise TargetError("packaged", _why_not(house, asked))
    plan = house.plan(_each(house, asked, found.racked_l, found.brews))
    full = tuple(_fill(vessel, vessel.capacity_l, asked) for vessel in found.vessels)
    steps = tuple(_steps(plan, asked, found))
    return VesselChain(
        packaged_l=asked.packaged_l,
        brews=found.brews,
        plan=plan,
        ageing=full,
        part_filled=_part_filled(found, asked),
        steps=steps,
        surplus_l=found.surplus_l,
        left_behind_l=sum(step.left_behind_l for step in steps),
        findings=tuple(_findings(house, found, asked)),
    )


def _ages(house: Brewhouse, asked: ChainAsked) -> bool:
    return asked.aged and bool(house.setup.vessels.ageing)


def _candidates(house: Brewhouse, asked: ChainAsked) -> Iterator[_Candidate]:
    for vessels, racked_l in _fillings(house, asked):
        wanted_l = asked.packaged_l + asked.ageing_loss_l * len(vessels)
        for brews in range(1, asked.max_brews + 1):
            if house.margin(_each(house, asked, racked_l, brews)) >= 0.0:
                yield _Candidate(vessels, racked_l, racked_l - wanted_l, brews)
                break


def _fillings(house: Brewhouse, asked: ChainAsked) -> Iterator[tuple[tuple[Vessel, ...], float]]:
    """Sets of ageing vessels that hold the beer, each with what fills them to the neck."""
    if not _ages(house, asked):
        yield (), asked.packaged_l
        return
    largest = sorted(house.setup.vessels.ageing, key=lambda vessel: -vessel.capacity_l)
    vessels, seen = largest[:MOST_AGEING_VESSELS], set()
    for count in range(1, len(vessels) + 1):
        for some in combinations(vessels, count):
            racked_l = sum(vessel.capacity_l for vessel in some)
            enough = racked_l >= asked.packaged_l + asked.ageing_loss_l * count - 1e-9
            if enough and (count, racked_l) not in seen:
                seen.add((count, racked_l))
                yield some, racked_l


def _each(house: Brewhouse, asked: ChainAsked, racked_l: float, brews: int) -> Asked:
    return Asked(
        racked_l / brews,
        VolumeAt.PACKAGE,
        asked.gravity or house.read.original_gravity,
        asked.bitterness_ibu,
    )


def _why_not(house: Brewhouse, asked: ChainAsked) -> Sentence:
    if any(True for _ in _fillings(house, asked)):
        return say(
            "{brews} brews on this setup do not make {wanted}",
            brews=asked.max_brews,
            wanted=litres(asked.packaged_l),
        )
    holds_l = sum(vessel.capacity_l for vessel in house.setup.vessels.ageing)
    return say(
        "the ageing vessels hold {all} in all, too little for {wanted}",
        all=litres(holds_l),
        wanted=litres(asked.packaged_l),
    )


def _fill(vessel: Vessel, beer_l: float, asked: ChainAsked) -> AgeingFill:
    air_l = max(0.0, vessel.capacity_l - beer_l)
    return AgeingFill(
        vessel.name or "ageing vessel",
        vessel.capacity_l,
        beer_l,
        air_l,
        head_space_oxygen_mg_l(air_l, beer_l, asked.cellar_c),
    )


def _part_filled(found: _Candidate, asked: ChainAsked) -> tuple[AgeingFill, ...]:
    """The vessels with only the beer wanted in them: the largest full, the last not."""
    left_l, fills = found.racked_l - found.surplus_l, []
    for vessel in found.vessels:
        beer_l = min(left_l, vessel.capacity_l)
        if beer_l > 1e-9:
            fills.append(_fill(vessel, beer_l, asked))
        left_l -= beer_l
    return tuple(fills)


def _steps(plan: Plan, asked: ChainAsked, found: _Candidate) -> Iterator[ChainStep]:
    water, brews = plan.water, found.brews
    if found.vessels:
        yield ChainStep("ageing", found.racked_l, asked.ageing_loss_l * len(found.vessels))
    yield ChainStep("fermenter", brews * water.fermenter_l, brews * water.fermenter_loss_l)
    yield ChainStep("kettle", brews * water.postboil_l, brews * water.kettle_loss_l)
    yield ChainStep("boil", brews * water.preboil_l, 0.0)
    held_l = water.absorbed_l + water.dead_space_l
    yield ChainStep("mash", brews * water.total_l, brews * held_l)


def _findings(house: Brewhouse, found: _Candidate, asked: ChainAsked) -> Iterator[Finding]:
    if found.surplus_l > 0.05:
        yield Finding(
            "brewed_to_the_neck",
            say(
                "{surplus} more than wanted are brewed so that no air stands above the beer while "
                "it ages.",
                surplus=litres(found.surplus_l),
            ),
        )
    fermenters = len(house.setup.vessels.fermenters)
    if 0 < fermenters < found.brews:
        yield Finding(
            "fermenters_too_few",
            f"{found.brews} brews need as many fermenters at a time, or one brew after another; "
            f"the setup has {fermenters}.",
        )
    if asked.aged and not house.setup.vessels.ageing:
        yield Finding("no_ageing_vessel", "The setup has no ageing vessel: nothing was aged.")
