"""Which ranges a water passes. A passed range is told, never refused."""

from wortwright.brewing.ions import Water
from wortwright.brewing.tables.ion_limits import Bound, IonLimit, ion_limits


def limits_passed(water: Water) -> tuple[IonLimit, ...]:
    """Bounds of the brewing and drinking-water ranges that a water lies beyond.

    Parameters
    ----------
    water : Water
        Its contents.

    Returns
    -------
    tuple of IonLimit
        In the order of the table; empty when all is well.
    """
    return tuple(limit for limit in ion_limits() if _passes(water, limit))


def _passes(water: Water, limit: IonLimit) -> bool:
    value: float = getattr(water, limit.content)
    return value < limit.value_mg_l if limit.bound is Bound.LOW else value > limit.value_mg_l
