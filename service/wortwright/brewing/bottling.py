"""A safe bottling plan, refused where the bottle could burst; fresh yeast for old beer."""

from dataclasses import dataclass

from wortwright.brewing.carbonation import gauge_bar_for, residual_volumes
from wortwright.brewing.errors import require_positive
from wortwright.brewing.priming import (
    priming_sugar_g,
    volumes_from_fermentables,
    volumes_from_sugar,
)
from wortwright.brewing.tables.packaging import (
    BottleKind,
    BottleLimit,
    PrimingSugar,
    bottle_limit,
)
from wortwright.brewing.yeast import DRY_CELLS_PER_G

WARM_STORE_C = 25.0
HOT_CAR_C = 40.0

BOTTLING_CELLS_PER_ML = 1e6
"""Viable cells that carbonate beer. Briggs et al., *Brewing: Science and Practice*, 2004
(quoted)."""

OLD_AFTER_DAYS, STRONG_FROM = 30.0, 0.08
"""When the yeast left in beer may be too old or too tired to carbonate it (common practice)."""


class BottlePressureError(ValueError):
    """The bottles would be under more pressure than their kind may bear.

    Parameters
    ----------
    limit : BottleLimit
        The kind of bottle.
    volumes : float
        Carbonation it would reach [L/L].
    gauge_bar : float
        Pressure that makes [bar gauge].
    temperature_c : float
        At this temperature of the store [degC].
    """

    def __init__(
        self, limit: BottleLimit, volumes: float, gauge_bar: float, temperature_c: float
    ) -> None:
        why = limit.refused_because or f"it may hold {limit.most_volumes:g} volumes"
        super().__init__(
            f"this would reach {volumes:.1f} volumes, {gauge_bar:.1f} bar at {temperature_c:g} "
            f"degC, in a {limit.bottle.replace('_', ' ')}: {why}"
        )
        self.bottle = limit.bottle
        self.most_volumes = limit.most_volumes
        self.volumes = volumes
        self.gauge_bar = gauge_bar
        self.temperature_c = temperature_c


@dataclass(frozen=True, slots=True)
class BeerToBottle:
    """The beer: gravity now, gravity to expect, the lowest it could come to [SG], and the
    highest temperature since fermentation quieted [degC].
    """  # noqa: D205

    volume_l: float
    gravity: float
    expected_final_gravity: float
    lowest_final_gravity: float
    highest_temperature_c: float


@dataclass(frozen=True, slots=True)
class BottlingPlan:
    """Sugar to weigh [g], and carbonation [L/L] with pressure [bar gauge]: as expected in the
    store and in a hot car, and in the store if the beer ferments to its lowest.

    ``safe_if_lowest`` says that the bottle bears even that.
    """  # noqa: D205

    sugar_g: float
    residual_volumes: float
    volumes: float
    gauge_bar: float
    hot_gauge_bar: float
    volumes_if_lowest: float
    gauge_bar_if_lowest: float
    most_volumes: float
    safe_if_lowest: bool


def bottling_plan(
    beer: BeerToBottle,
    target_volumes: float,
    sugar: PrimingSugar,
    bottle: BottleKind,
    store_temperature_c: float = WARM_STORE_C,
) -> BottlingPlan:
    """Priming sugar for bottles that will bear it.

    Parameters
    ----------
    beer : BeerToBottle
        What goes in.
    target_volumes : float
        Carbonation wanted [L/L], 0 to 6.
    sugar : PrimingSugar
        The sugar.
    bottle : BottleKind
        Sound bottles of one kind.
    store_temperature_c : float
        Warmest place the bottles will stand in [degC], -2 to 45.

    Returns
    -------
    BottlingPlan
        Sugar, carbonation and pressures.

    Raises
    ------
    BottlePressureError
        If sugar and what is left to ferment come to more than the bottle may hold; it carries
        the pressure.
    OutOfRangeError
        For a value outside its range.
    """
    limit = bottle_limit(bottle)
    residual = residual_volumes(beer.highest_temperature_c)
    sugar_g = priming_sugar_g(beer.volume_l, target_volumes, residual, sugar)
    primed = residual + volumes_from_sugar(sugar_g, beer.volume_l, sugar)
    volumes = primed + volumes_from_fermentables(beer.gravity, beer.expected_final_gravity)
    lowest_gravity = min(beer.lowest_final_gravity, beer.expected_final_gravity)
    at_lowest = primed + volumes_from_fermentables(beer.gravity, lowest_gravity)
    gauge_bar = gauge_bar_for(volumes, store_temperature_c)
    if volumes > limit.most_volumes + _HAIR:
        raise BottlePressureError(limit, volumes, gauge_bar, store_temperature_c)
    return BottlingPlan(
        sugar_g=sugar_g,
        residual_volumes=residual,
        volumes=volumes,
        gauge_bar=gauge_bar,
        hot_gauge_bar=gauge_bar_for(volumes, HOT_CAR_C),
        volumes_if_lowest=at_lowest,
        gauge_bar_if_lowest=gauge_bar_for(at_lowest, store_temperature_c),
        most_volumes=limit.most_volumes,
        safe_if_lowest=at_lowest <= limit.most_volumes + _HAIR,
    )


def needs_fresh_yeast(days_aged: float, alcohol_by_volume: float, fined_or_filtered: bool) -> bool:
    """Whether to add yeast at bottling.

    Parameters
    ----------
    days_aged : float
        Days since fermentation finished [d].
    alcohol_by_volume : float
        Alcohol [fraction].
    fined_or_filtered : bool
        Whether the beer's own yeast has been taken out.

    Returns
    -------
    bool
        True for beer aged more than a month, of 8 % and more, or cleared. Take the same yeast
        or one that attenuates less.
    """
    return days_aged > OLD_AFTER_DAYS or alcohol_by_volume >= STRONG_FROM or fined_or_filtered


def bottling_yeast_g(volume_l: float, cells_per_g: float = DRY_CELLS_PER_G) -> float:
    """Dry yeast that carbonates beer whose own is gone.

    Parameters
    ----------
    volume_l : float
        Beer to bottle [L], above 0.
    cells_per_g : float
        Viable cells [1/g], above 0.

    Returns
    -------
    float
        Mass [g]: 2 g for 20 L.

    Raises
    ------
    OutOfRangeError
        For no beer or no cells.
    """
    require_positive("volume", volume_l, "L")
    require_positive("cells", cells_per_g, "per g")
    return BOTTLING_CELLS_PER_ML * 1000.0 * volume_l / cells_per_g


# a carbonation just at the limit passes whatever the last bit of a float says
_HAIR = 1e-9
