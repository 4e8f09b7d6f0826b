import json
from collections.abc import Callable
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from api.toy import toys
from wortwright.api.observe import without_secrets
from wortwright.settings import Settings


@pytest.fixture
def app(make_app: Callable[..., Flask], settings: Settings) -> Flask:
    return make_app(settings, [toys])


@pytest.fixture
def logged(capsys: pytest.CaptureFixture[str]) -> Callable[[], list[dict[str, Any]]]:
    return lambda: [json.loads(line) for line in capsys.readouterr().err.splitlines()]


def test_request_id_is_made_and_told(client: FlaskClient) -> None:
    ids = {client.get("/livez").headers["X-Request-ID"] for _ in range(5)}
    assert len(ids) == 5


def test_request_id_given_is_kept(client: FlaskClient) -> None:
    answer = client.get("/nowhere", headers={"X-Request-ID": "brew-day.42"})
    assert answer.headers["X-Request-ID"] == "brew-day.42"
    assert answer.json["instance"] == "brew-day.42"


@pytest.mark.parametrize(
    "given", ["short", "x" * 65, "with space", '"quoted-id"', "caf\u00e9-1234"]
)
def test_unfit_request_id_is_replaced(client: FlaskClient, given: str) -> None:
    answer = client.get("/livez", headers={"X-Request-ID": given})
    assert answer.headers["X-Request-ID"] != given


def test_one_line_is_logged_for_each_request(
    client: FlaskClient, as_club: dict[str, str], logged: Callable[[], list[dict[str, Any]]]
) -> None:
    trace = "4bf92f3577b34da6a3ce929d0e0e4736"
    headers = {**as_club, "traceparent": f"00-{trace}-00f067aa0ba902b7-01"}
    logged()
    answer = client.get("/v1/coopers?name=private", headers=headers)
    (line,) = logged()
    assert line["event"] == "answered"
    assert line["route"] == "/v1/coopers"
    assert line["status"] == 200
    assert line["key_kind"] == "club"
    assert line["trace_id"] == trace
    assert line["request_id"] == answer.headers["X-Request-ID"]
    assert "private" not in json.dumps(line)


def test_callers_of_one_request_are_not_logged_with_the_next(
    client: FlaskClient, as_club: dict[str, str], logged: Callable[[], list[dict[str, Any]]]
) -> None:
    client.get("/v1/coopers", headers=as_club)
    client.get("/livez")
    assert "club_id" not in logged()[-1]


def test_log_and_answer_hold_no_part_of_a_secret(
    client: FlaskClient, club_key: str, capsys: pytest.CaptureFixture[str]
) -> None:
    secret = club_key.rpartition("_")[2]
    answers = [
        client.get("/v1/coopers", headers={"Authorization": f"Bearer {club_key}"}),
        client.get("/v1/coopers", headers={"Authorization": f"Bearer {club_key}x"}),
        client.get(f"/v1/{club_key}"),
        client.post("/v1/barrels", json={}, headers={"Authorization": f"Bearer {club_key}"}),
    ]
    caught = capsys.readouterr()
    for text in (caught.out, caught.err, *(answer.text for answer in answers)):
        assert secret[:16] not in text


def test_fault_is_logged_with_its_trace_and_request_id(
    client: FlaskClient, logged: Callable[[], list[dict[str, Any]]]
) -> None:
    answer = client.get("/v1/faults")
    fault = next(line for line in logged() if line["event"] == "fault")
    assert "ZeroDivisionError" in fault["exception"]
    assert fault["request_id"] == answer.json["instance"]


def test_secret_is_cut_out_of_a_text_around_it() -> None:
    key = f"ww_brewer_{'0123abcd' * 4}_{'f' * 64}"
    assert without_secrets(f"File '{key}', line 3") == "File 'ww_brewer_0123...', line 3"


def test_requests_are_counted_by_route_template(client: FlaskClient) -> None:
    for name in ("a", "b"):
        client.get(f"/problems/{name}")
        client.get(f"/nowhere/{name}")
    client.open("/livez", method="BREW")
    text = client.get("/metrics").text
    count = "wortwright_http_requests_total"
    assert f'{count}{{method="GET",route="/problems/<slug>",status="404"}} 2.0' in text
    assert f'{count}{{method="GET",route="unmatched",status="404"}} 2.0' in text
    assert f'{count}{{method="OTHER",route="unmatched",status="405"}} 1.0' in text
    assert "/nowhere/a" not in text
