"""What can no longer be mended in a brew under way."""

from collections.abc import Iterator, Sequence

from wortwright.planning.kettle.corrections import Correction, CorrectionKind
from wortwright.planning.kettle.outlook import bitterness_of
from wortwright.planning.kettle.position import NEAR_GRAVITY, NEAR_IBU, NEAR_L, Position
from wortwright.planning.plan import Finding

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
    if off < 0.0:
        said = "without malt extract and with no more boil than allowed nothing raises it"
    else:
        said = f"the {here.needed_l:.1f} L that it would take have no room"
    yield Finding(
        "gravity_out_of_reach",
        f"The gravity will be {here.end.gravity:.3f} instead of {here.course.gravity:.3f}: {said}.",
    )


def _volume_out_of_reach(here: Position, offered: Sequence[Correction]) -> Iterator[Finding]:
    short_l = here.wanted_l - here.needed_l
    if short_l > NEAR_L and not any(c.kind in _BRINGS_VOLUME for c in offered):
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
