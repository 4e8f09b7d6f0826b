"""What brings a brew under way back to its target, each with where it then ends."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum

from wortwright.brewing.mash_water import EXTRACT_VOLUME_L_PER_KG
from wortwright.planning.forecasting import DRY_EXTRACT_YIELD
from wortwright.planning.kettle.hop_corrections import HopChange, changes, hops_put_right
from wortwright.planning.kettle.outlook import (
    Action,
    Outlook,
    end_of,
    hops_with_boil,
    is_over,
    outlook,
)
from wortwright.planning.kettle.position import NEAR_GRAVITY, NEAR_L, Position
from wortwright.records.sentence import Said, Sentence, grams, litres, say
from wortwright.records.session import Stage

# Common practice, no source.
NEAR_MIN = 1.0
SHORTEST_BOIL_MIN = 30.0


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
class Correction:
    """One course of action from here, whole, and where it ends.

    ``boil_min`` is the boil still to come, None where there is none; ``boil_down_to_l`` the
    volume at its end, at 20 degC, before water goes in.
    """

    kind: CorrectionKind
    detail: Said
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
    detail: Said
    boil_min: float
    top_up_l: float = 0.0
    added_kg: float = 0.0


def corrections(here: Position) -> tuple[Correction, ...]:
    """Work out everything that still reaches the target from here.

    Parameters
    ----------
    here : Position
        The brew at this moment.

    Returns
    -------
    tuple of Correction
        Each reaches the gravity, and where hops can still change the bitterness too.
    """
    offered = [_correction(here, steps) for steps in _steps(here)]
    hops = _hops_alone(here)
    return (*offered, hops) if hops is not None else tuple(offered)


def _steps(here: Position) -> Iterator[_Steps]:
    off = here.off
    if abs(off) >= NEAR_GRAVITY:
        yield from _by_boil(here)
        yield from _by_water(here)
    if off <= -NEAR_GRAVITY and not here.limits.no_extract:
        yield _by_extract(here)
    if not here.limits.no_extract:
        yield from _by_extract_and_volume(here)


def _by_boil(here: Position) -> Iterator[_Steps]:
    if not here.can_boil:
        return
    change_min = here.minutes_for(here.end.total_l - here.needed_l)
    minutes = here.base.boil_min + change_min
    if change_min >= NEAR_MIN and minutes <= here.most_boil_min:
        said = say(
            "boil {more:.0f} min longer, down to {left} cold",
            more=change_min,
            left=litres(here.needed_l),
        )
        yield _Steps(CorrectionKind.BOIL_LONGER, said, minutes)
    boiling = not is_over(here.wort, Stage.POST_BOIL)
    long_enough = here.wort.boiled_min + minutes >= SHORTEST_BOIL_MIN and minutes >= 0.0
    if change_min <= -NEAR_MIN and boiling and long_enough and here.has_room(here.needed_l):
        said = say(
            "stop the boil {less:.0f} min earlier, at {left} cold",
            less=-change_min,
            left=litres(here.needed_l),
        )
        yield _Steps(CorrectionKind.BOIL_SHORTER, said, minutes)


def _by_water(here: Position) -> Iterator[_Steps]:
    top_up_l = here.needed_l - here.end.total_l
    if top_up_l > 0.0 and here.has_room(here.needed_l):
        said = say("top up with {water} of water {when}", water=litres(top_up_l), when=_when(here))
        yield _Steps(CorrectionKind.TOP_UP, said, here.base.boil_min, top_up_l=top_up_l)


def _by_extract(here: Position) -> _Steps:
    wanted = here.wanted_kg_per_l
    lacking_kg = wanted * here.end.total_l - here.end.extract_kg
    added_kg = lacking_kg / (1.0 - EXTRACT_VOLUME_L_PER_KG * wanted)
    said = say("{dissolve} {when}", dissolve=_dissolve(added_kg), when=_when(here))
    return _Steps(CorrectionKind.DRY_EXTRACT, said, here.base.boil_min, added_kg=added_kg)


def _by_extract_and_volume(here: Position) -> Iterator[_Steps]:
    """Extract that is lacking in all, and the planned volume with it."""
    added_kg = here.wanted_kg_per_l * here.wanted_l - here.end.extract_kg
    if added_kg <= 0.0:
        return
    over_l = here.end.total_l + EXTRACT_VOLUME_L_PER_KG * added_kg - here.wanted_l
    minutes, dissolve = here.base.boil_min, _dissolve(added_kg)
    if over_l <= -NEAR_L:
        said = say(
            "{dissolve} and top up with {water} of water {when}",
            dissolve=dissolve,
            water=litres(-over_l),
            when=_when(here),
        )
        kind = CorrectionKind.DRY_EXTRACT_AND_TOP_UP
        yield _Steps(kind, said, minutes, top_up_l=-over_l, added_kg=added_kg)
    elif over_l >= NEAR_L and here.can_boil:
        more_min = here.minutes_for(over_l)
        if minutes + more_min <= here.most_boil_min:
            said = say(
                "{dissolve} and boil {more:.0f} min longer, down to {left} cold",
                dissolve=dissolve,
                more=more_min,
                left=litres(here.wanted_l),
            )
            kind = CorrectionKind.DRY_EXTRACT_AND_BOIL
            yield _Steps(kind, said, minutes + more_min, added_kg=added_kg)


def _dissolve(extract_kg: float) -> Sentence:
    mass = grams(extract_kg / DRY_EXTRACT_YIELD)
    return say("dissolve {mass} of dry malt extract", mass=mass)


def _when(here: Position) -> str:
    if is_over(here.wort, Stage.FERMENTER):
        return "in the fermenter, boiled and cooled first"
    return "after the boil"


def _correction(here: Position, steps: _Steps) -> Correction:
    action = Action(
        steps.boil_min,
        hops_with_boil(here.wort, here.course, steps.boil_min),
        steps.top_up_l,
        steps.added_kg / DRY_EXTRACT_YIELD,
    )
    return _with_hops(here, steps.kind, steps.detail, action)


def _hops_alone(here: Position) -> Correction | None:
    said = "weigh the hops still to come anew"
    correction = _with_hops(here, CorrectionKind.HOPS, said, here.base)
    return correction if correction.hop_changes else None


def _with_hops(here: Position, kind: CorrectionKind, detail: Said, action: Action) -> Correction:
    """Put the bitterness right too, as far as hops can still do it, and look at the end."""
    wort, course = here.wort, here.course
    end = end_of(wort, course, action, here.kettle_loss_l)
    planned, action = action.hops, replace(action, hops=hops_put_right(here, action, end))
    boils = action.boil_min > 0.0
    return Correction(
        kind=kind,
        detail=detail,
        boil_min=action.boil_min if boils else None,
        boil_down_to_l=end.before_water_l if boils else None,
        top_up_l=action.top_up_l,
        dry_extract_kg=action.dry_extract_kg,
        hop_changes=changes(planned, action.hops),
        end=outlook(wort, course, action),
    )
