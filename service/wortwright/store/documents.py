"""Records to JSON documents and back, strictly: what does not fit is refused, never guessed."""

import json
from datetime import UTC, datetime
from enum import StrEnum
from typing import Any, TypeVar
from uuid import UUID

from cattrs.preconf.json import JsonConverter, make_converter

T = TypeVar("T")


def _strict_number(value: Any, _: type[float]) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise TypeError(f"{value!r} is not a number")
    return float(value)


def _strict_integer(value: Any, _: type[int]) -> int:
    if isinstance(value, bool) or not isinstance(value, int):
        raise TypeError(f"{value!r} is not a whole number")
    return value


def _strict_text(value: Any, _: type[str]) -> str:
    if not isinstance(value, str):
        raise TypeError(f"{value!r} is not a text")
    return value


def _strict_flag(value: Any, _: type[bool]) -> bool:
    if not isinstance(value, bool):
        raise TypeError(f"{value!r} is neither true nor false")
    return value


def _strict_moment(value: Any, _: type[datetime]) -> datetime:
    moment = datetime.fromisoformat(_strict_text(value, str))
    if moment.tzinfo is None:
        raise ValueError(f"{value!r} has no time zone")
    return moment.astimezone(UTC)


def _build_converter() -> JsonConverter:
    built = make_converter(forbid_extra_keys=True)
    for kind, hook in (
        (float, _strict_number),
        (int, _strict_integer),
        (str, _strict_text),
        (bool, _strict_flag),
    ):
        built.register_structure_hook(kind, hook)
    built.register_structure_hook(UUID, lambda value, _: UUID(_strict_text(value, str)))
    built.register_unstructure_hook(UUID, str)
    built.register_structure_hook(datetime, _strict_moment)
    # An enumeration of texts is a text too, and would be taken for one.
    built.register_structure_hook(StrEnum, lambda value, words: words(value))
    return built


converter = _build_converter()


def to_document(record: Any) -> dict[str, Any]:
    """Turn a frozen data class into what a JSON column takes."""
    document: dict[str, Any] = converter.unstructure(record)
    return document


def from_document(document: dict[str, Any], kind: type[T]) -> T:
    """Turn a JSON document back into the record it was made from."""
    return converter.structure(document, kind)


def to_json(document: Any) -> str:
    """Write JSON for a column; not-a-number has no place in a document."""
    return json.dumps(document, allow_nan=False, separators=(",", ":"))
