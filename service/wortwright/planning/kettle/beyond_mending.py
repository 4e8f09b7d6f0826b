"""What can no longer be mended in a brew under way."""

from collections.abc import Iterator, Sequence

from wortwright.planning.kettle.corrections import Correction, CorrectionKind
from wortwright.planning.kettle.outlook import bitterness_of
from wortwright.planning.kettle.position import NEAR_GRAVITY, NEAR_IBU, NEAR_L, Position
from wortwright.planning.plan import Finding
from wortwright.records.sentence import Sentence, litres, say

_BRINGS_VOLUME = frozenset(
    {
        CorrectionKind.DRY_EXTRACT,
        CorrectionKind.DRY_EXTRACT_AND_BOIL,
        CorrectionKind.DRY_EXTRACT_AND_TOP_UP,
    }
)


def cannot_be_mended(here: Position, offered: Sequence[Correction]) -> tuple[Finding, ...]:
    """Say what none of the corrections brings back.

    Parameters
    ----------
    here : Position
        The brew at this moment.
    offered : sequence of Correction
        All that still helps.

    Returns
    -------
    tuple of Finding
        Gravity, volume and bitterness that stay off.
    """
    return (
        *_gravity_out_of_reach(here, offered),
        *_volume_out_of_reach(here, offered),
        *_bitterness_out_of_reach(here, offered),
    )


def _gravity_out_of_reach(here: Position, offered: Sequence[Correction]) -> Iterator[Finding]:
    off = here.off
    for_gravity = [c for c in offered if c.kind is not CorrectionKind.HOPS]
    if abs(off) < NEAR_GRAVITY or for_gravity:
        return
    why = (
        "without malt extract and with no more boil than allowed nothing raises it"
        if off < 0.0
        else "the {needed} that it would take have no room"
    )
    yield Finding(
        "gravity_out_of_reach",
        say(
            "The gravity will be {gravity:.3f} instead of {planned:.3f}: " + why + ".",
            gravity=here.end.gravity,
            planned=here.course.gravity,
            needed=litres(here.needed_l),
        ),
    )


def _volume_out_of_reach(here: Position, offered: Sequence[Correction]) -> Iterator[Finding]:
    short_l = here.wanted_l - here.needed_l
    if short_l > NEAR_L and not any(c.kind in _BRINGS_VOLUME for c in offered):
        why = "{off} less than planned; only malt extract makes up for that."
        yield Finding("less_beer", _extract_makes(here, why))
    if short_l < -NEAR_L:
        why = "{off} more than planned; it cannot be taken out again, only thinned."
        yield Finding("extract_stays", _extract_makes(here, why))


def _extract_makes(here: Position, then: str) -> Sentence:
    return say(
        "The extract at hand makes {needed} at {gravity:.3f}, " + then,
        needed=litres(here.needed_l),
        gravity=here.course.gravity,
        off=litres(abs(here.wanted_l - here.needed_l)),
    )


def _bitterness_out_of_reach(here: Position, offered: Sequence[Correction]) -> Iterator[Finding]:
    wanted = here.course.bitterness_ibu
    untouched = bitterness_of(here.wort, here.course, here.base, here.end)
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
