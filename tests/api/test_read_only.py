"""What the service decides is not taken from a caller: every operation x every such member."""

from typing import Any

import pytest
from flask import Flask

from api.everything import Everything, Operation, operations_of
from api.house import House, pointers
from api.promises import contract_of

NEVER_TAKEN = (
    "id",
    "version",
    "club_id",
    "created_at",
    "updated_at",
    "number",
    "revoked_at",
    "last_used_on",
    "secret_hash",
    "is_admin",
)


@pytest.fixture
def operations(app: Flask) -> list[Operation]:
    return operations_of(contract_of(app))


@pytest.fixture
def things(house: House, operations: list[Operation]) -> Everything:
    return Everything(house, operations, "Ours")


def taken(contract: dict[str, Any], operation: Operation) -> set[str]:
    """The members of an operation's body."""
    content = operation.described.get("requestBody", {}).get("content", {})
    (schema,) = [kind["schema"] for kind in content.values()] or [{}]
    return set(_resolved(contract, schema).get("properties", {}))


def _resolved(contract: dict[str, Any], schema: dict[str, Any]) -> dict[str, Any]:
    if "$ref" not in schema:
        return schema
    found: dict[str, Any] = contract["components"]["schemas"][schema["$ref"].rpartition("/")[2]]
    return found


def test_no_operation_takes_what_the_service_decides(
    app: Flask, operations: list[Operation], things: Everything
) -> None:
    tried = 0
    for operation in operations:
        if operation.example is None or not operation.takes_json:
            continue
        for name in set(NEVER_TAKEN) - taken(contract_of(app), operation):
            body = things.body(operation) | {name: 1}
            answer = things.house.ask(
                operation.method, things.path(operation), body, If_Match='"v1"'
            )
            assert answer.status_code == 422, f"{operation} {name}: {answer.text}"
            assert f"/{name}" in pointers(answer), f"{operation} {name}"
            tried += 1
    assert tried >= 100


def test_what_the_service_decides_is_in_no_body_of_the_contract(
    app: Flask, operations: list[Operation]
) -> None:
    """Only an import has ids and dates, inside the rows that it brings along."""
    found = {
        str(operation): sorted(set(NEVER_TAKEN) & taken(contract_of(app), operation))
        for operation in operations
    }
    assert {operation: names for operation, names in found.items() if names} == {}
