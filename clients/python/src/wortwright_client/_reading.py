"""From JSON to frozen data classes and back."""

from collections.abc import Mapping
from dataclasses import dataclass, fields
from datetime import date, datetime
from types import UnionType
from typing import Any, Self, get_args, get_origin, get_type_hints

# What only the service tells; it is not sent back.
_TOLD = frozenset(
    (
        "id etag created_at updated_at owner brewer_id setup_id scaling_id assumed "
        "corrected log warnings events"
    ).split()
)


@dataclass(frozen=True, kw_only=True)
class Model:
    """What the service answers. Fields that this version does not know are left out."""

    @classmethod
    def from_dict(cls, document: Mapping[str, Any]) -> Self:
        """Read a JSON object.

        Raises
        ------
        TypeError, ValueError
            If a field is missing that the service always tells, or is not what it should be.
        """
        if not isinstance(document, Mapping):
            raise TypeError(f"{cls.__name__} is not made of {type(document).__name__}")
        hints = get_type_hints(cls)
        return cls(**{k: _read(hints[k], v) for k, v in document.items() if k in hints})


def _read(hint: Any, value: Any) -> Any:
    if value is None:
        return None
    if get_origin(hint) is UnionType:
        hint = next(one for one in get_args(hint) if one is not type(None))
    if get_origin(hint) is tuple:
        return tuple(_read(get_args(hint)[0], item) for item in value)
    if hint in (date, datetime):
        return hint.fromisoformat(value)
    return hint.from_dict(value) if issubclass(hint, Model) else value


def as_json(value: object) -> object:
    """Write for ``json.dumps`` what it cannot write itself: quantities and times.

    Raises
    ------
    TypeError
        If it is anything else.
    """
    if isinstance(value, Model):
        return {field.name: getattr(value, field.name) for field in fields(value)}
    if isinstance(value, date):
        return value.isoformat()
    raise TypeError(f"{type(value).__name__} cannot be sent")


def as_document(value: Any) -> Any:
    """Write an answer in the form in which it can be sent back.

    Left out are what only the service tells, what is not set, and what the service had to
    assume: sent back, an assumption would become a statement.
    """
    if isinstance(value, tuple):
        return [as_document(item) for item in value]
    if not isinstance(value, Model):
        return as_json(value) if isinstance(value, date) else value
    left_out = _TOLD.union(getattr(value, "assumed", ()))
    members = {field.name: getattr(value, field.name) for field in fields(value)}
    return {
        name: as_document(member)
        for name, member in members.items()
        if name not in left_out and member is not None
    }
