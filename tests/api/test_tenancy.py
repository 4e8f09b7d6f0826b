"""What belongs to somebody else is not there: every route, generated from the routes themselves."""

from collections.abc import Iterator
from typing import Any

import pytest
from flask import Flask

from api.house import House
from wortwright.api import contract, examples
from wortwright.api.resources import BLUEPRINTS

SOME_ID = examples.CLUB_OR_BREWER_ID

READS = (
    "/v1/clubs/{club_id}",
    "/v1/keys/{key_id}",
    "/v1/brewers/{brewer_id}",
    "/v1/setups/{setup_id}",
    "/v1/setups/{setup_id}/calibration",
    "/v1/setups/{setup_id}/calibrations",
    "/v1/recipes/{recipe_id}",
    "/v1/sessions/{session_id}",
    "/v1/scalings/{scaling_id}",
)


def things_of(house: House, owner: str = "club") -> dict[str, str]:
    """Make one of everything and give the ids by the names of the routes' parameters."""
    setup, recipe = house.setup(), house.recipe(owner=owner)
    scaling = house.made("/v1/scalings", {"setup_id": setup["id"], "recipe_id": recipe["id"]})
    session = house.session(setup["id"], scaling_id=scaling["id"], state="closed")
    key = house.made("/v1/keys", {"kind": "brewer", "name": "k", "brewer_id": house.brewer_id})
    return {
        "club_id": house.get("/v1/clubs")["items"][0]["id"],
        "key_id": key["id"],
        "brewer_id": house.brewer_id,
        "setup_id": setup["id"],
        "recipe_id": recipe["id"],
        "session_id": session["id"],
        "scaling_id": scaling["id"],
        "number": "0",
    }


def operations(app: Flask) -> Iterator[tuple[str, str, dict[str, Any]]]:
    """Give every operation of a resource: method, path, and how the contract describes it."""
    document = contract.yaml.safe_load(contract.openapi_yaml(app))
    for path, methods in document["paths"].items():
        if path.startswith("/v1/"):
            for method, operation in methods.items():
                if method in ("get", "put", "post", "patch", "delete"):
                    yield method.upper(), path, operation


def takes_json(operation: dict[str, Any]) -> bool:
    """Whether the body is JSON; the one form of a page has tests of its own (tests/pages)."""
    return "application/json" in operation.get("requestBody", {}).get("content", {})


def example_of(operation: dict[str, Any]) -> Any:
    if not takes_json(operation):
        return None
    return operation["requestBody"]["content"]["application/json"]["example"]


def state_of(house: House, ids: dict[str, str]) -> list[Any]:
    return [house.get(path.format(**ids)) for path in READS]


def test_the_things_of_another_club_are_not_there(
    app: Flask, house: House, other_house: House
) -> None:
    theirs = things_of(other_house)
    before = state_of(other_house, theirs)
    tried = 0
    for method, path, operation in operations(app):
        if "{" not in path:
            continue
        answer = house.ask(method, path.format(**theirs), example_of(operation), If_Match='"v1"')
        assert answer.status_code == 404, f"{method} {path}: {answer.text}"
        tried += 1
    assert tried >= 20
    assert state_of(other_house, theirs) == before


def test_the_things_of_another_brewer_are_not_there(app: Flask, house: House) -> None:
    theirs = things_of(house, owner=house.brewer_id)
    before = state_of(house, theirs)
    bo = house.made("/v1/brewers", {"name": "Bo Weir"})["id"]
    key = house.brewer_key(brewer_id=bo)
    for method, path, operation in operations(app):
        if "{" not in path or "{club_id}" in path:
            continue
        answer = house.ask(
            method, path.format(**theirs), example_of(operation), key=key, If_Match='"v1"'
        )
        expected = 404 if "brewer" in operation["x-key-kinds"] else 403
        assert answer.status_code == expected, f"{method} {path}: {answer.text}"
    assert state_of(house, theirs) == before


@pytest.mark.parametrize("kind", ["brewer", "page"])
def test_lists_show_only_ones_own(app: Flask, house: House, kind: str) -> None:
    theirs = things_of(house, owner=house.brewer_id)
    bo = house.made("/v1/brewers", {"name": "Bo Weir"})["id"]
    origin = "https://club.example"
    origins = [origin] if kind == "page" else []
    key = house.brewer_key(kind, brewer_id=bo, origins=origins)
    for method, path, operation in operations(app):
        if method != "GET" or "{" in path or path == "/v1/clubs":
            continue
        if kind not in operation["x-key-kinds"]:
            continue
        answer = house.ask("GET", path, key=key, Origin=origin)
        shown = {one["id"] for one in answer.json["items"]}
        assert not shown & set(theirs.values()), path


@pytest.mark.parametrize(
    ("path", "body"),
    [
        ("/v1/setups", {**examples.SETUP, "brewer_id": "{brewer_id}"}),
        ("/v1/recipes", {**examples.RECIPE, "owner": "{brewer_id}"}),
        ("/v1/keys", {"kind": "brewer", "name": "k", "brewer_id": "{brewer_id}"}),
        ("/v1/sessions", {**examples.SESSION, "setup_id": "{setup_id}"}),
        ("/v1/scalings", {"setup_id": "{setup_id}", "recipe": examples.RECIPE}),
        ("/v1/scalings", {"setup": examples.SETUP, "recipe_id": "{recipe_id}"}),
        ("/v1/scalings/batch", {"setup_id": "{setup_id}", "recipe_ids": [SOME_ID]}),
    ],
)
def test_an_id_of_another_club_in_a_body_is_not_found(
    house: House, other_house: House, path: str, body: dict[str, Any]
) -> None:
    theirs = things_of(other_house)
    sent = {k: v.format(**theirs) if isinstance(v, str) else v for k, v in body.items()}
    assert house.ask("POST", path, sent).status_code == 404
    listed = house.get(path.removesuffix("/batch"))["items"]
    assert [one for one in listed if one.get("name") != "first key"] == []


def test_a_session_does_not_take_a_scaling_of_another_club(
    house: House, other_house: House
) -> None:
    theirs, setup = things_of(other_house), house.setup()
    body = {**examples.SESSION, "setup_id": setup["id"], "scaling_id": theirs["scaling_id"]}
    assert house.ask("POST", "/v1/sessions", body).status_code == 404


def test_a_batch_does_not_see_the_recipes_of_another_club(house: House, other_house: House) -> None:
    theirs, setup = things_of(other_house), house.setup()
    body = {"setup_id": setup["id"], "recipe_ids": [theirs["recipe_id"]]}
    (item,) = house.made("/v1/scalings/batch", body)["items"]
    assert item["result"] is None


def test_every_example_of_the_contract_is_accepted(app: Flask, house: House) -> None:
    tried = 0
    for method, path, operation in operations(app):
        example = example_of(operation)
        if example is None:
            continue
        own = things_of(house)
        own["brewer_id"], placeholder = house.brewer_id, examples.CLUB_OR_BREWER_ID
        sent = {
            k: own.get(k, v)
            if v == placeholder
            else [own["recipe_id"]]
            if v == [placeholder]
            else v
            for k, v in example.items()
        }
        url = path.format(**own)
        etag = {}
        if method == "PUT":
            etag = {"If_Match": house.ask("GET", url).headers["ETag"]}
        answer = house.ask(method, url, sent, **etag)
        assert answer.status_code in (200, 201), f"{method} {path}: {answer.text}"
        tried += 1
    assert tried == sum(example_of(op) is not None for _, _, op in operations(app)) >= 12


def test_every_operation_has_a_name_of_its_own_and_an_example_if_it_takes_a_body(
    app: Flask,
) -> None:
    names = [operation["operationId"] for _, _, operation in operations(app)]
    assert len(names) == len(set(names))
    assert all(name.isidentifier() and name.islower() for name in names)
    for method, path, operation in operations(app):
        if takes_json(operation):
            assert example_of(operation), f"{method} {path}"


def test_every_resource_is_registered(app: Flask) -> None:
    registered = {rule.endpoint.partition(".")[0] for rule in app.url_map.iter_rules()}
    assert {blueprint.name for blueprint in BLUEPRINTS} <= registered
