"""Sentences are in the units of the answer: those of every answer, and those in the code."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from flask import Flask

import wortwright
from api.everything import Everything, operations_of
from api.house import House
from api.promises import contract_of
from api.test_ways_out import BAG, CASE, STRONG
from wortwright.brewing.tables.rows import rows

METRIC = re.compile(r"(?<![\w/])(L|L/kg|L/h|kg|°C|degC|mm|bar|litres?|kilograms?)(?![\w/])")
US = re.compile(r"(?<!\w)(US gal|imp gal|gal|US qt|qt|lb|oz|°F|degF|psi|gallons?|pounds?)(?!\w)")
# A name that looks like an amount is no amount.
NAMES = sorted((row["name"] for row in rows("fermentables.csv")), key=len, reverse=True)


def strings_of(document: Any, key: str = "") -> Iterator[str]:
    """Every text of an answer, but for the units of its quantities."""
    if isinstance(document, dict):
        for name, value in document.items():
            yield from strings_of(value, name)
    elif isinstance(document, list):
        for value in document:
            yield from strings_of(value, key)
    elif isinstance(document, str) and key != "unit":
        yield document


def sentences_of(text: str, own: list[str]) -> str:
    """What is left of a text without the names that the caller or a table gave."""
    for name in own:
        text = text.replace(name, "")
    return text


def answers(house: House, operations: list[Any], things: Everything, units: str) -> Iterator[Any]:
    """What every operation that stores nothing answers to its example."""
    for operation in operations:
        reads = operation.method == "GET"
        if not reads and "200" not in operation.described["responses"]:
            continue
        if operation.method in ("PUT", "PATCH", "DELETE"):
            continue
        joint = "&" if "?" in things.path(operation) else "?"
        query = f"units={units}"
        if "schedule" in operation.path:
            query += "&starts_at=2026-12-05T08:00:00Z"
        if operation.path == "/v1/scalings" and not reads:
            query += "&store=false"
        body = None if reads else things.body(operation)
        path = f"{things.path(operation)}{joint}{query}"
        answer = house.ask(operation.method, path, body)
        if answer.status_code == 200 and operation.path != "/v1/brewers/{brewer_id}/export":
            yield operation, answer.json if answer.is_json else {"text": answer.text}


@pytest.fixture
def things(house: House, app: Flask) -> Everything:
    return Everything(house, operations_of(contract_of(app)), "Mill Race")


@pytest.mark.parametrize(("units", "foreign"), [("us", METRIC), ("metric", US)])
def test_no_answer_to_an_example_speaks_in_the_others_units(
    house: House, app: Flask, things: Everything, units: str, foreign: re.Pattern[str]
) -> None:
    operations = operations_of(contract_of(app))
    own = [text for one in operations for text in strings_of(one.example) if " " in text]
    spoken = 0
    for operation, document in answers(house, operations, things, units):
        for text in strings_of(document):
            said = sentences_of(text, [*NAMES, *own])
            assert foreign.search(said) is None, f"{operation}: {text}"
            spoken += (METRIC if foreign is US else US).search(said) is not None
    assert spoken >= 20


@pytest.mark.parametrize(("units", "foreign"), [("us", METRIC), ("metric", US)])
def test_neither_does_a_plan_that_does_not_fit_nor_a_brew_that_went_wrong(
    house: House, units: str, foreign: re.Pattern[str]
) -> None:
    setup = house.made("/v1/setups", {**BAG, "brewer_id": house.brewer_id})["id"]
    recipe = house.made("/v1/recipes", {**STRONG, "owner": "club"})["id"]
    asked = {"setup_id": setup, "recipe_id": recipe, "target": CASE["target"]}
    scaling = house.made(f"/v1/scalings?units={units}", asked)
    kinds = {way["kind"] for way in scaling["plan"]["ways_out"]}
    assert len(kinds) >= 4
    session = house.session(setup, scaling_id=scaling["id"], readings=[], state="open")
    day = house.made(
        f"/v1/sessions/{session['id']}/readings?units={units}",
        {"stage": "pre_boil", "volume": "21 L", "gravity": 1.060},
    )
    assert day["log"]["corrections"]
    refused = [
        house.ask("POST", f"{path}?units={units}", body).json
        for path, body in (
            ("/v1/scalings", asked | {"target": {"volume": "0.2 L", "volume_at": "kettle"}}),
            ("/v1/vessel-chains", {"setup_id": setup, "recipe_id": recipe, "packaged": "900 L"}),
            (f"/v1/sessions/{session['id']}/readings", {"stage": "pre_boil", "volume": "90 L"}),
        )
    ]
    assert [answer["status"] for answer in refused] == [422] * 3
    spoken = 0
    for text in strings_of([scaling["plan"], day, refused]):
        said = sentences_of(text, NAMES)
        assert foreign.search(said) is None, text
        spoken += (METRIC if foreign is US else US).search(said) is not None
    assert spoken >= 30


# Words that a system of units changes, beside a number or as a word.
_IN_CODE = re.compile(
    r"(^|\d|\}) (L|kg|mm|bar|degC|°C|US gal|lb|oz)\b(?!/)"
    r"|\b(litres?|kilograms?|gallons?|pounds?|degC|degF|degrees C)\b"
)


def _sentences_in(path: Path) -> Iterator[str]:
    tree = ast.parse(path.read_text())
    told = {
        id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)
    }  # documentation is for those who read the code
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in told:
            yield node.value


@pytest.mark.parametrize("room", ["planning", "calibration", "usecases"])
def test_no_sentence_in_the_code_has_a_unit_written_out(room: str) -> None:
    house = Path(wortwright.__file__).parent / room
    written = [
        f"{path.relative_to(house)}: {text}"
        for path in sorted(house.rglob("*.py"))
        for text in _sentences_in(path)
        if _IN_CODE.search(text)
    ]
    assert written == []
