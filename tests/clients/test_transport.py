from collections.abc import Iterator

import httpx
import pytest

from clients.flaky import Flaky, LostAnswer
from wortwright_client import (
    ApiError,
    Client,
    ConflictError,
    StaleVersionError,
    TooManyRequestsError,
    TransportError,
)
from wortwright_client._transport import ATTEMPTS, Connection

BUSY = {"type": "/problems/idempotency-key-busy", "title": "The same request is being answered"}


def passing(status: int, **headers: str) -> httpx.Response:
    return httpx.Response(status, headers={k.replace("_", "-"): v for k, v in headers.items()})


@pytest.mark.parametrize(
    "trouble",
    [
        httpx.ConnectError("refused"),
        httpx.ConnectTimeout("slow"),
        httpx.ReadTimeout("slow"),
        httpx.RemoteProtocolError("closed"),
        passing(429),
        passing(502),
        passing(503),
        passing(504),
        httpx.Response(409, headers={"Retry-After": "1"}, json=BUSY),
    ],
    ids=repr,
)
def test_passing_trouble_is_not_seen(
    club: Client, flaky: Flaky, trouble: Exception | httpx.Response
) -> None:
    flaky.troubles += [trouble]
    assert club.create_brewer({"name": "Ada Millrace"}).name == "Ada Millrace"
    assert len(flaky.requests) == 2


def test_thing_is_stored_once_though_the_answer_was_lost(club: Client, flaky: Flaky) -> None:
    flaky.troubles += [LostAnswer("gone"), LostAnswer("gone")]
    brewer = club.create_brewer({"name": "Ada Millrace"})
    assert [one.id for one in club.list_brewers()] == [brewer.id]
    sent = {request.headers["Idempotency-Key"] for request in flaky.requests[:ATTEMPTS]}
    assert len(sent) == 1


def test_every_stored_thing_has_an_idempotency_key_of_its_own(club: Client, flaky: Flaky) -> None:
    for _ in range(2):
        club.create_brewer({"name": "Ada Millrace"})
    first, second = (request.headers["Idempotency-Key"] for request in flaky.requests)
    assert first != second
    assert len(list(club.list_brewers())) == 2


def test_waits_grow_between_attempts_and_end_with_the_error(club: Client, flaky: Flaky) -> None:
    flaky.troubles += [httpx.ConnectError("refused")] * ATTEMPTS
    with pytest.raises(TransportError, match="refused") as caught:
        list(club.list_brewers())
    assert isinstance(caught.value.__cause__, httpx.ConnectError)
    assert len(flaky.requests) == ATTEMPTS
    assert flaky.waited_s == [0.5, 1.0]


def test_last_refusal_is_told_when_attempts_are_used_up(club: Client, flaky: Flaky) -> None:
    flaky.troubles += [passing(503)] * ATTEMPTS
    with pytest.raises(ApiError) as caught:
        list(club.list_brewers())
    assert (caught.value.status, caught.value.type) == (503, "about:blank")


@pytest.mark.parametrize(
    ("headers", "wait_s"),
    [
        ({"Retry-After": "7"}, 7.0),
        ({"Retry-After": "0"}, 0.0),
        (
            {
                "Retry-After": "Sat, 07 Mar 2026 10:00:09 GMT",
                "Date": "Sat, 07 Mar 2026 10:00:00 GMT",
            },
            9.0,
        ),
        (
            {
                "Retry-After": "Sat, 07 Mar 2026 09:00:00 GMT",
                "Date": "Sat, 07 Mar 2026 10:00:00 GMT",
            },
            0.0,
        ),
        ({"Retry-After": "Sat, 07 Mar 2026 10:00:09 GMT"}, 0.5),
        ({"Retry-After": "soon"}, 0.5),
        ({}, 0.5),
    ],
)
def test_wait_is_what_retry_after_asks(
    club: Client, flaky: Flaky, headers: dict[str, str], wait_s: float
) -> None:
    flaky.troubles += [httpx.Response(503, headers=headers)]
    list(club.list_brewers())
    assert flaky.waited_s == [wait_s]


def test_wait_that_is_too_long_is_told_and_not_waited(club: Client, flaky: Flaky) -> None:
    flaky.troubles += [passing(429, Retry_After="3600")]
    with pytest.raises(TooManyRequestsError) as caught:
        list(club.list_brewers())
    assert caught.value.retry_after_s == 3600.0
    assert flaky.waited_s == []


@pytest.mark.parametrize("status", [400, 403, 409, 412, 422, 500])
def test_lasting_trouble_is_told_at_once(club: Client, flaky: Flaky, status: int) -> None:
    flaky.troubles += [passing(status)]
    with pytest.raises(ApiError):
        list(club.list_brewers())
    assert len(flaky.requests) == 1


@pytest.fixture
def connection(flaky: Flaky, club_key: str) -> Iterator[Connection]:
    made = Connection(
        "http://brewing.example", club_key, transport=flaky, sleep=flaky.waited_s.append
    )
    yield made
    made.close()


@pytest.mark.parametrize("trouble", [httpx.ConnectError("refused"), passing(503)], ids=repr)
def test_post_without_idempotency_key_is_never_sent_again(
    connection: Connection, flaky: Flaky, trouble: Exception | httpx.Response
) -> None:
    flaky.troubles += [trouble]
    with pytest.raises((TransportError, ApiError)):
        connection.send("POST", "/v1/brewers", document={"name": "Ada Millrace"})
    assert len(flaky.requests) == 1


def test_change_and_deletion_are_sent_again(club: Client, flaky: Flaky) -> None:
    brewer = club.create_brewer({"name": "Ada Millrace"})
    flaky.troubles += [httpx.ConnectError("refused")]
    changed = club.replace_brewer(brewer.id, {"name": "Ada Weir"}, etag=brewer.etag)
    assert changed.name == club.get_brewer(brewer.id).name == "Ada Weir"
    flaky.troubles += [passing(503)]
    club.delete_brewer(brewer.id, etag=changed.etag)
    assert not list(club.list_brewers())


def test_change_whose_answer_was_lost_is_done_and_says_stale(club: Client, flaky: Flaky) -> None:
    brewer = club.create_brewer({"name": "Ada Millrace"})
    flaky.troubles += [LostAnswer("gone")]
    with pytest.raises(StaleVersionError):
        club.replace_brewer(brewer.id, {"name": "Ada Weir"}, etag=brewer.etag)
    assert club.get_brewer(brewer.id).name == "Ada Weir"


def test_number_that_json_has_not_is_never_sent(club: Client, flaky: Flaky) -> None:
    with pytest.raises(ValueError, match="JSON"):
        club.add_reading("x", {"stage": "pre_boil", "gravity": float("nan")})
    assert not flaky.requests


def test_key_whose_text_was_lost_is_named_in_the_error(club: Client, flaky: Flaky) -> None:
    flaky.troubles += [LostAnswer("gone")]
    with pytest.raises(TransportError, match="revoke this key") as caught:
        club.create_key({"kind": "club", "name": "Recipe site"})
    (lost,) = (key for key in club.list_keys() if key.name == "Recipe site")
    assert lost.id in str(caught.value)


@pytest.mark.parametrize(
    "answer",
    [
        httpx.Response(200, text="<html>"),
        httpx.Response(200, json=[]),
        httpx.Response(200, json={"name": "Ada Millrace"}),
        httpx.Response(200, content=b"\xff"),
    ],
    ids=["html", "list", "no id", "no text"],
)
def test_answer_that_cannot_be_read_is_a_transport_error(
    club: Client, flaky: Flaky, answer: httpx.Response
) -> None:
    flaky.troubles += [answer]
    with pytest.raises(TransportError):
        club.get_brewer("x")


@pytest.mark.parametrize("page", [{"next": None}, {"items": {}}, {"items": [1], "next": None}])
def test_page_that_is_none_is_a_transport_error(
    club: Client, flaky: Flaky, page: dict[str, object]
) -> None:
    flaky.troubles += [httpx.Response(200, json=page)]
    with pytest.raises(TransportError):
        list(club.list_brewers())


def test_next_page_elsewhere_is_not_followed_with_the_key(club: Client, flaky: Flaky) -> None:
    flaky.troubles += [
        httpx.Response(200, json={"items": [], "next": "https://elsewhere.example/v1/brewers"})
    ]
    with pytest.raises(TransportError, match="elsewhere"):
        list(club.list_brewers())
    assert len(flaky.requests) == 1


def test_redirect_is_not_followed_with_the_key(club: Client, flaky: Flaky) -> None:
    flaky.troubles += [passing(302, Location="https://elsewhere.example/")]
    with pytest.raises(ApiError) as caught:
        list(club.list_brewers())
    assert caught.value.status == 302
    assert len(flaky.requests) == 1


def test_requests_name_the_client_and_what_they_take(club: Client, flaky: Flaky) -> None:
    club.create_brewer({"name": "Ada Millrace"})
    headers = flaky.requests[0].headers
    assert headers["User-Agent"].startswith("wortwright-client/")
    assert headers["Accept"] == headers["Content-Type"] == "application/json"
    assert headers["Authorization"].startswith("Bearer ww_club_")


def test_phases_have_limits_of_their_own(club: Client, flaky: Flaky) -> None:
    list(club.list_brewers())
    limits = flaky.requests[0].extensions["timeout"]
    assert limits == {"connect": 5.0, "read": 60.0, "write": 10.0, "pool": 5.0}


def test_conflict_that_does_not_pass_is_told(club: Client, flaky: Flaky) -> None:
    busy = httpx.Response(409, headers={"Retry-After": "1"}, json=BUSY)
    flaky.troubles += [busy] * ATTEMPTS
    with pytest.raises(ConflictError, match="being answered"):
        club.create_brewer({"name": "Ada Millrace"})


def test_text_is_asked_for_again_like_everything(club: Client, flaky: Flaky) -> None:
    drawing = httpx.Response(200, text="<svg/>", headers={"Content-Type": "image/svg+xml"})
    flaky.troubles += [LostAnswer("gone"), drawing]
    assert club.get_calibration_chart("x") == "<svg/>"
    assert len(flaky.requests) == 2
