"""The contract: OpenAPI 3.1, written out from the code in an order that does not change."""

import json
from typing import Any

import yaml
from apispec.ext.marshmallow import MarshmallowPlugin
from flask import Flask
from marshmallow import Schema

from wortwright import __version__
from wortwright.api.auth import LINK_PARAMETER, LINK_SCHEME, SECURITY_SCHEME
from wortwright.api.conditional import TAG_PATTERN
from wortwright.api.idempotency import HEADER, KEY_PATTERN
from wortwright.api.problems import Api
from wortwright.api.published import quantity_properties
from wortwright.units import UnitSystem

OPENAPI_VERSION = "3.1.0"

DESCRIPTION = """\
Refit a beer recipe written for somebody else's system to your own, with an honest forecast, and
learn from what was read while brewing.

Quantities come with their unit, as `{"value": 4.5, "unit": "kg"}` or as the text `"4.5 kg"`, and
are answered in base units or as `units` asks; sentences for a person are in metric or as `units`
asks. Errors are `application/problem+json` (RFC 9457).
Fields may be added to answers at any time; nothing is removed under `/v1`.
"""

_ORDER = ("openapi", "info", "servers", "security", "tags", "paths", "components")
_ORDER_OF_PATH = ("parameters", "get", "post", "put", "patch", "delete")
_ORDER_OF_OPERATION = (
    "operationId",
    "summary",
    "description",
    "tags",
    "security",
    "x-key-kinds",
    "parameters",
    "requestBody",
    "responses",
)

_PARAMETERS: dict[str, dict[str, Any]] = {
    "UNITS": {
        "name": "units",
        "in": "query",
        "description": "Whose units the answer is written in; the brewer's own choice without it.",
        "schema": {"type": "string", "enum": [str(system) for system in UnitSystem]},
    },
    "IDEMPOTENCY_KEY": {
        "name": HEADER,
        "in": "header",
        "description": "Makes the request safe to send again for 24 hours; best a random UUID.",
        "schema": {"type": "string", "pattern": f"^{KEY_PATTERN}$"},
    },
    "IF_MATCH": {
        "name": "If-Match",
        "in": "header",
        "required": True,
        "description": "The ETag with which the thing was read.",
        "schema": {"type": "string", "pattern": f"^{TAG_PATTERN}$"},
    },
    "IF_NONE_MATCH": {
        "name": "If-None-Match",
        "in": "header",
        "description": "ETags already known; the answer is 304 if it would be one of them.",
        "schema": {"type": "string"},
    },
}
_HEADERS: dict[str, dict[str, Any]] = {
    "ETAG": {
        "description": "Names this version in these units.",
        "schema": {"type": "string", "pattern": f"^{TAG_PATTERN}$"},
    },
    "LOCATION": {"description": "Path of what was made.", "schema": {"type": "string"}},
}


def make_api(app: Flask) -> Api:
    """Give the application its Api, ready to take blueprints."""
    app.config.update(
        API_TITLE="wortwright", API_VERSION=__version__, OPENAPI_VERSION=OPENAPI_VERSION
    )
    plugin = MarshmallowPlugin(schema_name_resolver=schema_name)
    api = Api(
        app,
        spec_kwargs={
            "marshmallow_plugin": plugin,
            "info": {"description": DESCRIPTION, "license": {"name": "MIT", "identifier": "MIT"}},
            "servers": [{"url": "/", "description": "This service."}],
            "security": [{SECURITY_SCHEME: []}],
        },
    )
    assert plugin.converter is not None
    plugin.converter.add_attribute_function(quantity_properties)  # type: ignore[no-untyped-call]
    components = api.spec.components
    components.security_scheme(
        SECURITY_SCHEME,
        {"type": "http", "scheme": "bearer", "description": "A key: ww_<kind>_<id>_<secret>."},
    )
    components.security_scheme(
        LINK_SCHEME,
        {
            "type": "apiKey",
            "in": "query",
            "name": LINK_PARAMETER,
            "description": "The key of a link, where no header can be sent; no other kind of key.",
        },
    )
    for name, parameter in _PARAMETERS.items():
        components.parameter(name, parameter["in"], parameter)
    for name, header in _HEADERS.items():
        components.header(name, header)
    return api


def schema_name(schema: type[Schema] | Schema | str) -> str:
    """Name a schema in the contract after its class, which must stand for one shape.

    Raises
    ------
    ValueError
        If the schema is a variant (``only``, ``exclude``, ``partial``): it needs its own class.
    """
    if isinstance(schema, str):
        return schema
    if isinstance(schema, Schema):
        if schema.only or schema.exclude or schema.partial:
            raise ValueError(f"{type(schema).__name__}: give this variant a class of its own.")
        schema = type(schema)
    return schema.__name__


def openapi_yaml(app: Flask) -> str:
    """Write the contract of an application as YAML."""
    api: Api = app.extensions["flask-smorest"]["apis"][""]["ext_obj"]
    document = json.loads(json.dumps(api.spec.to_dict()))
    document.setdefault("tags", []).sort(key=lambda tag: tag["name"])
    document["components"] = {k: _sorted(v) for k, v in document["components"].items()}
    document["paths"] = {
        path: _in_order(_ORDER_OF_PATH, {k: _arranged(v) for k, v in item.items()})
        for path, item in _sorted(document["paths"]).items()
    }
    return yaml.dump(
        _in_order(_ORDER, document), Dumper=_Dumper, sort_keys=False, allow_unicode=True, width=100
    )


def _arranged(operation: Any) -> Any:
    if not isinstance(operation, dict):
        return operation
    operation["responses"] = _sorted(operation["responses"])
    return _in_order(_ORDER_OF_OPERATION, operation)


def _sorted(group: dict[str, Any]) -> dict[str, Any]:
    return {name: group[name] for name in sorted(group)}


def _in_order(order: tuple[str, ...], group: dict[str, Any]) -> dict[str, Any]:
    known = [name for name in order if name in group]
    return {name: group[name] for name in [*known, *sorted(group.keys() - known)]}


class _Dumper(yaml.SafeDumper):
    """Writes without aliases, which confuse some readers, and long texts line by line."""

    def ignore_aliases(self, data: Any) -> bool:
        return True


def _write_text(dumper: yaml.SafeDumper, text: str) -> yaml.ScalarNode:
    style = "|" if "\n" in text else None
    return dumper.represent_scalar("tag:yaml.org,2002:str", text, style=style)


_Dumper.add_representer(str, _write_text)
