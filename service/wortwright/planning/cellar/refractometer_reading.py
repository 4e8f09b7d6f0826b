"""A refractometer's reading made into a gravity, with the brewer's own correction factor."""

from dataclasses import dataclass

from wortwright.brewing.refractometer import (
    USUAL_FACTOR,
    beer_gravity,
    correction_factor,
    wort_gravity,
)
from wortwright.planning.plan import Finding, Interval

OWN_FACTOR_HALF_WIDTH, USUAL_FACTOR_HALF_WIDTH = 0.001, 0.003
"""Of wort: a scale read to 0.2 degBx, and what brewers' factors differ by (no source)."""

FEW_PAIRS = 3


@dataclass(frozen=True, slots=True)
class WortPair:
    """One wort read with both instruments: refractometer [degBx] and hydrometer [SG]."""

    reading_brix: float
    gravity: float


@dataclass(frozen=True, slots=True)
class RefractometerAsked:
    """A reading, the reading before fermentation where it has begun, and the own factor.

    ``pairs`` teach the factor where ``factor`` is not said.
    """

    reading_brix: float
    original_brix: float | None = None
    factor: float | None = None
    pairs: tuple[WortPair, ...] = ()


@dataclass(frozen=True, slots=True)
class RefractometerGravity:
    """Gravity with the ends of what may be true."""

    gravity: float
    low: float
    high: float
    factor: float
    factor_from: str
    fermenting: bool
    warnings: tuple[Finding, ...]

    @property
    def ends(self) -> Interval:
        """The interval as one thing, as the wire has it."""
        return Interval(self.low, self.high)


def read_refractometer(asked: RefractometerAsked) -> RefractometerGravity:
    """Make a gravity of a refractometer's reading.

    Parameters
    ----------
    asked : RefractometerAsked
        Reading and correction factor.

    Returns
    -------
    RefractometerGravity
        An estimate; of beer never a ground for bottling.

    Raises
    ------
    OutOfRangeError
        For values outside their range.
    """
    factor, source = _factor(asked)
    if asked.original_brix is None:
        gravity = wort_gravity(asked.reading_brix, factor)
        usual = source == "usual"
        half_width = USUAL_FACTOR_HALF_WIDTH if usual else OWN_FACTOR_HALF_WIDTH
    else:
        estimated = beer_gravity(asked.original_brix, asked.reading_brix, factor)
        gravity, half_width = estimated.gravity, estimated.half_width
    return RefractometerGravity(
        gravity=gravity,
        low=gravity - half_width,
        high=gravity + half_width,
        factor=factor,
        factor_from=source,
        fermenting=asked.original_brix is not None,
        warnings=tuple(_warnings(asked, source)),
    )


def _factor(asked: RefractometerAsked) -> tuple[float, str]:
    if asked.factor is not None:
        return asked.factor, "stated"
    if asked.pairs:
        readings = [pair.reading_brix for pair in asked.pairs]
        return correction_factor(readings, [pair.gravity for pair in asked.pairs]), "pairs"
    return USUAL_FACTOR, "usual"


def _warnings(asked: RefractometerAsked, source: str) -> list[Finding]:
    found = []
    if source == "usual":
        found.append(
            Finding(
                "correction_factor_assumed",
                f"The usual correction factor of {USUAL_FACTOR:g} was taken; read a few worts "
                "with hydrometer and refractometer to learn your own.",
            )
        )
    if source == "pairs" and len(asked.pairs) < FEW_PAIRS:
        found.append(
            Finding("few_pairs", f"The correction factor rests on fewer than {FEW_PAIRS} worts.")
        )
    if asked.original_brix is not None:
        found.append(
            Finding(
                "estimate_in_beer",
                "Alcohol bends light as sugar does: this is an estimate. Bottle by hydrometer.",
            )
        )
    return found
