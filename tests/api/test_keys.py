from typing import Any

import pytest

from api.house import House, pointers


def test_a_new_key_opens_and_its_text_is_shown_once(house: House) -> None:
    made = house.made("/v1/keys", {"kind": "club", "name": "Recipe site"})
    assert house.ask("GET", "/v1/brewers", key=made["text"]).status_code == 200
    again = house.get(f"/v1/keys/{made['id']}")
    assert "text" not in again
    assert again["name"] == "Recipe site"
    assert all("text" not in one for one in house.get("/v1/keys")["items"])


def test_a_replay_mints_no_second_key_and_does_not_show_the_text_again(house: House) -> None:
    body = {"kind": "club", "name": "Recipe site"}
    first = house.ask("POST", "/v1/keys", body, Idempotency_Key="mint-1")
    again = house.ask("POST", "/v1/keys", body, Idempotency_Key="mint-1")
    assert again.json["id"] == first.json["id"]
    assert "text" not in again.json
    assert len(house.get("/v1/keys")["items"]) == 2


def test_a_revoked_key_opens_nothing_and_stays_listed(house: House) -> None:
    made = house.made("/v1/keys", {"kind": "club", "name": "old"})
    assert house.ask("DELETE", f"/v1/keys/{made['id']}").status_code == 204
    assert house.ask("GET", "/v1/brewers", key=made["text"]).status_code == 401
    assert house.get(f"/v1/keys/{made['id']}")["revoked_at"] is not None


def test_a_key_is_replaced_without_a_moment_in_which_none_opens(house: House) -> None:
    old = house.made("/v1/keys", {"kind": "club", "name": "site, 2026"})
    new = house.made("/v1/keys", {"kind": "club", "name": "site, 2027"}, key=old["text"])
    for key in (old, new):
        assert house.ask("GET", "/v1/brewers", key=key["text"]).status_code == 200
    assert house.ask("DELETE", f"/v1/keys/{old['id']}", key=new["text"]).status_code == 204
    opened = [house.ask("GET", "/v1/brewers", key=one["text"]).status_code for one in (old, new)]
    assert opened == [401, 200]


def test_no_answer_holds_a_hash(house: House) -> None:
    house.brewer_key()
    assert "hash" not in house.ask("GET", "/v1/keys").text


@pytest.mark.parametrize(
    ("change", "pointer"),
    [
        ({"kind": "link"}, "/kind"),
        ({"kind": "club", "brewer_id": "{brewer_id}"}, "/brewer_id"),
        ({"brewer_id": None}, "/brewer_id"),
        ({"origins": ["club.example"]}, "/origins/0"),
        ({"kind": "brewer", "origins": ["https://club.example"]}, "/origins"),
        ({"expires_at": "2020-01-01T00:00:00Z"}, "/expires_at"),
        ({"expires_at": "2999-01-01T00:00:00Z"}, "/expires_at"),
        ({"secret_hash": "0" * 64}, "/secret_hash"),
    ],
)
def test_what_is_refused_is_named_and_nothing_is_minted(
    house: House, change: dict[str, Any], pointer: str
) -> None:
    body = {"kind": "page", "name": "page", "brewer_id": house.brewer_id, **change}
    if body["brewer_id"] == "{brewer_id}":
        body["brewer_id"] = house.brewer_id
    answer = house.ask("POST", "/v1/keys", body)
    assert answer.status_code == 422
    assert pointers(answer) == [pointer]
    assert len(house.get("/v1/keys")["items"]) == 1
