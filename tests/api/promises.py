"""Every answer in these tests is one that the contract promises."""

from functools import cache
from typing import Any

import yaml
from flask import Flask
from openapi_schema_validator import OAS31Validator
from referencing import Registry, Resource
from referencing.jsonschema import DRAFT202012
from werkzeug.test import TestResponse

from wortwright.api.contract import openapi_yaml

_URN = "urn:contract"
_contracts: list[dict[str, Any]] = []


def contract_of(app: Flask) -> dict[str, Any]:
    """Give the contract; all applications of these tests have the same."""
    if not _contracts:
        _contracts.append(yaml.safe_load(openapi_yaml(app)))
    return _contracts[0]


def assert_promised(app: Flask, method: str, path: str, answer: TestResponse) -> None:
    """Refuse an answer whose status or body the contract does not hold."""
    contract = contract_of(app)
    endpoint, _ = app.url_map.bind("localhost").match(path.partition("?")[0], method)
    responses = _operations(contract)[endpoint.rpartition(".")[2]]["responses"]
    promised = responses.get(str(answer.status_code))
    assert promised is not None, f"{method} {path}: {answer.status_code} is not promised"
    if "$ref" in promised:
        promised = contract["components"]["responses"][promised["$ref"].rpartition("/")[2]]
    if answer.data:
        schema = promised["content"][answer.mimetype]["schema"]
        if "$ref" not in schema:
            assert schema["type"] == "string", f"{method} {path}: a text is promised otherwise"
            return
        faults = [error.message for error in _validator(schema["$ref"]).iter_errors(answer.json)]
        assert not faults, f"{method} {path}: {faults[:3]}"


def _operations(contract: dict[str, Any]) -> dict[str, dict[str, Any]]:
    return {
        operation["operationId"]: operation
        for methods in contract["paths"].values()
        for method, operation in methods.items()
        if method != "parameters"
    }


@cache
def _validator(reference: str) -> Any:
    resource = Resource(contents=_contracts[0], specification=DRAFT202012)
    registry: Registry[Any] = Registry().with_resource(_URN, resource)
    return OAS31Validator({"$ref": _URN + reference}, registry=registry)
