"""Every route of the contract x another's ids x every kind of key.

Generated from the contract: a new route is covered, or refused by these tests, without an edit.
"""

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from typing import Any
from uuid import UUID

import pytest
from flask import Flask
from sqlalchemy import select
from werkzeug.test import TestResponse

from api.everything import Everything, Operation, operations_of, with_foreign_ids
from api.house import House
from api.promises import contract_of
from wortwright.api.extensions import DATABASE
from wortwright.settings import Settings
from wortwright.store import keys
from wortwright.store.clock import now
from wortwright.store.models import Base
from wortwright.store.stored import Scope
from wortwright.usecases.callers import KeyKind, mint_key

ORIGIN = "https://club.example"
OURS, THEIRS = "Ours, at Millrace Lane", "Theirs, in Weir Street"


@pytest.fixture
def settings(settings: Settings) -> Settings:
    return replace(settings, failed_key_limit="1000000 per minute")


@pytest.fixture
def operations(app: Flask) -> list[Operation]:
    return operations_of(contract_of(app))


@pytest.fixture
def ours(house: House, operations: list[Operation]) -> Everything:
    return Everything(house, operations, OURS)


@pytest.fixture
def theirs(other_house: House, operations: list[Operation]) -> Everything:
    return Everything(other_house, operations, THEIRS)


class Witness:
    """Sees whether anything was stored."""

    def __init__(self, app: Flask) -> None:
        self._app = app
        self._before = self._rows()

    def _rows(self) -> dict[str, list[Any]]:
        with self._app.extensions[DATABASE].read() as tx:
            return {
                name: sorted(
                    repr([v for c, v in row._mapping.items() if c != "last_used_on"])
                    for row in tx.execute(select(table))
                )
                for name, table in Base.metadata.tables.items()
            }

    def assert_nothing_stored(self) -> None:
        after = self._rows()
        changed = [name for name, rows in after.items() if rows != self._before[name]]
        assert changed == []


def ask(
    house: House, operation: Operation, path: str, body: Any, key: str | None, **headers: str
) -> TestResponse:
    sent = {} if key is None else {"Authorization": f"Bearer {key}"}
    if operation.method in ("PUT", "PATCH", "DELETE"):
        sent["If-Match"] = '"v1"'
    extra = {} if body is None else {"json": body}
    answer = house.client.open(path, method=operation.method, headers=sent | headers, **extra)
    assert answer.status_code in operation.statuses(), f"{operation}: {answer.status_code}"
    return answer


def plain(answer: TestResponse) -> dict[str, Any]:
    """A problem without what differs from one request to the next."""
    return {k: v for k, v in answer.json.items() if k != "instance"}


def kept_key(app: Flask, kind: KeyKind, scope: Scope, **more: Any) -> str:
    """Put a key into the store as it would be later in its life."""
    settings: Settings = app.extensions["wortwright.settings"]
    minted = mint_key(kind, settings.pepper)
    with app.extensions[DATABASE].write() as tx:
        keys.add(tx, minted.key_id, scope, keys.Key(kind, "test", minted.secret_hash, **more))
    return minted.text


def keys_that_open_nothing(app: Flask, things: Everything) -> dict[str, str]:
    house, good = things.house, things.house.club_key
    club, brewer = (UUID(things.ids[name]) for name in ("club_id", "brewer_id"))
    revoked = house.made("/v1/keys", {"kind": "club", "name": "revoked"})
    assert house.ask("DELETE", f"/v1/keys/{revoked['id']}").status_code == 204
    past = now() - timedelta(seconds=1)
    head, _, secret = good.rpartition("_")
    of_brewer = Scope(club, brewer)
    return {
        "wrong secret": f"{head}_{secret[::-1]}",
        "wrong kind": good.replace("ww_club_", "ww_brewer_"),
        "cut short": good[:-1],
        "unknown": mint_key(KeyKind.CLUB, "x" * 32).text,
        "another service's": mint_key(KeyKind.CLUB, "another pepper, of another service").text,
        "no key at all": "let me in",
        "revoked": revoked["text"],
        "expired club": kept_key(app, KeyKind.CLUB, Scope(club), expires_at=past),
        "expired brewer": kept_key(app, KeyKind.BREWER, of_brewer, expires_at=past),
        "expired page": kept_key(
            app, KeyKind.PAGE, of_brewer, expires_at=past, origins=frozenset({ORIGIN})
        ),
        "expired link": kept_key(
            app,
            KeyKind.LINK,
            of_brewer,
            expires_at=past,
            opens="session",
            opens_id=UUID(things.ids["session_id"]),
        ),
    }


def test_no_route_of_the_interface_is_open_or_missing_from_the_contract(
    app: Flask, operations: list[Operation]
) -> None:
    assert [str(one) for one in operations if one.described["security"] == []] == []
    routes = {
        (method, _template(rule.rule))
        for rule in app.url_map.iter_rules()
        for method in rule.methods or ()
        if rule.rule.startswith("/v1/") and method not in ("HEAD", "OPTIONS")
    }
    described = {(one.method, one.path) for one in operations}
    assert routes - described == {("GET", "/v1/openapi.yaml")}


def _template(rule: str) -> str:
    parts = (part.rpartition(":")[2].strip("<>") for part in rule.split("/") if part)
    given = [part.startswith("<") for part in rule.split("/") if part]
    return "".join(
        f"/{{{part}}}" if variable else f"/{part}"
        for part, variable in zip(parts, given, strict=True)
    )


def test_without_a_key_that_opens_every_route_answers_401_and_tells_nothing(
    app: Flask, operations: list[Operation], ours: Everything
) -> None:
    wrong = keys_that_open_nothing(app, ours)
    witness = Witness(app)
    told: set[str] = set()
    for operation in operations:
        for why, key in {"none": None, **wrong}.items():
            answer = ask(ours.house, operation, ours.path(operation), ours.body(operation), key)
            assert answer.status_code == 401, f"{why}: {operation}: {answer.text}"
            assert answer.headers["WWW-Authenticate"].startswith("Bearer ")
            assert OURS not in answer.text
            if key is not None and key != "let me in":
                told.add(str(plain(answer)))
    assert len(told) == 1
    witness.assert_nothing_stored()


def test_with_another_clubs_key_every_id_is_one_that_does_not_exist(
    app: Flask, operations: list[Operation], ours: Everything, theirs: Everything
) -> None:
    witness = Witness(app)
    nobody = {name: "019a0000-0000-7000-8000-00000000ffff" for name in theirs.ids}
    nobody |= {name: value for name, value in theirs.ids.items() if not name.endswith("_id")}
    tried = 0
    for operation in operations:
        if operation.parameters:
            body = ours.body(operation)
            answer, absent = (
                ask(ours.house, operation, operation.path.format(**ids), body, ours.house.club_key)
                for ids in (theirs.ids, nobody)
            )
            assert answer.status_code == absent.status_code == 404, f"{operation}: {answer.text}"
            told, expected = (
                str(plain(one)).replace(ids[operation.parameters[0]], "")
                for one, ids in ((answer, theirs.ids), (absent, nobody))
            )
            assert told == expected, operation
            tried += 1
    assert tried >= 20
    witness.assert_nothing_stored()


def test_with_another_clubs_id_in_a_body_nothing_is_found(
    app: Flask, operations: list[Operation], ours: Everything, theirs: Everything
) -> None:
    witness = Witness(app)
    tried = 0
    for operation in operations:
        bodies = with_foreign_ids(operation, ours.ids, theirs.ids, contract_of(app))
        for name, body in bodies:
            path = ours.path(operation)
            answer = ask(ours.house, operation, path, body, ours.house.club_key)
            assert THEIRS not in answer.text, f"{operation} {name}"
            if not isinstance(body[name], list):
                # 422: this kind of key takes no such id at all.
                assert answer.status_code in (404, 422), f"{operation} {name}: {answer.text}"
            tried += 1
    assert tried >= 8
    witness.assert_nothing_stored()


@pytest.fixture
def stranger(house: House, ours: Everything) -> str:
    """Another brewer of the same club."""
    made: str = house.made("/v1/brewers", {"name": "Bo Weir"})["id"]
    assert made not in ours.made
    return made


@pytest.mark.parametrize("kind", ["brewer", "page"])
def test_with_another_brewers_key_nothing_is_found_or_the_kind_is_refused(
    app: Flask, operations: list[Operation], ours: Everything, stranger: str, kind: str
) -> None:
    origins = [ORIGIN] if kind == "page" else []
    key = ours.house.brewer_key(kind, stranger, origins=origins)
    witness = Witness(app)
    for operation in operations:
        if set(operation.parameters) <= {"club_id"}:
            continue
        path, body = ours.path(operation), ours.body(operation)
        answer = ask(ours.house, operation, path, body, key, Origin=ORIGIN)
        expected = 404 if kind in operation.kinds else 403
        assert answer.status_code == expected, f"{operation}: {answer.text}"
        assert OURS not in answer.text
    witness.assert_nothing_stored()


@pytest.mark.parametrize("kind", ["brewer", "page"])
def test_with_another_brewers_key_no_list_shows_anything(
    operations: list[Operation], ours: Everything, stranger: str, kind: str
) -> None:
    origins = [ORIGIN] if kind == "page" else []
    key = ours.house.brewer_key(kind, stranger, origins=origins)
    tried = 0
    for operation in operations:
        if operation.method == "GET" and not operation.parameters:
            answer = ask(ours.house, operation, operation.path, None, key, Origin=ORIGIN)
            assert answer.status_code == (200 if kind in operation.kinds else 403)
            shown = ours.made - {ours.ids["club_id"]}
            assert not [one for one in shown if one in answer.text], operation
            assert OURS not in answer.text, operation
            tried += 1
    assert tried >= 5


@pytest.mark.parametrize("origin", [None, "https://elsewhere.example", f"{ORIGIN}:8443", "null"])
def test_a_page_key_outside_its_origin_is_answered_403_everywhere(
    app: Flask, operations: list[Operation], ours: Everything, origin: str | None
) -> None:
    key = ours.house.brewer_key("page", origins=[ORIGIN])
    witness = Witness(app)
    headers = {} if origin is None else {"Origin": origin}
    for operation in operations:
        path, body = ours.path(operation), ours.body(operation)
        answer = ask(ours.house, operation, path, body, key, **headers)
        assert answer.status_code == 403, f"{operation}: {answer.text}"
        assert OURS not in answer.text
    witness.assert_nothing_stored()


def links(operations: list[Operation], ours: Everything) -> Iterator[tuple[str, str]]:
    """A link to each kind of thing that can have one."""
    for operation in operations:
        if operation.method == "POST" and operation.path.endswith("/links"):
            (parameter,) = operation.parameters
            yield parameter, ours.house.made(ours.path(operation), {})["text"]


def test_a_link_opens_its_own_thing_and_nothing_else(
    app: Flask, operations: list[Operation], ours: Everything, theirs: Everything
) -> None:
    minted = list(links(operations, ours))
    assert len(minted) >= 3
    witness = Witness(app)
    for thing, key in minted:
        for things in (ours, theirs):
            for operation in operations:
                own = things is ours and operation.parameters == (thing,)
                if "link" in operation.kinds and own:
                    continue
                path, body = things.path(operation), things.body(operation)
                for given in ({"Authorization": f"Bearer {key}"}, {}):
                    address = path if given else f"{path}?key={key}"
                    answer = ask(ours.house, operation, address, body, None, **given)
                    expected = 404 if "link" in operation.kinds else 403 if given else 401
                    assert answer.status_code == expected, f"{thing}: {operation}: {answer.text}"
                    assert OURS not in answer.text
                    assert THEIRS not in answer.text
    witness.assert_nothing_stored()


def test_what_is_only_for_reading_stores_nothing(
    app: Flask, operations: list[Operation], ours: Everything
) -> None:
    """The witness would see it: one that stores is seen."""
    witness = Witness(app)
    for operation in operations:
        if operation.method == "GET":
            ask(ours.house, operation, ours.path(operation), None, ours.house.club_key)
    witness.assert_nothing_stored()
    ours.house.made("/v1/brewers", {"name": "Cy Sluice"})
    with pytest.raises(AssertionError, match="brewers"):
        witness.assert_nothing_stored()
