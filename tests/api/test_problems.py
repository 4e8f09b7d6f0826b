from collections.abc import Callable

import pytest
from flask import Flask
from flask.testing import FlaskClient
from hypothesis import given
from hypothesis import strategies as st

from api.toy import toys
from wortwright.api.problem_table import DOMAIN_PROBLEMS, PROBLEM_OF_STATUS, PROBLEM_TYPES
from wortwright.api.problems import MOST_ERRORS, entries_of
from wortwright.settings import Settings
from wortwright.store.database import DatabaseUnavailableError
from wortwright.usecases import brewers


@pytest.fixture
def app(make_app: Callable[..., Flask], settings: Settings) -> Flask:
    return make_app(settings, [toys])


@pytest.mark.parametrize(
    ("method", "path", "status"),
    [
        ("GET", "/v1/nothing", 404),
        ("GET", "/v1/barrels/", 404),
        ("GET", "//v1/barrels", 404),
        ("GET", "/v1/barrels", 405),
        ("BREW", "/v1/barrels", 405),
        ("GET", "/v1/coopers", 401),
        ("GET", "/v1/coopers/not-an-id", 404),
        ("POST", "/v1/barrels", 415),
        ("GET", "/v1/faults", 500),
    ],
)
def test_every_refusal_is_a_problem(
    client: FlaskClient, method: str, path: str, status: int
) -> None:
    answer = client.open(path, method=method)
    assert answer.status_code == status
    assert answer.content_type == "application/problem+json"
    problem = answer.json
    assert problem["status"] == status
    assert problem["title"]
    assert problem["instance"] == answer.headers["X-Request-ID"]
    assert problem["type"] in {kind.path for kind in PROBLEM_TYPES}


def test_fault_tells_nothing_of_the_inside(client: FlaskClient) -> None:
    answer = client.get("/v1/faults")
    assert answer.json.keys() == {"type", "title", "status", "instance"}
    assert "secret" not in answer.text
    assert "Traceback" not in answer.text


def test_405_names_the_methods_allowed(client: FlaskClient) -> None:
    allowed = client.delete("/v1/barrels").headers["Allow"]
    assert set(allowed.split(", ")) == {"POST", "OPTIONS"}


def test_every_field_refused_is_pointed_at(client: FlaskClient) -> None:
    body = {"volume": "4 stone", "hoops": [{"width_mm": 5}, {"width_mm": "wide"}]}
    answer = client.post("/v1/barrels", json=body)
    pointers = {entry["pointer"] for entry in answer.json["errors"]}
    assert answer.status_code == 422
    assert pointers == {"/name", "/volume", "/hoops/1/width_mm"}


@pytest.mark.parametrize("body", [[], 5, "x", True])
def test_body_that_is_no_object_is_refused_as_a_whole(client: FlaskClient, body: object) -> None:
    answer = client.post("/v1/barrels", json=body)
    assert answer.status_code == 422
    assert answer.json["errors"][0]["pointer"] == ""


def test_refused_query_parameter_is_named(client: FlaskClient, as_club: dict[str, str]) -> None:
    answer = client.get("/v1/coopers?limt=5&limit=x", headers=as_club)
    assert answer.status_code == 422
    assert answer.json["type"] == "/problems/invalid-parameter"
    assert {entry["parameter"] for entry in answer.json["errors"]} == {"limt", "limit"}


def test_unknown_system_of_units_is_refused_with_those_accepted(client: FlaskClient) -> None:
    answer = client.post("/v1/barrels?units=stone", json={})
    assert answer.status_code == 422
    (entry,) = answer.json["errors"]
    assert entry["parameter"] == "units"
    assert entry["accepted"] == ["metric", "us", "imperial"]


def test_number_of_errors_told_is_limited(client: FlaskClient) -> None:
    body = {f"unknown {i}": i for i in range(5000)}
    answer = client.post("/v1/barrels", json=body)
    assert answer.status_code == 422
    assert len(answer.json["errors"]) == MOST_ERRORS
    assert len(answer.data) < 50_000


def test_database_in_trouble_is_answered_503_to_try_again(
    client: FlaskClient, as_club: dict[str, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(*_: object) -> None:
        raise DatabaseUnavailableError("The database cannot be used at the moment.")

    monkeypatch.setattr(brewers, "list_brewers", fail)
    answer = client.get("/v1/coopers", headers=as_club)
    assert answer.status_code == 503
    assert answer.headers["Retry-After"] == "2"
    assert answer.json["type"] == "/problems/unavailable"


def test_problem_types_are_documented_once_each(client: FlaskClient) -> None:
    assert len({kind.slug for kind in PROBLEM_TYPES}) == len(PROBLEM_TYPES)
    used = [*DOMAIN_PROBLEMS.values(), *PROBLEM_OF_STATUS.values()]
    assert {kind.slug for kind in used} <= {kind.slug for kind in PROBLEM_TYPES}
    for kind in PROBLEM_TYPES:
        page = client.get(kind.path)
        assert page.status_code == 200
        assert kind.title in page.text
        assert str(kind.status) in page.text


def test_unknown_problem_type_is_not_found(client: FlaskClient) -> None:
    assert client.get("/problems/no-such-kind").status_code == 404


@given(key=st.text(max_size=20), index=st.integers(0, 99))
def test_pointer_leads_back_to_the_place(key: str, index: int) -> None:
    (entry,) = entries_of({key: {index: {"_schema": ["No."]}}})
    # RFC 6901, section 4: split at "/", then ~1 is "/" and ~0 is "~", in this order.
    parts = entry["pointer"].split("/")[1:]
    read = [part.replace("~1", "/").replace("~0", "~") for part in parts]
    assert read == ([str(index)] if key == "_schema" else [key, str(index)])
