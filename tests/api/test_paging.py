from collections.abc import Callable, Iterator
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from hypothesis import HealthCheck, given
from hypothesis import settings as hypothesis_settings
from hypothesis import strategies as st

from api.toy import toys
from wortwright.api.extensions import DATABASE
from wortwright.records.brewer import Brewer
from wortwright.settings import Settings
from wortwright.usecases.brewers import create_brewer
from wortwright.usecases.callers import read_key
from wortwright.usecases.keys import caller_for
from wortwright.usecases.work import Work

NAMES = [f"cooper {i}" for i in range(7)]


@pytest.fixture
def app(make_app: Callable[..., Flask], settings: Settings) -> Flask:
    return make_app(settings, [toys])


@pytest.fixture
def list_page(
    client: FlaskClient, app: Flask, as_club: dict[str, str], club_key: str, settings: Settings
) -> Callable[[str], Any]:
    """Seven coopers are stored; get one page of them."""
    database = app.extensions[DATABASE]
    work = Work(database, caller_for(database, read_key(club_key, settings.pepper)))
    for name in NAMES:
        create_brewer(work, Brewer(name))
    return lambda path: client.get(path, headers=as_club)


def pages(list_page: Callable[[str], Any], path: str | None) -> Iterator[Any]:
    while path is not None:
        answer = list_page(path)
        assert answer.status_code == 200
        yield answer.json
        path = answer.json["next"]


@pytest.mark.parametrize("limit", [1, 2, 3, 7, 8])
def test_pages_together_hold_everything_once(list_page: Callable[[str], Any], limit: int) -> None:
    found = list(pages(list_page, f"/v1/coopers?limit={limit}"))
    names = [item["name"] for page in found for item in page["items"]]
    assert sorted(names) == NAMES
    assert all(len(page["items"]) == limit for page in found[:-1])


def test_thing_added_while_paging_moves_nothing(
    list_page: Callable[[str], Any], client: FlaskClient, as_club: dict[str, str]
) -> None:
    first = list_page("/v1/coopers?limit=3").json
    client.post("/v1/coopers", json={"name": "latecomer"}, headers=as_club)
    rest = [item for page in pages(list_page, first["next"]) for item in page["items"]]
    assert sorted(item["name"] for item in [*first["items"], *rest]) == NAMES


def test_empty_list_has_no_next(client: FlaskClient, as_club: dict[str, str]) -> None:
    assert client.get("/v1/coopers", headers=as_club).json == {"items": [], "next": None}


@pytest.mark.parametrize("limit", ["0", "-1", "x", "", "1.5", "1e3", "None"])
def test_limit_that_is_no_positive_number_is_answered_422(
    list_page: Callable[[str], Any], limit: str
) -> None:
    answer = list_page(f"/v1/coopers?limit={limit}")
    assert answer.status_code == 422
    assert answer.json["errors"][0]["parameter"] == "limit"


def test_limit_above_the_most_is_taken_as_the_most(list_page: Callable[[str], Any]) -> None:
    assert len(list_page("/v1/coopers?limit=1000000000").json["items"]) == len(NAMES)


def test_cursor_keeps_limit_units_and_filters(list_page: Callable[[str], Any]) -> None:
    following = list_page("/v1/coopers?limit=2&units=us&name=x").json["next"]
    assert "limit=2&units=us&name=x&cursor=" in following


def test_limit_and_units_may_change_between_pages(list_page: Callable[[str], Any]) -> None:
    following = list_page("/v1/coopers?limit=2").json["next"]
    changed = following.replace("limit=2", "limit=5&units=us")
    assert len(list_page(changed).json["items"]) == 5


@pytest.mark.parametrize(
    "change",
    [
        lambda url: url + "&name=y",
        lambda url: url.replace("name=x", "name=y"),
        lambda url: url.replace("&name=x", ""),
        lambda url: url[:-1],
        lambda url: url + "A",
        lambda url: url.replace("cursor=", "cursor=A"),
        lambda url: "/v1/coopers?cursor=",
        lambda url: "/v1/coopers?cursor=%FF",
    ],
)
def test_cursor_of_another_list_or_not_of_ours_is_answered_400(
    list_page: Callable[[str], Any], change: Callable[[str], str]
) -> None:
    following = list_page("/v1/coopers?limit=2&name=x").json["next"]
    answer = list_page(change(following))
    assert answer.status_code == 400
    assert answer.json["type"] == "/problems/invalid-cursor"


@hypothesis_settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=50)
@given(cursor=st.text(max_size=80))
def test_made_up_cursor_is_refused_and_breaks_nothing(
    client: FlaskClient, as_club: dict[str, str], cursor: str
) -> None:
    answer = client.get("/v1/coopers", query_string={"cursor": cursor}, headers=as_club)
    assert answer.status_code == 400
