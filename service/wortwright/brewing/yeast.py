"""Yeast cells: how many a wort wants, and how many a packet holds.

Counts are of viable cells and honest to a factor of about 1.5; only a microscope knows better.
"""

from dataclasses import dataclass
from enum import StrEnum
from math import ceil

from wortwright.brewing.errors import require_between, require_positive
from wortwright.brewing.gravity import plato_from_gravity
from wortwright.brewing.tables.yeast import YeastKind, pitch_rates

DRY_CELLS_PER_G = 1e10
"""Viable cells in dry yeast: makers guarantee 5e9 to 6e9 per gram, 8e9 to 18e9 were measured.
S. Van den Berg and H. Van Landschoot, *Cerevisia* 28(3):25, 2003 (second hand)."""

LIQUID_LOSS_PER_DAY = 0.007
OLDEST_LIQUID_DAYS = 120.0
"""Viable share of a liquid pack falls by a fifth in a month (common practice). The straight
line is the more careful of the two in use; past 120 days only a starter tells."""


class PitchRisk(StrEnum):
    """What the number of cells means for the beer."""

    FAR_TOO_FEW = "far_too_few_cells"
    TOO_FEW = "too_few_cells"
    ENOUGH = "enough_cells"
    TOO_MANY = "too_many_cells"


RISK_SENTENCE = {
    PitchRisk.FAR_TOO_FEW: (
        "Expect days before fermentation shows, off-flavours, and a beer that may stop sweet "
        "or let other microbes in first."
    ),
    PitchRisk.TOO_FEW: (
        "Expect a slow start, more esters and fusel alcohol, and a higher final gravity."
    ),
    PitchRisk.ENOUGH: "Enough yeast for a sound fermentation.",
    PitchRisk.TOO_MANY: "Safe, but with less yeast character, and the yeast tires over repitches.",
}

_RISK_FROM = (
    (2.5, PitchRisk.TOO_MANY),
    (0.7, PitchRisk.ENOUGH),
    (0.35, PitchRisk.TOO_FEW),
    (0.0, PitchRisk.FAR_TOO_FEW),
)


@dataclass(frozen=True, slots=True)
class PacketChoice:
    """So many whole packets, the share of the cells wanted that they hold, and what it means."""

    packets: int
    share_of_wanted: float
    risk: PitchRisk


def pitch_rate_million_per_ml_plato(kind: YeastKind, original_gravity: float) -> float:
    """Viable cells wanted per millilitre and degree Plato.

    Parameters
    ----------
    kind : YeastKind
        Ale, hybrid or lager.
    original_gravity : float
        Gravity of the wort [SG], 1.000 to 1.190.

    Returns
    -------
    float
        Rate [million/(mL degP)]; strong wort wants more.

    Raises
    ------
    OutOfRangeError
        For a gravity outside the range.
    """
    require_between("gravity", original_gravity, 1.0, 1.190, "SG")
    fitting = [
        row for row in pitch_rates() if row.kind is kind and original_gravity >= row.above_gravity
    ]
    return fitting[-1].million_per_ml_plato


def cells_wanted(volume_l: float, original_gravity: float, rate: float) -> float:
    """Viable cells for a batch.

    Parameters
    ----------
    volume_l : float
        Wort in the fermenter [L], above 0.
    original_gravity : float
        Its gravity [SG], 1.000 to 1.190.
    rate : float
        Cells wanted [million/(mL degP)], 0.1 to 5.

    Returns
    -------
    float
        Viable cells [1].

    Raises
    ------
    OutOfRangeError
        For a value outside its range.

    References
    ----------
    C. White and J. Zainasheff, *Yeast*, 2010 (from memory).
    """
    require_positive("volume", volume_l, "L")
    require_between("pitching rate", rate, 0.1, 5.0, "million/(mL degP)")
    require_between("gravity", original_gravity, 1.0, 1.190, "SG")
    return rate * 1e6 * 1000.0 * volume_l * plato_from_gravity(original_gravity)


def pitch_risk(share_of_wanted: float) -> PitchRisk:
    """What a share of the cells wanted means.

    Parameters
    ----------
    share_of_wanted : float
        Cells pitched over cells wanted [-], 0 or more.

    Returns
    -------
    PitchRisk
        Its sentence stands in `RISK_SENTENCE` (common practice).

    Raises
    ------
    OutOfRangeError
        For less than nothing.
    """
    require_between("share of cells wanted", share_of_wanted, 0.0, 1e6)
    return next(risk for least, risk in _RISK_FROM if share_of_wanted >= least)


def dry_packets(
    wanted: float, packet_g: float, cells_per_g: float = DRY_CELLS_PER_G
) -> tuple[PacketChoice, ...]:
    """Whole packets of dry yeast, and what fewer would mean.

    Parameters
    ----------
    wanted : float
        Viable cells wanted [1], above 0.
    packet_g : float
        Yeast in a packet [g], above 0.
    cells_per_g : float
        Viable cells [1/g], 1e9 to 5e10.

    Returns
    -------
    tuple of PacketChoice
        One packet first; the last holds all the cells wanted.

    Raises
    ------
    OutOfRangeError
        For a value outside its range.
    """
    require_positive("cells wanted", wanted)
    require_positive("packet", packet_g, "g")
    require_between("cells", cells_per_g, 1e9, 5e10, "per g")
    in_packet = packet_g * cells_per_g
    # a hair more than a packet is still a packet
    enough = max(1, ceil(wanted / in_packet - 1e-9))
    require_between("packets", enough, 1, 1000)
    shares = ((packets, packets * in_packet / wanted) for packets in range(1, enough + 1))
    return tuple(PacketChoice(packets, share, pitch_risk(share)) for packets, share in shares)


def liquid_viable_share(days: float) -> float:
    """Viable share of a liquid pack kept cold.

    Parameters
    ----------
    days : float
        Days since it was packed [d], 0 to 120; beyond that make a starter and watch it.

    Returns
    -------
    float
        Viable share [fraction]: 0.79 after a month.

    Raises
    ------
    OutOfRangeError
        For an age outside the range.
    """
    require_between("age of the pack", days, 0.0, OLDEST_LIQUID_DAYS, "days")
    return 1.0 - LIQUID_LOSS_PER_DAY * days
