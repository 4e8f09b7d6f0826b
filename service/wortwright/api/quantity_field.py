"""The field of a quantity: a number with its unit, in one of the two forms that are accepted."""

from collections.abc import Callable, Mapping
from decimal import ROUND_CEILING, ROUND_FLOOR, Context
from typing import Any, NoReturn

from marshmallow import ValidationError, fields

from wortwright.api import unit_choice
from wortwright.api.fields import LARGEST, is_number, number_of, refuse, shown
from wortwright.api.refusal import Refusal
from wortwright.units import (
    Dimension,
    QuantityError,
    UnitSystem,
    base_unit,
    converter,
    from_base,
    number_and_unit,
    to_base,
)

# "More than" a bound means by this much in base units: a denormal number of kilograms is not a
# mass, and becomes zero in some other unit.
LEAST_STEP = 1e-9


class Quantity(fields.Field[float]):
    """A quantity: ``{"value": 4.5, "unit": "kg"}`` or ``"4.5 kg"``; a float in the base unit.

    Parameters
    ----------
    dimension : Dimension
        What is measured. A gravity may also be a bare number, a specific gravity.
    minimum, exclusive_minimum, maximum : float
        Bounds in the base unit.
    """

    def __init__(
        self,
        dimension: Dimension,
        *,
        minimum: float = -LARGEST,
        exclusive_minimum: float | None = None,
        maximum: float = LARGEST,
        **kwargs: Any,
    ) -> None:
        self.dimension = dimension
        self.exclusive_minimum = exclusive_minimum
        self.minimum = minimum if exclusive_minimum is None else exclusive_minimum + LEAST_STEP
        self.maximum = maximum
        self._shown: dict[UnitSystem | None, tuple[str, Callable[[float], float]]] = {}
        self._bounds: dict[str, tuple[float, float]] = {}
        super().__init__(**kwargs)

    def _deserialize(
        self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any
    ) -> float:
        try:
            number, unit = self._number_and_unit(value)
            converted = to_base(number, unit, self.dimension)
        except QuantityError as error:
            message = str(error)
            refuse(f"{message[0].upper()}{message[1:]}.", error.accepted)
        least, most = self.bounds(unit)
        if not least <= number <= most:
            self._refuse(converted)
        # A bound in another unit is rounded outwards, and may lie beyond by a hair.
        return min(max(converted, self.minimum), self.maximum)

    def _serialize(
        self, value: float | None, attr: str | None, obj: Any, **kwargs: Any
    ) -> dict[str, Any] | None:
        if value is None:
            return None
        unit, convert = self._shown_in(unit_choice.chosen())
        return {"value": float(f"{convert(float(value)):.12g}"), "unit": unit}

    def _shown_in(self, system: UnitSystem | None) -> tuple[str, Callable[[float], float]]:
        """Give the unit of an answer and the way into it, which a plan needs hundreds of times."""
        found = self._shown.get(system)
        if found is None:
            unit = unit_choice.unit_of(self.dimension)
            found = self._shown[system] = (unit, converter(unit, self.dimension))
        return found

    def _number_and_unit(self, value: object) -> tuple[float, str]:
        unit = base_unit(self.dimension)
        if isinstance(value, str):
            return number_and_unit(value, self.dimension)
        if isinstance(value, dict):
            return _parts(value)
        if self.dimension is Dimension.GRAVITY:
            return number_of(value), unit
        forms = (f'{{"value": 1, "unit": "{unit}"}}', f'"1 {unit}"')
        return refuse(f"A quantity with its unit is needed; found {shown(value)}.", forms)

    def bounds(self, unit: str) -> tuple[float, float]:
        """Give the least and the most number that is accepted with a unit, as published."""
        if unit not in self._bounds:
            least, most = (self._reached(end, unit) for end in (self.minimum, self.maximum))
            self._bounds[unit] = _rounded(least, ROUND_FLOOR), _rounded(most, ROUND_CEILING)
        return self._bounds[unit]

    def _reached(self, bound: float, unit: str) -> float:
        """Give a bound in a unit or, where its scale ends before, the end of the scale."""
        inside, outside = self.typical(), bound
        try:
            return from_base(bound, unit, self.dimension)
        except QuantityError:
            for _ in range(60):
                middle = (inside + outside) / 2
                try:
                    from_base(middle, unit, self.dimension)
                except QuantityError:
                    outside = middle
                else:
                    inside = middle
        # A hair inside, so that rounding does not pass the end.
        return from_base(inside, unit, self.dimension) * (1.0 - 1e-9)

    def typical(self) -> float:
        """Give a round number within the bounds, in the base unit."""
        usual = (1.05,) if self.dimension is Dimension.GRAVITY else (1.0, 5.0, 20.0, 60.0)
        return next((n for n in usual if self.minimum <= n <= self.maximum), self.maximum)

    def _refuse(self, value: float) -> NoReturn:
        unit = base_unit(self.dimension)
        accepted = self.range_in_words()
        refuse(f"{value:g} {unit} is out of range; {accepted} is accepted.", [accepted])

    def range_in_words(self) -> str:
        """Say which values are accepted, in the base unit."""
        unit = base_unit(self.dimension)
        least = f"{self.minimum:g} {unit} or more"
        if self.exclusive_minimum is not None:
            least = f"more than {self.exclusive_minimum:g} {unit}"
        return f"{least}, up to {self.maximum:g} {unit}"


def _rounded(bound: float, towards: str) -> float:
    """Round a bound to the digits of an answer, so that what was answered can be sent again."""
    # The last digits of a conversion are not its own: 32 degF are no hair above 0 degC.
    return float(Context(12, towards).create_decimal(f"{bound:.14g}"))


def _parts(value: dict[str, Any]) -> tuple[float, str]:
    """Take a quantity object apart; every fault is told at its own place."""
    faults: dict[str, list[str]] = {
        name: [Refusal("Unknown field.", ("value", "unit"))]
        for name in value.keys() - {"value", "unit"}
    }
    for name in {"value", "unit"} - value.keys():
        faults[name] = [Refusal("This field is needed.")]
    number, unit = value.get("value"), value.get("unit")
    if "value" in value and not is_number(number):
        faults["value"] = [Refusal(f"A number is needed; found {shown(number)}.", ["a number"])]
    if "unit" in value and not isinstance(unit, str):
        faults["unit"] = [Refusal(f"A unit is text; found {shown(unit)}.")]
    if faults:
        raise ValidationError(faults)
    return number_of(number), str(unit)
