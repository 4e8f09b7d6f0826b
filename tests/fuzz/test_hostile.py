"""Every hostile body of the corpus is refused with a problem that names what is wrong."""

from typing import Any

import pytest
from flask import Flask
from sqlalchemy import func, select
from werkzeug.test import TestResponse

from api.everything import Everything, operations_of
from api.promises import contract_of
from fuzz.hostile import (
    HostileBody,
    HostileValue,
    hostile_bodies,
    hostile_values,
    named_places,
    put,
)
from wortwright.api.extensions import DATABASE
from wortwright.store.models import Base

PAGE_KEY = {"kind": "page", "name": "page", "origins": ["https://club.example"]}


def rows(app: Flask) -> dict[str, int | None]:
    with app.extensions[DATABASE].read() as tx:
        return {
            name: tx.scalar(select(func.count()).select_from(table))
            for name, table in Base.metadata.tables.items()
        }


def assert_refused(answer: TestResponse) -> None:
    assert 400 <= answer.status_code < 500, f"{answer.status_code}: {answer.text[:500]}"
    assert answer.mimetype == "application/problem+json"
    assert answer.json["detail"]
    assert len(answer.data) < 64 * 1024, "the answer gives the attack back"


@pytest.fixture
def bodies(app: Flask, things: Everything) -> dict[str, tuple[str, Any]]:
    """The path and an accepted body of every operation that takes one, by its name."""
    found = {
        operation.described["operationId"]: (things.path(operation), things.body(operation))
        for operation in operations_of(contract_of(app))
        if operation.example is not None
    }
    path, _ = found["create_key"]
    found["create_key"] = (path, {**PAGE_KEY, "brewer_id": things.ids["brewer_id"]})
    return found


def send(app: Flask, things: Everything, method: str, path: str, **body: Any) -> TestResponse:
    headers = {"Authorization": f"Bearer {things.house.club_key}", "If-Match": '"v1"'}
    return app.test_client().open(path, method=method, headers=headers, **body)


@pytest.mark.parametrize(
    "case", hostile_values(), ids=lambda case: f"{case.operation}: {case.name}"
)
def test_a_hostile_value_is_refused_by_the_name_of_its_field(
    app: Flask, things: Everything, bodies: dict[str, Any], case: HostileValue
) -> None:
    path, good = bodies[case.operation]
    before = rows(app)
    answer = send(app, things, "POST", path, json=put(good, case.at, case.value))
    assert_refused(answer)
    assert answer.status_code == 422
    named = list(named_places(answer.json["errors"]))
    at = case.at[:200]
    assert any(place == at or place.startswith(f"{at}/") for place in named), named
    assert rows(app) == before


@pytest.mark.parametrize("case", hostile_bodies(), ids=lambda case: case.name)
def test_a_body_that_is_none_is_refused_by_every_operation(
    app: Flask, things: Everything, bodies: dict[str, Any], case: HostileBody
) -> None:
    before = rows(app)
    tried = 0
    for operation in operations_of(contract_of(app)):
        if operation.takes_json:
            path = things.path(operation)
            sent = {"data": case.raw, "content_type": "application/json"}
            answer = send(app, things, operation.method, path, **sent)
            assert_refused(answer)
            large_is_fine = case.status == 413 and path.endswith("/import")
            assert answer.status_code == case.status or large_is_fine, f"{operation}: {answer.text}"
            tried += 1
    assert tried >= 12
    assert rows(app) == before


def test_the_bodies_that_the_corpus_spoils_are_good(
    app: Flask, things: Everything, bodies: dict[str, Any]
) -> None:
    """So that each refusal is of what was put in, and of nothing else."""
    for name in {case.operation for case in hostile_values()}:
        path, good = bodies[name]
        answer = send(app, things, "POST", path, json=good)
        assert answer.status_code == 201, f"{name}: {answer.text}"
