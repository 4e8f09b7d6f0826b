import json
from collections.abc import Callable
from contextlib import suppress
from io import BytesIO
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from hypothesis import given
from hypothesis import strategies as st

from api.toy import toys
from wortwright.api.body import canonical, parse
from wortwright.api.problems import ProblemError
from wortwright.settings import Settings

JSON = st.recursive(
    st.none() | st.booleans() | st.integers(-(2**53), 2**53) | st.text(max_size=20),
    lambda below: (
        st.lists(below, max_size=4) | st.dictionaries(st.text(max_size=8), below, max_size=4)
    ),
    max_leaves=30,
)


@pytest.fixture
def client(make_app: Callable[..., Flask], settings: Settings) -> FlaskClient:
    return make_app(settings, [toys]).test_client()


def sent(client: FlaskClient, raw: bytes, **headers: str) -> Any:
    content_type = headers.pop("content_type", "application/json")
    return client.post("/v1/barrels", data=raw, content_type=content_type, headers=headers)


@pytest.mark.parametrize(
    "raw",
    [
        b"",
        b"  ",
        b"{",
        b"[" * 9000,
        b"[" * 200 + b"]" * 200,
        b'{"name": "x", "volume": NaN}',
        b'{"name": "x", "fullness": 1e400}',
        b'{"name": "x", "fullness": Infinity}',
        b'{"name": "x",}',
        b"{'name': 'x'}",
        b'{"name": "\xff"}',
        b'{"name": "\\ud800"}',
        b'{"a": 1} {"a": 2}',
        b"\xef\xbb\xbf{}",
    ],
)
def test_what_is_not_one_json_document_is_answered_400(client: FlaskClient, raw: bytes) -> None:
    answer = sent(client, raw)
    assert answer.status_code == 400
    assert answer.content_type == "application/problem+json"
    assert answer.json["type"] == "/problems/invalid-json"


def test_member_named_twice_is_refused_by_name(client: FlaskClient) -> None:
    answer = sent(client, b'{"name": "a:b", "hoops": [{"width_mm": 1, "width_mm": 2}]}')
    assert answer.status_code == 400
    assert "'width_mm' twice" in answer.json["detail"]


def test_unknown_member_is_refused_by_name_with_those_accepted(client: FlaskClient) -> None:
    answer = sent(client, b'{"name": "x", "volume": "4 L", "colour/~": 1}')
    assert answer.status_code == 422
    (entry,) = answer.json["errors"]
    assert entry["pointer"] == "/colour~1~0"
    assert "volume" in entry["accepted"]


@pytest.mark.parametrize(
    "content_type", ["text/plain", "application/x-www-form-urlencoded", "", "multipart/form-data"]
)
def test_other_content_is_answered_415(client: FlaskClient, content_type: str) -> None:
    answer = sent(client, b"{}", content_type=content_type)
    assert answer.status_code == 415
    assert answer.headers["Accept"] == "application/json"
    assert answer.json["type"] == "/problems/unsupported-media-type"


def test_compressed_body_is_answered_415(client: FlaskClient) -> None:
    assert sent(client, b"{}", **{"Content-Encoding": "gzip"}).status_code == 415


def test_body_over_the_limit_is_answered_413(client: FlaskClient) -> None:
    answer = sent(client, b'"' + b"x" * 10_000_000 + b'"')
    assert answer.status_code == 413
    assert answer.json["type"] == "/problems/too-large"


def test_body_over_the_limit_is_answered_413_without_content_length(client: FlaskClient) -> None:
    answer = client.post(
        "/v1/barrels",
        content_type="application/json",
        environ_overrides={
            "wsgi.input": _Untold(10_000_000),
            "wsgi.input_terminated": True,
            "HTTP_TRANSFER_ENCODING": "chunked",
        },
    )
    assert answer.status_code == 413


class _Untold(BytesIO):
    """A stream of blanks that does not tell its length beforehand."""

    def __init__(self, length: int) -> None:
        super().__init__(b" " * length)


@given(document=JSON)
def test_every_document_is_read_as_python_reads_it(document: Any) -> None:
    assert parse(json.dumps(document).encode()) == document


@given(document=st.dictionaries(st.text(max_size=8), JSON, max_size=5))
def test_canonical_form_does_not_depend_on_the_order_of_members(document: dict[str, Any]) -> None:
    turned = dict(reversed(document.items()))
    assert canonical(document) == canonical(turned)


@given(raw=st.binary(max_size=60) | st.text('[]{}":,01e.-nulltrue\\', max_size=60).map(str.encode))
def test_parsing_raises_nothing_but_problems(raw: bytes) -> None:
    with suppress(ProblemError):
        canonical(parse(raw))


def test_largest_accepted_number_can_be_written_again() -> None:
    assert canonical(parse(b"[1e308, 123456789012345678901234567890]"))
