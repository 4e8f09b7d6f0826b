from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import yaml
from flask import Flask
from flask.testing import FlaskClient
from marshmallow import fields
from openapi_schema_validator import OAS31Validator
from openapi_spec_validator import validate
from referencing import Registry, Resource
from referencing.jsonschema import DRAFT202012

from api.toy import BarrelIn, toys
from wortwright.api.blueprint import Blueprint
from wortwright.api.contract import openapi_yaml, schema_name
from wortwright.settings import Settings


@pytest.fixture
def app(make_app: Callable[..., Flask], settings: Settings) -> Flask:
    return make_app(settings, [toys])


@pytest.fixture
def contract(app: Flask) -> dict[str, Any]:
    read: dict[str, Any] = yaml.safe_load(openapi_yaml(app))
    return read


def test_contract_is_valid_openapi(contract: dict[str, Any]) -> None:
    validate(contract)
    assert contract["openapi"] == "3.1.0"


def test_the_contract_written_out_is_what_the_code_says(
    make_app: Callable[..., Flask], settings: Settings
) -> None:
    written = Path(__file__).parents[2] / "openapi.yaml"
    same = openapi_yaml(make_app(settings)) == written.read_text(encoding="utf-8")
    assert same, "write it anew: wortwright openapi > openapi.yaml"


def test_contract_is_the_same_for_every_order_of_blueprints(
    make_app: Callable[..., Flask], settings: Settings
) -> None:
    def texts(*order: int) -> str:
        made = [Blueprint(f"b{i}", __name__, url_prefix="/v1") for i in range(2)]
        for i in order:
            made[i].route(f"/b{i}", methods=["GET"], endpoint=f"show_{i}")(
                made[i].response(200)(lambda: {})
            )
        return openapi_yaml(make_app(settings, [made[i] for i in order]))

    assert texts(0, 1) == texts(1, 0)


def test_every_operation_has_an_id_and_says_what_it_needs(contract: dict[str, Any]) -> None:
    operations = [
        operation
        for item in contract["paths"].values()
        for method, operation in item.items()
        if method != "parameters"
    ]
    assert len({operation["operationId"] for operation in operations}) == len(operations)
    for operation in operations:
        assert "security" in operation
        assert "default" in operation["responses"]


def test_contract_tells_keys_headers_and_refusals(contract: dict[str, Any]) -> None:
    post, put = (
        contract["paths"]["/v1/coopers"]["post"],
        contract["paths"]["/v1/coopers/{cooper_id}"]["put"],
    )
    assert post["security"] == [{"key": []}]
    assert post["x-key-kinds"] == ["club"]
    assert {"400", "401", "403", "409", "413", "415", "422", "429"} <= post["responses"].keys()
    assert post["responses"]["201"]["headers"].keys() == {"ETag", "Location"}
    assert {"412", "428"} <= put["responses"].keys()
    assert contract["paths"]["/v1/barrels"]["post"]["security"] == []
    problem = contract["components"]["responses"]["NOT_FOUND"]["content"]
    assert problem.keys() == {"application/problem+json"}


def test_what_comes_in_is_closed_and_what_goes_out_is_open(contract: dict[str, Any]) -> None:
    schemas = contract["components"]["schemas"]
    assert schemas["BarrelIn"]["additionalProperties"] is False
    for name in ("BarrelOut", "CooperPageOut", "Problem", "ProblemEntry"):
        assert "additionalProperties" not in schemas[name]


def test_exclusive_bound_is_published_as_exclusive(contract: dict[str, Any]) -> None:
    width = contract["components"]["schemas"]["HoopIn"]["properties"]["width_mm"]
    assert width["exclusiveMinimum"] == 0
    assert "minimum" not in width


def test_variant_of_a_schema_needs_its_own_class() -> None:
    with pytest.raises(ValueError, match="BarrelIn: give this variant a class of its own"):
        schema_name(BarrelIn(partial=True))


def test_two_schemas_of_one_name_are_an_error(
    make_app: Callable[..., Flask], settings: Settings
) -> None:
    twice = Blueprint("twice", __name__)
    for i in range(2):
        other = type("BarrelIn", (BarrelIn,), {f"x{i}": fields.String()})
        view = twice.arguments(other())(lambda _: None)
        twice.route(f"/{i}", methods=["POST"], endpoint=f"e{i}")(view)
    with pytest.raises(UserWarning, match="BarrelIn"):
        make_app(settings, [twice])


BODIES: list[dict[str, Any]] = [
    {"name": "x", "volume": "4.5 L"},
    {"name": "x", "volume": {"value": 4.5, "unit": "US gal"}, "gravity": 1.05, "hoops": []},
    {"name": "x", "volume": "1 L", "gravity": None, "filled_at": "2026-03-01T10:30:00Z"},
    {"name": ""},
    {"name": "x", "volume": {"value": 0, "unit": "L"}, "staves": 61, "wood": "pine"},
    {"name": "x\u0007", "volume": "1 L"},
    {"name": "x", "volume": "1 L", "hoops": [{"width_mm": 0}]},
]


@pytest.mark.parametrize("body", BODIES)
def test_body_is_taken_as_published_and_answered_as_published(
    client: FlaskClient, contract: dict[str, Any], body: dict[str, Any]
) -> None:
    def holds(name: str, document: object) -> bool:
        resource = Resource(contents=contract, specification=DRAFT202012)
        registry: Registry[Any] = Registry().with_resource("urn:contract", resource)
        schema = {"$ref": f"urn:contract#/components/schemas/{name}"}
        return bool(OAS31Validator(schema, registry=registry).is_valid(document))

    answer = client.post("/v1/barrels", json=body)
    assert (answer.status_code == 200) == holds("BarrelIn", body)
    assert holds("BarrelOut" if answer.status_code == 200 else "Problem", answer.json)
