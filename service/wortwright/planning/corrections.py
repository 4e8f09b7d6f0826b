"""What brings a brew under way back to its target, each with where it then ends."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum

from wortwright.brewing.gravity import extract_kg_per_l
from wortwright.brewing.lautering import EXTRACT_VOLUME_L_PER_KG
from wortwright.planning.course import Course
from wortwright.planning.forecasting import DRY_EXTRACT_YIELD
from wortwright.planning.limits import Limits
from wortwright.planning.outlook import (
    Action,
    End,
    Outlook,
    bitterness_by_hop,
    end_of,
    hops_with_boil,
    is_in,
    is_over,
    outlook,
    planned_action,
)
from wortwright.planning.plan import Finding
from wortwright.planning.wort import Wort
from wortwright.records.grist import HopAddition, Moment, Purpose
from wortwright.records.session import Stage
from wortwright.records.setup import Vessels

# What is near enough to be left alone; common practice, no source.
NEAR_GRAVITY = 0.0005
NEAR_IBU = 1.0
NEAR_L = 0.1
NEAR_MIN = 1.0
SHORTEST_BOIL_MIN = 30.0
SHORTEST_BITTERING_MIN = 15.0


class CorrectionKind(StrEnum):
    """What a correction works with."""

    BOIL_LONGER = "boil_longer"
    BOIL_SHORTER = "boil_shorter"
    TOP_UP = "top_up"
    DRY_EXTRACT = "dry_extract"
    DRY_EXTRACT_AND_TOP_UP = "dry_extract_and_top_up"
    DRY_EXTRACT_AND_BOIL = "dry_extract_and_boil"
    HOPS = "hops"


@dataclass(frozen=True, slots=True)
class HopChange:
    """One addition that is to be weighed otherwise than planned; 0 kg planned is a new one."""

    name: str
    moment: Moment
    time_min: float
    planned_kg: float
    mass_kg: float


@dataclass(frozen=True, slots=True)
class Correction:
    """One course of action from here, whole, and where it ends.

    ``boil_min`` is the boil still to come, None where there is none; ``boil_down_to_l`` the
    volume at its end, at 20 degC, before water goes in. ``after_l`` is the volume the target
    gravity is reached at, in the kettle or, later, in the fermenter.
    """

    kind: CorrectionKind
    detail: str
    boil_min: float | None
    boil_down_to_l: float | None
    top_up_l: float
    dry_extract_kg: float
    hop_changes: tuple[HopChange, ...]
    end: Outlook


@dataclass(frozen=True, slots=True)
class _Steps:
    """A correction before its hops and its end are worked out."""

    kind: CorrectionKind
    detail: str
    boil_min: float
    top_up_l: float = 0.0
    added_kg: float = 0.0


@dataclass(frozen=True, slots=True)
class _Here:
    """The brew at this moment, and where it ends if nothing is done."""

    wort: Wort
    course: Course
    limits: Limits
    room_l: float | None
    base: Action
    end: End

    @property
    def wanted_kg_per_l(self) -> float:
        return extract_kg_per_l(self.course.gravity)

    @property
    def wanted_l(self) -> float:
        in_fermenter = is_over(self.wort, Stage.FERMENTER)
        return self.course.fermenter_l if in_fermenter else self.course.postboil_l

    @property
    def needed_l(self) -> float:
        """Volume in which the extract at hand has the gravity wanted. [L]"""
        return self.end.extract_kg / self.wanted_kg_per_l

    @property
    def can_boil(self) -> bool:
        return not is_over(self.wort, Stage.FERMENTER) and self.wort.boil_off.mean > 0.0

    @property
    def most_boil_min(self) -> float:
        """Boil that may still come. [min]"""
        return max(self.limits.max_boil_min, self.course.boil_min) - self.wort.boiled_min

    def minutes_for(self, litres: float) -> float:
        return 60.0 * litres / self.wort.boil_off.mean


def corrections(
    wort: Wort, course: Course, limits: Limits, vessels: Vessels
) -> tuple[tuple[Correction, ...], tuple[Finding, ...]]:
    """Work out everything that still reaches the target from here, and what no longer does.

    Parameters
    ----------
    wort : Wort
        The wort now.
    course : Course
        The plan.
    limits : Limits
        What the brewer will not do.
    vessels : Vessels
        Room for water that is added.

    Returns
    -------
    tuple of Correction
        Each reaches the gravity, and where hops can still change the bitterness too.
    tuple of Finding
        What cannot be mended any more.
    """
    base = planned_action(wort, course)
    loss_l = _kettle_loss_l(wort, course)
    here = _Here(
        wort, course, limits, _room_l(vessels, loss_l), base, end_of(wort, course, base, loss_l)
    )
    offered = [_correction(here, steps) for steps in _steps(here)]
    hops = _hops_alone(here)
    if hops is not None:
        offered.append(hops)
    return tuple(offered), tuple(_cannot(here, offered))


def _kettle_loss_l(wort: Wort, course: Course) -> float:
    return 0.0 if is_over(wort, Stage.FERMENTER) else course.kettle_loss.mean


def _room_l(vessels: Vessels, kettle_loss_l: float) -> float | None:
    """Most wort after the boil that the fermenters take; None without fermenters. [L]"""
    if not vessels.fermenters:
        return None
    usable_l = sum(v.capacity_l * (1.0 - v.foam_room) for v in vessels.fermenters)
    return usable_l + kettle_loss_l


def _steps(here: _Here) -> Iterator[_Steps]:
    off = here.end.gravity - here.course.gravity
    if abs(off) >= NEAR_GRAVITY:
        yield from _by_boil(here)
        yield from _by_water(here)
    if off <= -NEAR_GRAVITY and not here.limits.no_extract:
        yield _by_extract(here)
    if not here.limits.no_extract:
        yield from _by_extract_and_volume(here)


def _by_boil(here: _Here) -> Iterator[_Steps]:
    if not here.can_boil:
        return
    change_min = here.minutes_for(here.end.total_l - here.needed_l)
    minutes = here.base.boil_min + change_min
    if change_min >= NEAR_MIN and minutes <= here.most_boil_min:
        said = f"boil {change_min:.0f} min longer, down to {here.needed_l:.1f} L cold"
        yield _Steps(CorrectionKind.BOIL_LONGER, said, minutes)
    boiling = not is_over(here.wort, Stage.POST_BOIL)
    long_enough = here.wort.boiled_min + minutes >= SHORTEST_BOIL_MIN and minutes >= 0.0
    if change_min <= -NEAR_MIN and boiling and long_enough and _has_room(here, here.needed_l):
        said = f"stop the boil {-change_min:.0f} min earlier, at {here.needed_l:.1f} L cold"
        yield _Steps(CorrectionKind.BOIL_SHORTER, said, minutes)


def _by_water(here: _Here) -> Iterator[_Steps]:
    litres = here.needed_l - here.end.total_l
    if litres > 0.0 and _has_room(here, here.needed_l):
        said = f"top up with {litres:.1f} L of water {_when(here)}"
        yield _Steps(CorrectionKind.TOP_UP, said, here.base.boil_min, top_up_l=litres)


def _by_extract(here: _Here) -> _Steps:
    wanted = here.wanted_kg_per_l
    lacking_kg = wanted * here.end.total_l - here.end.extract_kg
    added_kg = lacking_kg / (1.0 - EXTRACT_VOLUME_L_PER_KG * wanted)
    said = f"dissolve {_grams(added_kg)} of dry malt extract {_when(here)}"
    return _Steps(CorrectionKind.DRY_EXTRACT, said, here.base.boil_min, added_kg=added_kg)


def _by_extract_and_volume(here: _Here) -> Iterator[_Steps]:
    """Extract that is lacking in all, and the planned volume with it."""
    added_kg = here.wanted_kg_per_l * here.wanted_l - here.end.extract_kg
    if added_kg <= 0.0:
        return
    over_l = here.end.total_l + EXTRACT_VOLUME_L_PER_KG * added_kg - here.wanted_l
    said = f"dissolve {_grams(added_kg)} of dry malt extract"
    minutes = here.base.boil_min
    if over_l <= -NEAR_L:
        said += f" and top up with {-over_l:.1f} L of water {_when(here)}"
        kind = CorrectionKind.DRY_EXTRACT_AND_TOP_UP
        yield _Steps(kind, said, minutes, top_up_l=-over_l, added_kg=added_kg)
    elif over_l >= NEAR_L and here.can_boil:
        more_min = here.minutes_for(over_l)
        if minutes + more_min <= here.most_boil_min:
            said += f" and boil {more_min:.0f} min longer, down to {here.wanted_l:.1f} L cold"
            kind = CorrectionKind.DRY_EXTRACT_AND_BOIL
            yield _Steps(kind, said, minutes + more_min, added_kg=added_kg)


def _grams(extract_kg: float) -> str:
    return f"{1000.0 * extract_kg / DRY_EXTRACT_YIELD:.0f} g"


def _when(here: _Here) -> str:
    if is_over(here.wort, Stage.FERMENTER):
        return "in the fermenter, boiled and cooled first"
    return "after the boil"


def _has_room(here: _Here, total_l: float) -> bool:
    return here.room_l is None or total_l <= here.room_l


def _correction(here: _Here, steps: _Steps) -> Correction:
    action = Action(
        steps.boil_min,
        hops_with_boil(here.wort, here.course, steps.boil_min),
        steps.top_up_l,
        steps.added_kg / DRY_EXTRACT_YIELD,
    )
    return _with_hops(here, steps.kind, steps.detail, action)


def _hops_alone(here: _Here) -> Correction | None:
    said = "weigh the hops still to come anew"
    correction = _with_hops(here, CorrectionKind.HOPS, said, here.base)
    return correction if correction.hop_changes else None


def _with_hops(here: _Here, kind: CorrectionKind, detail: str, action: Action) -> Correction:
    """Put the bitterness right too, as far as hops can still do it, and look at the end."""
    wort, course = here.wort, here.course
    end = end_of(wort, course, action, _kettle_loss_l(wort, course))
    planned, action = action.hops, replace(action, hops=_hops_put_right(here, action, end))
    boils = action.boil_min > 0.0
    return Correction(
        kind=kind,
        detail=detail,
        boil_min=action.boil_min if boils else None,
        boil_down_to_l=end.before_water_l if boils else None,
        top_up_l=action.top_up_l,
        dry_extract_kg=action.dry_extract_kg,
        hop_changes=_changes(planned, action.hops),
        end=outlook(wort, course, action),
    )


def _hops_put_right(here: _Here, action: Action, end: End) -> tuple[HopAddition, ...]:
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


def _one_more(here: _Here, action: Action, end: End, short: float) -> tuple[HopAddition, ...]:
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


def _changes(
    planned: tuple[HopAddition, ...], hops: tuple[HopAddition, ...]
) -> tuple[HopChange, ...]:
    before = [hop.mass_kg or 0.0 for hop in planned] + [0.0] * (len(hops) - len(planned))
    return tuple(
        HopChange(hop.name, hop.moment, hop.time_min, was_kg, hop.mass_kg or 0.0)
        for hop, was_kg in zip(hops, before, strict=True)
        if hop.mass_kg != was_kg
    )


def _cannot(here: _Here, offered: list[Correction]) -> Iterator[Finding]:
    yield from _gravity_out_of_reach(here, offered)
    yield from _volume_out_of_reach(here, offered)
    yield from _bitterness_out_of_reach(here, offered)


def _gravity_out_of_reach(here: _Here, offered: list[Correction]) -> Iterator[Finding]:
    off = here.end.gravity - here.course.gravity
    for_gravity = [c for c in offered if c.kind is not CorrectionKind.HOPS]
    if abs(off) < NEAR_GRAVITY or for_gravity:
        return
    if off < 0.0:
        said = "without malt extract and with no more boil than allowed nothing raises it"
    else:
        said = f"the {here.needed_l:.1f} L that it would take have no room"
    yield Finding(
        "gravity_out_of_reach",
        f"The gravity will be {here.end.gravity:.3f} instead of {here.course.gravity:.3f}: {said}.",
    )


def _volume_out_of_reach(here: _Here, offered: list[Correction]) -> Iterator[Finding]:
    short_l = here.wanted_l - here.needed_l
    both = {
        CorrectionKind.DRY_EXTRACT_AND_BOIL,
        CorrectionKind.DRY_EXTRACT_AND_TOP_UP,
        CorrectionKind.DRY_EXTRACT,
    }
    if short_l > NEAR_L and not any(c.kind in both for c in offered):
        yield Finding(
            "less_beer",
            f"The extract at hand makes {here.needed_l:.1f} L at {here.course.gravity:.3f}, "
            f"{short_l:.1f} L less than planned; only malt extract makes up for that.",
        )
    if short_l < -NEAR_L:
        yield Finding(
            "extract_stays",
            f"The extract at hand makes {here.needed_l:.1f} L at {here.course.gravity:.3f}, "
            f"{-short_l:.1f} L more than planned; it cannot be taken out again, only thinned.",
        )


def _bitterness_out_of_reach(here: _Here, offered: list[Correction]) -> Iterator[Finding]:
    wanted = here.course.bitterness_ibu
    untouched = sum(
        ibu for _, ibu in bitterness_by_hop(here.wort, here.course, here.base, here.end)
    )
    ends = [correction.end.bitterness_ibu for correction in offered] or [untouched]
    nearest = min(ends, key=lambda ibu: abs(ibu - wanted))
    if abs(untouched - wanted) < NEAR_IBU or abs(nearest - wanted) < NEAR_IBU:
        return
    if nearest < wanted:
        said = "the boil that would bring more out of hops is over"
    else:
        said = "what the hops have given stays, and only more water thins it"
    yield Finding(
        "bitterness_out_of_reach",
        f"The bitterness will be about {nearest:.0f} IBU instead of {wanted:.0f}: {said}.",
    )
