"""What holds for every calculation: no key, no answer; bad input is refused; nothing is stored."""

import re
from collections.abc import Iterator
from typing import Any

import pytest
import yaml
from flask import Flask
from openapi_schema_validator import OAS31Validator
from openapi_spec_validator import validate
from referencing import Registry, Resource
from referencing.jsonschema import DRAFT202012

from api.house import House, changed
from wortwright.api import calculation_examples as examples
from wortwright.api.contract import openapi_yaml

CALCULATIONS = {
    "/v1/water-treatments": examples.WATER_TREATMENT,
    "/v1/mash-ph-forecasts": examples.MASH_PH_FORECAST,
    "/v1/mash-ph-corrections": examples.MASH_PH_CORRECTION,
    "/v1/pitches": examples.PITCH,
    "/v1/hop-agings": examples.HOP_AGING,
    "/v1/hop-substitutions": examples.HOP_SUBSTITUTION,
    "/v1/fermentations": examples.FERMENTATION,
    "/v1/refractometer-readings": examples.REFRACTOMETER_READING,
    "/v1/primings": examples.PRIMING,
    "/v1/bottlings": examples.BOTTLING,
    "/v1/keg-pressures": examples.KEG_PRESSURE,
    "/v1/conversions": examples.CONVERSION,
}

# As sentences have them, in metric and in US units.
AMOUNT = re.compile(r"[0-9.]+ (L|kg|g|°C|bar|US gal|lb|oz|°F|psi)\b")

WRONG: tuple[Any, ...] = (None, -1, 0, 1e300, "x", "1e9 kg", [], {}, True, "-5 degC", "1e-300 L")


def leaves(body: Any, path: str = "") -> Iterator[str]:
    """Give the JSON Pointer of every place in a body, the inner ones too."""
    below = body.items() if isinstance(body, dict) else enumerate(body)
    for key, value in below:
        yield f"{path}/{key}"
        if isinstance(value, dict | list):
            yield from leaves(value, f"{path}/{key}")


@pytest.mark.parametrize("path", CALCULATIONS)
def test_a_wrong_value_anywhere_is_refused_or_taken_but_never_a_fault(
    house: House, path: str
) -> None:
    body, refused = CALCULATIONS[path], 0
    for pointer in leaves(body):
        for value in WRONG:
            answer = house.ask("POST", path, changed(body, pointer, value))
            assert answer.status_code in (200, 422), f"{pointer} {value}: {answer.text}"
            refused += answer.status_code == 422
    assert refused > 0


@pytest.mark.parametrize("path", CALCULATIONS)
def test_an_unknown_field_is_refused_by_name(house: House, path: str) -> None:
    answer = house.ask("POST", path, {**CALCULATIONS[path], "colour_of_the_hat": "red"})
    assert answer.status_code == 422
    assert [entry["pointer"] for entry in answer.json["errors"]] == ["/colour_of_the_hat"]


@pytest.mark.parametrize("path", CALCULATIONS)
def test_without_a_key_there_is_no_answer(house: House, path: str) -> None:
    assert house.client.post(path, json=CALCULATIONS[path]).status_code == 401


@pytest.mark.parametrize("path", CALCULATIONS)
def test_a_page_may_ask(house: House, path: str) -> None:
    page = house.brewer_key("page", origins=["https://club.example"])
    answer = house.ask("POST", path, CALCULATIONS[path], key=page, Origin="https://club.example")
    assert answer.status_code == 200


def test_what_is_sent_and_answered_is_as_published(house: House, app: Flask) -> None:
    contract: dict[str, Any] = yaml.safe_load(openapi_yaml(app))
    validate(contract)
    resource = Resource(contents=contract, specification=DRAFT202012)
    registry: Registry[Any] = Registry().with_resource("urn:contract", resource)

    def faults(described: dict[str, Any], document: Any) -> list[str]:
        reference = described["content"]["application/json"]["schema"]["$ref"]
        validator = OAS31Validator({"$ref": f"urn:contract{reference}"}, registry=registry)
        return [error.message for error in validator.iter_errors(document)]

    for path, body in CALCULATIONS.items():
        operation = contract["paths"][path]["post"]
        assert faults(operation["requestBody"], body) == []
        for units in ("metric", "us"):
            answer = house.made(f"{path}?units={units}", body)
            assert faults(operation["responses"]["200"], answer) == []


@pytest.mark.parametrize("path", [path for path in CALCULATIONS if path != "/v1/conversions"])
def test_an_answer_does_not_depend_on_the_units_it_is_written_in(house: House, path: str) -> None:
    def numbers(document: Any) -> Any:
        if isinstance(document, dict):
            if document.keys() == {"value", "unit"}:
                return "quantity"
            return {key: numbers(value) for key, value in document.items()}
        if isinstance(document, str):
            return AMOUNT.sub("quantity", document)
        return [numbers(one) for one in document] if isinstance(document, list) else document

    body = CALCULATIONS[path]
    assert numbers(house.made(f"{path}?units=us", body)) == numbers(house.made(path, body))
