"""Reading the contract: operations, schemas, and the Python types that stand for them."""

from collections.abc import Iterator
from typing import Any, get_args, get_origin, get_type_hints

from wortwright_client import Client
from wortwright_client._reading import Model
from wortwright_client.documents.amounts import QuantityDocument

Schema = dict[str, Any]


def operations(contract: Schema) -> dict[str, Schema]:
    """Give every operation by its id, with the parameters of its path among its own."""
    return {
        operation["operationId"]: operation
        | {"parameters": item.get("parameters", []) + operation.get("parameters", [])}
        for item in contract["paths"].values()
        for method, operation in item.items()
        if method != "parameters"
    }


def methods() -> dict[str, Any]:
    """Give every public method of the client that is an operation."""
    own = {"close"}
    return {
        name: getattr(Client, name)
        for name in dir(Client)
        if not name.startswith("_") and name not in own
    }


def resolved(contract: Schema, schema: Schema) -> Schema:
    """Follow a reference into the contract."""
    while "$ref" in schema:
        found: Any = contract
        for part in schema["$ref"].removeprefix("#/").split("/"):
            found = found[part]
        schema = found
    return schema


def is_nullable(schema: Schema) -> bool:
    """Tell whether null is among what a schema takes."""
    kinds = schema.get("type")
    return (isinstance(kinds, list) and "null" in kinds) or {"type": "null"} in schema.get(
        "anyOf", []
    )


def without_null(contract: Schema, schema: Schema) -> Schema:
    """Give what a schema takes besides null."""
    choices = [one for one in schema.get("anyOf", []) if one != {"type": "null"}]
    return resolved(contract, choices[0] if choices else schema)


def body_of(contract: Schema, operation: Schema) -> Schema | None:
    """Give the schema of what an operation takes."""
    body = operation.get("requestBody")
    return (
        None if body is None else resolved(contract, body["content"]["application/json"]["schema"])
    )


def answer_of(contract: Schema, operation: Schema) -> Schema | None:
    """Give the schema of the JSON that is answered when all is well; of a page, its items."""
    for status, answer in operation["responses"].items():
        told = answer.get("content", {}).get("application/json")
        if status in ("200", "201") and told is not None:
            schema = resolved(contract, told["schema"])
            if "next" in schema["properties"]:
                return resolved(contract, schema["properties"]["items"]["items"])
            return schema
    return None


def parts_of(hint: Any) -> Iterator[Any]:
    """Give the types that a hint is put together of, itself with them."""
    yield hint
    for part in get_args(hint):
        yield from parts_of(part)


def models_in(hint: Any) -> list[type[Model]]:
    """Give the models that a hint names."""
    return [part for part in parts_of(hint) if isinstance(part, type) and issubclass(part, Model)]


def documents_in(hint: Any) -> list[type]:
    """Give the documents that a hint names, but for the one of a quantity."""
    return [
        part
        for part in parts_of(hint)
        if hasattr(part, "__required_keys__") and part is not QuantityDocument
    ]


def choices_in(hint: Any) -> set[str]:
    """Give the texts that a hint allows by name."""
    return {
        choice
        for part in parts_of(hint)
        if str(get_origin(part)) == "typing.Literal"
        for choice in get_args(part)
    }


def hints_of(kind: Any) -> dict[str, Any]:
    """Give the types of the fields of a class, or of the arguments of a method."""
    return get_type_hints(kind)
