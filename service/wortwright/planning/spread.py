"""From the spread of what goes in to the spread of what comes out."""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from wortwright.planning.forecasting import SCORE
from wortwright.planning.plan import Forecast


@dataclass(frozen=True, slots=True)
class Uncertain:
    """A number known with a standard deviation."""

    mean: float
    sd: float

    def forecast(self) -> Forecast:
        """Return it with its 80 % interval."""
        return Forecast(self.mean, self.mean - SCORE * self.sd, self.mean + SCORE * self.sd)


def spread(figure: Callable[[Sequence[float]], float], sources: Sequence[Forecast]) -> Forecast:
    """Forecast of a figure that follows from several independent numbers.

    Each source is moved to either end of its interval with the others at their means; the
    moves are added in quadrature, up and down apart.

    Parameters
    ----------
    figure : callable
        The figure, of the values of the sources in their order.
    sources : sequence of Forecast
        Independent numbers with 80 % intervals.

    Returns
    -------
    Forecast
        The figure at the means, and its 80 % interval.
    """
    means = [source.mean for source in sources]
    centre = figure(means)
    down = up = 0.0
    for place, source in enumerate(sources):
        moves = [0.0]
        for end in {source.low_80, source.high_80} - {source.mean}:
            moves.append(figure([*means[:place], end, *means[place + 1 :]]) - centre)
        down = math.hypot(down, min(moves))
        up = math.hypot(up, max(moves))
    return Forecast(centre, centre - down, centre + up)
