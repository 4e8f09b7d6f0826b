"""Schema fields that take what the published contract says and nothing else."""

import math
import re
from collections.abc import Callable, Iterable, Mapping
from datetime import UTC, date, datetime
from enum import StrEnum
from typing import Any, NoReturn, TypeGuard

from marshmallow import ValidationError, fields

from wortwright.api import unit_choice
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

LARGEST = 1e9
LARGEST_INTEGER = 2**53 - 1
# "More than" a bound means by this much in base units: a denormal number of kilograms is not a
# mass, and becomes zero in some other unit.
LEAST_STEP = 1e-9
# A bound written in another unit and read back may miss itself by rounding.
_ROUNDING = 1e-9

_CONTROL = re.compile(r"[\x00-\x1f\x7f-\x9f]")
_CONTROL_BUT_LINES = re.compile(r"[\x00-\x09\x0b-\x1f\x7f-\x9f]")
_SHOWN = 40


def refuse(message: str, accepted: Iterable[object] = ()) -> NoReturn:
    """Refuse the value of a field."""
    raise ValidationError([Refusal(message, accepted)])


def shown(value: object) -> str:
    """Show what was found, cut to a length that fits a sentence."""
    match value:
        case None:
            return "null"
        case bool():
            return str(value).lower()
        case dict():
            return "an object"
        case list():
            return "a list"
        case _:
            text = repr(value)
            return text if len(text) <= _SHOWN else text[:_SHOWN] + "..."


def number_of(value: object) -> float:
    """Give a finite JSON number as a float; refuse strings, booleans and everything else."""
    if not _is_number(value):
        refuse(f"A number is needed; found {shown(value)}.", ["a number"])
    try:
        number = float(value)
    except OverflowError:
        number = math.inf
    if not math.isfinite(number):
        refuse("The number is not finite.", ["a finite number"])
    return number


def _is_number(value: object) -> TypeGuard[int | float]:
    return isinstance(value, (int, float)) and not isinstance(value, bool)


class StrictNumber(fields.Float):
    """A number within bounds, which are published. Strings and booleans are refused."""

    def __init__(
        self,
        *,
        minimum: float = -LARGEST,
        exclusive_minimum: float | None = None,
        maximum: float = LARGEST,
        **kwargs: Any,
    ) -> None:
        self.minimum, self.exclusive_minimum, self.maximum = minimum, exclusive_minimum, maximum
        bounds = {"minimum": minimum, "maximum": maximum}
        if exclusive_minimum is not None:
            bounds = {"exclusiveMinimum": exclusive_minimum, "maximum": maximum}
        super().__init__(**_with_metadata(kwargs, bounds))

    def _deserialize(
        self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any
    ) -> float:
        number = number_of(value)
        if self.exclusive_minimum is not None and number <= self.exclusive_minimum:
            self._refuse(number)
        if (self.exclusive_minimum is None and number < self.minimum) or number > self.maximum:
            self._refuse(number)
        return number

    def _refuse(self, number: float) -> NoReturn:
        least = f"at least {self.minimum:g}"
        if self.exclusive_minimum is not None:
            least = f"more than {self.exclusive_minimum:g}"
        accepted = f"{least}, at most {self.maximum:g}"
        refuse(f"{number:g} is out of range; write a number {accepted}.", [accepted])


class StrictInteger(fields.Integer):
    """A whole number within bounds, which are published."""

    def __init__(
        self, *, minimum: int = -LARGEST_INTEGER, maximum: int = LARGEST_INTEGER, **kwargs: Any
    ) -> None:
        self.minimum, self.maximum = minimum, maximum
        super().__init__(**_with_metadata(kwargs, {"minimum": minimum, "maximum": maximum}))

    def _deserialize(
        self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any
    ) -> int:
        number = number_of(value)
        accepted = f"a whole number from {self.minimum} to {self.maximum}"
        if not number.is_integer() or not self.minimum <= number <= self.maximum:
            refuse(f"{number:g} is not accepted; write {accepted}.", [accepted])
        return int(number)


class StrictText(fields.String):
    """Text of limited length without control characters; line feeds only if ``lines``."""

    def __init__(
        self, *, max_length: int, min_length: int = 1, lines: bool = False, **kwargs: Any
    ) -> None:
        self.min_length, self.max_length = min_length, max_length
        self.forbidden = _CONTROL_BUT_LINES if lines else _CONTROL
        pattern = f"^[^{self.forbidden.pattern[1:-1]}]*$"
        published = {"minLength": min_length, "maxLength": max_length, "pattern": pattern}
        super().__init__(**_with_metadata(kwargs, published))

    def _deserialize(
        self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any
    ) -> str:
        if not isinstance(value, str):
            refuse(f"Text is needed; found {shown(value)}.", ["text"])
        if not self.min_length <= len(value) <= self.max_length:
            accepted = f"{self.min_length} to {self.max_length} characters"
            refuse(f"Text of {len(value)} characters; {accepted} are accepted.", [accepted])
        if found := self.forbidden.search(value):
            refuse(f"The text holds the control character U+{ord(found[0]):04X}.", ["plain text"])
        return value


class Choice(fields.Enum[StrEnum]):
    """One of the words of an enumeration."""

    def __init__(self, words: type[StrEnum], **kwargs: Any) -> None:
        self.words = words
        super().__init__(words, by_value=True, **_with_metadata(kwargs, {"type": "string"}))

    def _deserialize(
        self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any
    ) -> StrEnum:
        accepted = tuple(self.words)
        if not isinstance(value, str) or value not in accepted:
            listed = ", ".join(accepted)
            refuse(f"{shown(value)} is not accepted; write one of {listed}.", accepted)
        return self.words(value)

    def _serialize(self, value: Any, attr: str | None, obj: Any, **kwargs: Any) -> str | None:
        return None if value is None else str(self.words(value))


class Day(fields.Date):
    """A day as RFC 3339 writes it."""

    def _deserialize(
        self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any
    ) -> date:
        example = "2026-03-01"
        try:
            day = date.fromisoformat(value)
        except (TypeError, ValueError):
            day = None
        if day is None or day.isoformat() != value:
            refuse(f"{shown(value)} is not a day; write one like {example}.", [example])
        return day


class UtcDateTime(fields.AwareDateTime):
    """A moment as RFC 3339 with its offset from UTC; naive times are refused."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(format="iso", **kwargs)

    def _deserialize(
        self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any
    ) -> datetime:
        example = "2026-03-01T10:30:00Z"
        try:
            moment = super()._deserialize(value, attr, data, **kwargs)
            assert isinstance(moment, datetime)
            return moment.astimezone(UTC)
        except (ValidationError, OverflowError):
            refuse(
                f"{shown(value)} is not a time with its offset from UTC; write one like {example}.",
                [example],
            )

    def _serialize(self, value: Any, attr: str | None, obj: Any, **kwargs: Any) -> str | None:
        if value is None:
            return None
        text: str = value.astimezone(UTC).isoformat()
        return text.replace("+00:00", "Z")


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
    if "value" in value and not _is_number(number):
        faults["value"] = [Refusal(f"A number is needed; found {shown(number)}.", ["a number"])]
    if "unit" in value and not isinstance(unit, str):
        faults["unit"] = [Refusal(f"A unit is text; found {shown(unit)}.")]
    if faults:
        raise ValidationError(faults)
    return number_of(number), str(unit)


def _with_metadata(kwargs: dict[str, Any], published: Mapping[str, Any]) -> dict[str, Any]:
    return {**kwargs, "metadata": {**published, **kwargs.get("metadata", {})}}
