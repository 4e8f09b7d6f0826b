"""The client and the contract say the same, in both directions."""

import inspect
from dataclasses import MISSING, fields
from typing import Any, get_origin

from clients import contract_of as of
from wortwright_client._reading import Model
from wortwright_client.models.scalings import ComputedScaling
from wortwright_client.quantities import Quantity

# The client's own names for parameters of the contract; what it sends by itself, or has no use
# for: `key` is for links, which cannot send a header.
PARAMETERS = {"limit": "page_size", "If-Match": "etag"}
BY_ITSELF = {"cursor", "Idempotency-Key", "If-None-Match", "key"}
# The kettle log is a page with a form: a link opens it in a browser, which sends the form. A
# program has `add_reading` and `get_outlook`.
FOR_BROWSERS = {"get_kettle_log", "write_kettle_log"}
# Where a program may choose the Idempotency-Key that is otherwise sent by itself.
CHOSEN_KEY = {"create_session": {"idempotency_key"}}
# Operations whose small body is written as arguments.
SPREAD = {"set_session_aside", "trust_session"}
# Operations whose answer only the service reads.
OPAQUE = {"export_brewer"}
# Missing from a repeated answer only, which is an error.
TOLD_ONCE = {"text", "address", "page"}
# What a scaling has if it is stored; the client has a class for each case.
NULL_WHERE_NOT_STORED = {"id", "created_at"}


def test_every_operation_is_a_method_and_every_method_an_operation(
    contract: dict[str, Any],
) -> None:
    operations = of.operations(contract).keys()
    assert operations >= FOR_BROWSERS
    assert of.methods().keys() == operations - FOR_BROWSERS


def _operations(contract: dict[str, Any]) -> dict[str, dict[str, Any]]:
    return {k: v for k, v in of.operations(contract).items() if k not in FOR_BROWSERS}


def test_methods_take_the_parameters_of_their_operations(contract: dict[str, Any]) -> None:
    for name, operation in _operations(contract).items():
        signature = inspect.signature(of.methods()[name])
        asked = [of.resolved(contract, one) for one in operation["parameters"]]
        wanted = {_own_name(one) for one in asked} - BY_ITSELF
        body = of.body_of(contract, operation)
        if body is not None and name in SPREAD:
            wanted |= set(body["properties"])
        taken = set(signature.parameters) - {"self"} - CHOSEN_KEY.get(name, set())
        assert taken >= wanted, name
        assert len(taken - wanted) == (body is not None and name not in SPREAD), name
        in_path = {one["name"] for one in asked if one["in"] == "path"}
        for own in wanted - in_path:
            assert signature.parameters[own].kind is inspect.Parameter.KEYWORD_ONLY, name
        hints = of.hints_of(of.methods()[name])
        for one in asked:
            if (own := _own_name(one)) in wanted:
                choices = set(one["schema"].get("enum", ())) - {None}
                assert of.choices_in(hints[own]) == choices, (name, own)


def _own_name(parameter: dict[str, Any]) -> str:
    name: str = parameter["name"]
    return PARAMETERS.get(name, name)


def test_methods_are_described_and_typed() -> None:
    for name, method in of.methods().items():
        assert method.__doc__, name
        assert "return" in of.hints_of(method), name


def test_pages_drawings_and_calendars_are_given_as_their_text(contract: dict[str, Any]) -> None:
    texts = {
        name
        for name, operation in _operations(contract).items()
        if "content" in (answer := operation["responses"].get("200", {}))
        and "application/json" not in answer["content"]
    }
    assert texts == {
        name for name, method in of.methods().items() if of.hints_of(method)["return"] is str
    }
    assert "get_schedule_calendar" in texts


def test_answers_are_read_in_full(contract: dict[str, Any]) -> None:
    seen: set[tuple[type, int]] = set()
    for name, operation in _operations(contract).items():
        answer = of.answer_of(contract, operation)
        found = of.models_in(of.hints_of(of.methods()[name])["return"])
        assert (answer is None or name in OPAQUE) == (not found), name
        if answer is not None and found:
            _compare_answer(contract, found[0], answer, seen)
    assert len(seen) > 40


def _compare_answer(
    contract: dict[str, Any], model: type[Model], schema: dict[str, Any], seen: set[Any]
) -> None:
    if (model, id(schema)) in seen:
        return
    seen.add((model, id(schema)))
    left_out = NULL_WHERE_NOT_STORED if model is ComputedScaling else set()
    told = {k: v for k, v in schema["properties"].items() if k not in left_out}
    by_header = {"etag"} - told.keys()
    own = {field.name: field for field in fields(model) if field.name not in by_header}
    assert own.keys() == told.keys(), model
    for name, hint in of.hints_of(model).items():
        if name not in own:
            continue
        always = name in schema.get("required", ())
        if own[name].default is MISSING:
            assert always or name in TOLD_ONCE, (model, name)
        part = of.resolved(contract, told[name])
        if type(None) in of.parts_of(hint):
            assert of.is_nullable(part) or not always, (model, name)
        _compare_field(contract, f"{model.__name__}.{name}", hint, part, seen)


def _compare_field(
    contract: dict[str, Any], name: str, hint: Any, schema: dict[str, Any], seen: set[Any]
) -> None:
    stored = name.startswith("Scaling.") and name.split(".")[1] in NULL_WHERE_NOT_STORED
    if of.is_nullable(schema) and not stored:
        assert type(None) in of.parts_of(hint), name
    part = of.without_null(contract, schema)
    if part.get("type") == "array":
        assert get_origin(hint) is tuple, name
        part = of.resolved(contract, part["items"])
    models = of.models_in(hint)
    assert bool(models) == ("properties" in part), name
    if models and models[0] is Quantity:
        assert part["properties"].keys() == {"value", "unit"}, name
    elif models:
        _compare_answer(contract, models[0], part, seen)


def test_documents_are_what_is_taken(contract: dict[str, Any]) -> None:
    seen: set[Any] = set()
    for name, operation in _operations(contract).items():
        body = of.body_of(contract, operation)
        found = [
            document
            for argument, hint in of.hints_of(of.methods()[name]).items()
            if argument != "return"
            for document in of.documents_in(hint)
        ]
        if body is None:
            assert not found, name
        elif found:
            _compare_document(contract, found[0], body, seen)
    assert len(seen) > 20


def _compare_document(
    contract: dict[str, Any], document: Any, schema: dict[str, Any], seen: set[Any]
) -> None:
    if document in seen:
        return
    seen.add(document)
    hints = of.hints_of(document)
    assert hints.keys() == schema["properties"].keys(), document
    assert document.__required_keys__ == set(schema.get("required", ())), document
    for name, hint in hints.items():
        taken = of.resolved(contract, schema["properties"][name])
        assert of.is_nullable(taken) == (type(None) in of.parts_of(hint)), (document, name)
        part = of.without_null(contract, taken)
        if part.get("type") == "array":
            part = of.resolved(contract, part["items"])
        assert of.choices_in(hint) == set(part.get("enum", ())) - {None}, (document, name)
        within = of.documents_in(hint)
        assert bool(within) == ("properties" in part), (document, name)
        if within:
            _compare_document(contract, within[0], part, seen)
