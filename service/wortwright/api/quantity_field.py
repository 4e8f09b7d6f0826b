"""The field of a quantity: a number with its unit, in one of the two forms that are accepted."""

from collections.abc import Callable, Mapping
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
    parse,
    to_base,
)

# "More than" a bound means by this much in base units: a denormal number of kilograms is not a
# mass, and becomes zero in some other unit.
LEAST_STEP = 1e-9
# A bound written in another unit and read back may miss itself by rounding.
_ROUNDING = 1e-9


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
        super().__init__(**kwargs)

    def _deserialize(
        self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any
    ) -> float:
        try:
            return self._within(self._in_base_unit(value), self._slack(value))
        except QuantityError as error:
            message = str(error)
            refuse(f"{message[0].upper()}{message[1:]}.", error.accepted)

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

    def _in_base_unit(self, value: object) -> float:
        if isinstance(value, str):
            return parse(value, self.dimension)
        if isinstance(value, dict):
            number, unit = _parts(value)
            return to_base(number, unit, self.dimension)
        if self.dimension is Dimension.GRAVITY:
            return to_base(number_of(value), base_unit(self.dimension), self.dimension)
        unit = base_unit(self.dimension)
        forms = (f'{{"value": 1, "unit": "{unit}"}}', f'"1 {unit}"')
        return refuse(f"A quantity with its unit is needed; found {shown(value)}.", forms)

    def _slack(self, value: object) -> float:
        """Give the rounding to be forgiven: none where nothing was converted."""
        given = value.get("unit") if isinstance(value, dict) else None
        as_kept = given == base_unit(self.dimension) or isinstance(value, int | float)
        return 0.0 if as_kept else _ROUNDING

    def _within(self, value: float, rounding: float) -> float:
        slack = rounding * max(1.0, abs(value)) if self.exclusive_minimum is None else 0.0
        if value < self.minimum - slack or value > self.maximum + rounding * abs(self.maximum):
            self._refuse(value)
        return min(max(value, self.minimum), self.maximum)

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
