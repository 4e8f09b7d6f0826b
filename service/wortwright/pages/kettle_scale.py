"""How a volume reads in the kettle: hot, and as a depth on a dip stick."""

from collections.abc import Callable, Mapping
from typing import Any

from wortwright.brewing.water_density import hot_volume_from_20_l
from wortwright.pages.amounts import amount, unit_word
from wortwright.planning.kettle.kettle_reading import volume_from_depth_l
from wortwright.units import Dimension, from_base, to_base

Wire = Mapping[str, Any]

AT_THE_BOIL: Wire = {"value": 100.0, "unit": "degC"}
COOLED: Wire = {"value": 20.0, "unit": "degC"}
"""Temperature at which volumes and gravities hold."""


class KettleScale:
    """Writes volumes as they read in one kettle.

    Parameters
    ----------
    kettle : mapping
        The vessel as the API writes it; a depth is in the unit of its inner diameter, and left
        out where that is not known.
    """

    def __init__(self, kettle: Wire) -> None:
        self._depth = _depth_in(kettle["inner_diameter"])

    def deep(self, volume: Wire) -> str:
        """Write the depth of a volume as it stands: ``, 175 mm deep``."""
        return "" if self._depth is None else f", {self._depth(volume)} deep"

    def read_hot(self, volume: Wire, temperature: Wire = AT_THE_BOIL) -> str:
        """Write a volume at 20 degC as it reads hot: ``17.8 L hot, 175 mm deep``."""
        grown = hot(volume, temperature)
        return f"{amount(grown)} hot{self.deep(grown)}"


def hot(volume: Wire, temperature: Wire = AT_THE_BOIL) -> Wire:
    """Give a volume at 20 degC as it is at another temperature."""
    volume_l = to_base(volume["value"], volume["unit"], Dimension.VOLUME)
    hot_c = to_base(temperature["value"], temperature["unit"], Dimension.TEMPERATURE)
    hot_l = hot_volume_from_20_l(volume_l, hot_c)
    return {"value": from_base(hot_l, volume["unit"], Dimension.VOLUME), "unit": volume["unit"]}


def whole(temperature: Wire, unit: str) -> str:
    """Write a temperature in whole degrees of a unit."""
    base = to_base(temperature["value"], temperature["unit"], Dimension.TEMPERATURE)
    return f"{from_base(base, unit, Dimension.TEMPERATURE):.0f} {unit_word(unit)}"


def _depth_in(diameter: Wire | None) -> Callable[[Wire], str] | None:
    if diameter is None:
        return None
    unit = diameter["unit"]
    diameter_mm = to_base(diameter["value"], unit, Dimension.LENGTH)
    litres_per_mm = volume_from_depth_l(1.0, diameter_mm)

    def write(volume: Wire) -> str:
        volume_l = to_base(volume["value"], volume["unit"], Dimension.VOLUME)
        depth = from_base(volume_l / litres_per_mm, unit, Dimension.LENGTH)
        return amount({"value": depth, "unit": unit})

    return write
