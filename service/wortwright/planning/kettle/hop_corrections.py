"""Bitterness put right with the hops that are still to come."""

from dataclasses import dataclass, replace

from wortwright.planning.kettle.outlook import Action, End, bitterness_by_hop, is_in
from wortwright.planning.kettle.position import NEAR_IBU, Position
from wortwright.records.complete import SHORTEST_BITTERING_MIN
from wortwright.records.grist import HopAddition, Moment, Purpose


@dataclass(frozen=True, slots=True)
class HopChange:
    """One addition that is to be weighed otherwise than planned; 0 kg planned is a new one."""

    name: str
    moment: Moment
    time_min: float
    planned_kg: float
    mass_kg: float


def hops_put_right(here: Position, action: Action, end: End) -> tuple[HopAddition, ...]:
    """Return the bill that makes the beer as bitter as wanted, as far as hops still can.

    Parameters
    ----------
    here : Position
        The brew at this moment.
    action : Action
        What else is done.
    end : End
        Where that leads.

    Returns
    -------
    tuple of HopAddition
        Bittering additions still to come are stretched alike; where none is, one more goes in
        at once if it has the time. Aroma hops stay as they are.
    """
    wort, course = here.wort, here.course
    by_hop = bitterness_by_hop(wort, course, action, end)
    short = course.bitterness_ibu - sum(ibu for _, ibu in by_hop)
    if abs(short) < NEAR_IBU or action.boil_min <= 0.0:
        return action.hops
    to_come = [
        ibu if _bitters(hop) and not is_in(wort, course, planned) else 0.0
        for (hop, ibu), planned in zip(by_hop, course.hops, strict=True)
    ]
    if sum(to_come) > 0.0:
        factor = max(0.0, 1.0 + short / sum(to_come))
        return tuple(
            replace(hop, mass_kg=(hop.mass_kg or 0.0) * factor) if ibu > 0.0 else hop
            for hop, ibu in zip(action.hops, to_come, strict=True)
        )
    return action.hops + _one_more(here, action, end, short)


def _one_more(here: Position, action: Action, end: End, short: float) -> tuple[HopAddition, ...]:
    """One more addition at once, where only that still makes the beer more bitter."""
    bittering = [hop for hop in action.hops if _bitters(hop)]
    if short <= 0.0 or not bittering or action.boil_min < SHORTEST_BITTERING_MIN:
        return ()
    strongest = max(bittering, key=lambda hop: hop.alpha)
    gram = replace(
        strongest, moment=Moment.BOIL, time_min=action.boil_min, mass_kg=0.001, bitterness_ibu=None
    )
    tried = replace(action, hops=(*action.hops, gram))
    _, ibu_of_a_gram = bitterness_by_hop(here.wort, here.course, tried, end)[-1]
    return (replace(gram, mass_kg=0.001 * short / ibu_of_a_gram),)


def _bitters(hop: HopAddition) -> bool:
    return hop.purpose is Purpose.BITTERNESS and hop.moment in (Moment.BOIL, Moment.FIRST_WORT)


def changes(
    planned: tuple[HopAddition, ...], hops: tuple[HopAddition, ...]
) -> tuple[HopChange, ...]:
    """List what is to be weighed otherwise."""
    before = [hop.mass_kg or 0.0 for hop in planned] + [0.0] * (len(hops) - len(planned))
    return tuple(
        HopChange(hop.name, hop.moment, hop.time_min, was_kg, hop.mass_kg or 0.0)
        for hop, was_kg in zip(hops, before, strict=True)
        if hop.mass_kg != was_kg
    )
