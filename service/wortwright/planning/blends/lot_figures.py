"""A beer by its figures, where no session of it is kept."""

from dataclasses import dataclass

from wortwright.brewing.alcohol import apparent_attenuation
from wortwright.calibration.attenuation import UNTOLD_SD, USUAL_ATTENUATION
from wortwright.calibration.priors import GRAVITY_SD
from wortwright.planning.blends.blend import BeerLot
from wortwright.planning.plan import Forecast, Interval
from wortwright.planning.spread import Uncertain


@dataclass(frozen=True, slots=True)
class LotFigures:
    """A beer as its brewer tells it.

    Without ``interval_80`` the original gravity counts as read. A ``final_gravity`` counts as
    read, an ``attenuation`` as expected; without either the usual one is expected. Bitterness
    and colour that are not told count as none.
    """

    volume_l: float
    original_gravity: float
    final_gravity: float | None = None
    attenuation: float | None = None
    interval_80: Interval | None = None
    bitterness_ibu: float | None = None
    colour_ebc: float | None = None
    name: str = "beer"


def lot_of_figures(figures: LotFigures) -> BeerLot:
    """Take a beer by its figures.

    Parameters
    ----------
    figures : LotFigures
        Gravities from 1.000 up, the final one not above the original. [SG]

    Returns
    -------
    BeerLot
        With the intervals that its figures have.
    """
    original, ends = figures.original_gravity, figures.interval_80
    return BeerLot(
        figures.name,
        figures.volume_l,
        Uncertain(original, GRAVITY_SD).forecast()
        if ends is None
        else Forecast(original, ends.low, ends.high),
        _attenuation(figures).forecast(),
        figures.bitterness_ibu or 0.0,
        figures.colour_ebc or 0.0,
    )


def _attenuation(figures: LotFigures) -> Uncertain:
    original, final = figures.original_gravity, figures.final_gravity
    if final is None:
        expected = figures.attenuation
        return Uncertain(USUAL_ATTENUATION if expected is None else expected, UNTOLD_SD)
    return Uncertain(apparent_attenuation(original, final), GRAVITY_SD / (original - 1.0))
