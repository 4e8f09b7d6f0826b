from datetime import timedelta
from typing import Any

import pytest

from api.house import House, pointers
from wortwright.api import examples
from wortwright.store.clock import now
from wortwright.usecases import keys


@pytest.fixture
def scaling(house: House) -> Any:
    ids = {"setup_id": house.setup()["id"], "recipe_id": house.recipe()["id"]}
    return house.made("/v1/scalings", ids)


@pytest.fixture
def session(house: House) -> Any:
    return house.session(house.setup()["id"])


def link(house: House, thing: str, body: Any = examples.LINK) -> Any:
    return house.made(f"{thing}/links", body)


def open_at(house: House, address: str) -> Any:
    return house.client.get(address)


def test_the_address_of_a_link_opens_its_scaling_without_a_header(
    house: House, scaling: Any
) -> None:
    made = link(house, f"/v1/scalings/{scaling['id']}")
    opened = open_at(house, made["address"])
    assert opened.status_code == 200
    assert opened.json == house.get(f"/v1/scalings/{scaling['id']}?units=metric")
    assert opened.headers["Cache-Control"] == "no-store"
    assert opened.headers["Referrer-Policy"] == "no-referrer"


def test_a_link_to_a_session_reads_it_and_adds_readings(house: House, session: Any) -> None:
    path = f"/v1/sessions/{session['id']}"
    made = link(house, path)
    assert open_at(house, made["address"]).status_code == 200
    added = house.ask("POST", f"{path}/readings", examples.READING, key=made["text"])
    assert added.status_code == 201
    assert len(added.json["readings"]) == len(session["readings"]) + 1


def test_a_link_does_nothing_else(house: House, session: Any, scaling: Any) -> None:
    key = link(house, f"/v1/sessions/{session['id']}")["text"]
    other = house.session(session["setup_id"])
    for path in (f"/v1/sessions/{other['id']}", f"/v1/scalings/{scaling['id']}"):
        assert house.ask("GET", path, key=key).status_code == 404
    path = f"/v1/sessions/{other['id']}/readings"
    assert house.ask("POST", path, examples.READING, key=key).status_code == 404
    closing = house.ask("POST", f"/v1/sessions/{session['id']}/closing", key=key)
    assert closing.status_code == 403
    assert house.ask("GET", "/v1/sessions", key=key).status_code == 403


def test_only_a_link_may_stand_in_an_address(house: House, scaling: Any) -> None:
    for text in (house.club_key, house.brewer_key()):
        answer = house.client.get(f"/v1/scalings/{scaling['id']}?key={text}")
        assert answer.status_code == 401
    link_key = link(house, f"/v1/scalings/{scaling['id']}")["text"]
    setup = house.client.get(f"/v1/setups/{house.setup()['id']}?key={link_key}")
    assert setup.status_code == 401


@pytest.mark.parametrize(("things", "hours"), [("scalings", 30 * 24), ("sessions", 48)])
def test_a_link_opens_until_its_time_and_no_longer(
    house: House, request: pytest.FixtureRequest, monkeypatch: Any, things: str, hours: int
) -> None:
    thing = request.getfixturevalue(things.removesuffix("s"))
    made = link(house, f"/v1/{things}/{thing['id']}")
    for past, status in ((-1, 200), (1, 401)):
        later = now() + timedelta(hours=hours, minutes=past)
        monkeypatch.setattr(keys, "now", lambda later=later: later)
        assert open_at(house, made["address"]).status_code == status


def test_a_revoked_link_opens_nothing_and_stays_listed(house: House, scaling: Any) -> None:
    path = f"/v1/scalings/{scaling['id']}"
    made, other = link(house, path), link(house, path)
    assert house.ask("DELETE", f"/v1/keys/{made['id']}").status_code == 204
    assert open_at(house, made["address"]).status_code == 401
    assert open_at(house, other["address"]).status_code == 200
    listed = house.get(f"{path}/links")["items"]
    assert [one["id"] for one in listed] == [other["id"], made["id"]]
    assert [one["revoked_at"] is None for one in listed] == [True, False]
    assert all("text" not in one and "address" not in one for one in listed)


def test_a_replay_does_not_show_the_link_again(house: House, scaling: Any) -> None:
    path = f"/v1/scalings/{scaling['id']}/links"
    house.ask("POST", path, {}, Idempotency_Key="one")
    again = house.ask("POST", path, {}, Idempotency_Key="one")
    assert again.headers["Idempotency-Replayed"] == "true"
    assert not {"text", "address"} & again.json.keys()
    assert len(house.get(path)["items"]) == 1


@pytest.mark.parametrize(
    ("body", "pointer"),
    [
        ({"expires_at": "2020-01-01T00:00:00Z"}, "/expires_at"),
        ({"expires_at": "2999-01-01T00:00:00Z"}, "/expires_at"),
        ({"name": ""}, "/name"),
        ({"opens": "setup"}, "/opens"),
    ],
)
def test_what_is_refused_is_named_and_no_link_is_minted(
    house: House, scaling: Any, body: Any, pointer: str
) -> None:
    path = f"/v1/scalings/{scaling['id']}/links"
    answer = house.ask("POST", path, body)
    assert answer.status_code == 422
    assert pointers(answer) == [pointer]
    assert house.get(path)["items"] == []


def test_a_link_whose_thing_is_gone_finds_nothing(house: House, scaling: Any) -> None:
    path = f"/v1/scalings/{scaling['id']}"
    made = link(house, path)
    etag = house.ask("GET", path).headers["ETag"]
    assert house.ask("DELETE", path, If_Match=etag).status_code == 204
    assert open_at(house, made["address"]).status_code == 404


def test_the_key_of_a_link_is_in_no_log_line(
    house: House, scaling: Any, capfd: pytest.CaptureFixture[str]
) -> None:
    made = link(house, f"/v1/scalings/{scaling['id']}")
    open_at(house, made["address"])
    assert made["text"].rpartition("_")[2] not in "".join(capfd.readouterr())
