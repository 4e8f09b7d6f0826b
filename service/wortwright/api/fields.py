"""Schema fields that take what the published contract says and nothing else."""

import math
import re
from collections.abc import Iterable, Mapping
from datetime import UTC, date, datetime
from enum import StrEnum
from typing import Any, NoReturn, TypeGuard

from marshmallow import ValidationError, fields

from wortwright.api.refusal import Refusal

LARGEST = 1e9
LARGEST_INTEGER = 2**53 - 1

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
    if not is_number(value):
        refuse(f"A number is needed; found {shown(value)}.", ["a number"])
    try:
        number = float(value)
    except OverflowError:
        number = math.inf
    if not math.isfinite(number):
        refuse("The number is not finite.", ["a finite number"])
    return number


def is_number(value: object) -> TypeGuard[int | float]:
    """Tell whether JSON's value is a number: a flag is none, though Python's is."""
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
        return None if value is None else str(value)


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


def _with_metadata(kwargs: dict[str, Any], published: Mapping[str, Any]) -> dict[str, Any]:
    return {**kwargs, "metadata": {**published, **kwargs.get("metadata", {})}}
