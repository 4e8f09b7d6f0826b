"""The corpus of hostile bodies: fixtures/hostile, unpacked."""

import json
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

CORPUS = Path(__file__).parents[2] / "fixtures" / "hostile"


@dataclass(frozen=True)
class HostileValue:
    """A value that is refused at one place of the body of one operation."""

    name: str
    operation: str
    at: str
    value: Any


@dataclass(frozen=True)
class HostileBody:
    """Bytes that no operation takes."""

    name: str
    raw: bytes
    status: int


def hostile_values() -> list[HostileValue]:
    """Every value at every place."""
    quantities, values = _read("quantities"), _read("values")
    return [
        *(
            HostileValue(
                f"{name}, {place['at']}", place["operation"], place["at"], _unpacked(value)
            )
            for place in quantities["places"]
            for name, value in quantities["values"].items()
        ),
        *(
            HostileValue(case["name"], case["operation"], case["at"], _unpacked(case["value"]))
            for case in values["cases"]
        ),
    ]


def hostile_bodies() -> list[HostileBody]:
    """Every body that is none."""
    return [
        HostileBody(case["name"], _raw(case), case["status"]) for case in _read("bodies")["cases"]
    ]


def _read(name: str) -> Any:
    return json.loads((CORPUS / f"{name}.json").read_text(encoding="utf-8"))


def _unpacked(value: Any) -> Any:
    """Write out what the corpus keeps short."""
    if isinstance(value, dict) and "repeat" in value:
        return _repeated(value)
    if isinstance(value, dict) and "repeat_item" in value:
        return [value["repeat_item"]] * value["times"]
    return value


def _repeated(value: dict[str, Any]) -> str:
    middle: str = value["repeat"] * value["times"]
    return str(value.get("before", "")) + middle + str(value.get("after", ""))


def _raw(case: dict[str, Any]) -> bytes:
    if "bytes" in case:
        return bytes.fromhex(case["bytes"])
    if "repeat" in case:
        return (_repeated(case) + case.get("after_repeat", "") * case["times"]).encode()
    return str(case["text"]).encode()


def put(body: Any, at: str, value: Any) -> Any:
    """Copy a body with a value put at a JSON Pointer, whether or not anything was there."""
    head, _, rest = at.lstrip("/").partition("/")
    key: Any = int(head) if isinstance(body, list) else head
    copied = list(body) if isinstance(body, list) else dict(body)
    copied[key] = value if not rest else put(copied[key], rest, value)
    return copied


def named_places(errors: list[dict[str, Any]]) -> Iterator[str]:
    """The places that a problem names."""
    for entry in errors:
        yield entry.get("pointer", "")
