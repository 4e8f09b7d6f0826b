"""The measure: bare Flask and marshmallow, giving back documents and doing nothing else."""

from typing import Any

from flask import Flask, request
from marshmallow import Schema, fields


def echo_app(asked: Any, answered: Any) -> Flask:
    """An application that loads the one document and dumps the other, by plain schemas."""
    app = Flask("echo")
    reads, writes = schema_of(asked, "Asked")(), schema_of(answered, "Answered")()

    @app.post("/echo")
    def echo() -> Any:
        reads.load(request.get_json())
        return writes.dump(answered)

    return app


def schema_of(document: dict[str, Any], name: str) -> type[Schema]:
    """The plainest schema that a document fits."""
    members = {key: _field(value, f"{name}_{key}") for key, value in document.items()}
    return Schema.from_dict(members, name=name)


def _field(value: Any, name: str) -> Any:
    if isinstance(value, bool):
        return fields.Boolean()
    if isinstance(value, (int, float)):
        return fields.Float()
    if isinstance(value, dict):
        return fields.Nested(schema_of(value, name)())
    if isinstance(value, list) and value:
        return fields.List(_field(_joined(value), name))
    if value is None or isinstance(value, list):
        return fields.Raw(allow_none=True)
    return fields.String()


def _joined(items: list[Any]) -> Any:
    """Something with the members of all items of a list, as far as they are objects."""
    if not all(isinstance(item, dict) for item in items):
        return items[0]
    joined: dict[str, Any] = {}
    for item in items:
        joined |= {
            key: value for key, value in item.items() if value is not None or key not in joined
        }
    return joined
