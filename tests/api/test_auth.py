from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from api.toy import toys
from wortwright.api.extensions import DATABASE
from wortwright.records.brewer import Brewer, Club, UnitSystem
from wortwright.settings import Settings
from wortwright.store.clock import now
from wortwright.usecases import keys
from wortwright.usecases.brewers import create_brewer
from wortwright.usecases.callers import KeyKind, read_key
from wortwright.usecases.clubs import create_club
from wortwright.usecases.keys import KeyAsked, caller_for, create_key, revoke_key
from wortwright.usecases.work import Work

SITE = "https://millrace.example"


@pytest.fixture
def app(make_app: Callable[..., Flask], settings: Settings) -> Flask:
    return make_app(settings, [toys])


@pytest.fixture
def work(app: Flask, club_key: str, settings: Settings) -> Work:
    database = app.extensions[DATABASE]
    return Work(database, caller_for(database, read_key(club_key, settings.pepper)))


@pytest.fixture
def mint(work: Work, settings: Settings) -> Callable[..., tuple[str, Any]]:
    """Mint a key of a brewer of the club; give its text and its row."""

    def made(kind: KeyKind, **asked: Any) -> tuple[str, Any]:
        brewer = create_brewer(work, Brewer("Ada", UnitSystem.US))
        key = KeyAsked(kind, "test", brewer.id, **asked)
        new = create_key(work, key, settings.pepper)
        return new.text, new.stored

    return made


def ask(client: FlaskClient, key: str, path: str = "/v1/coopers", **headers: str) -> Any:
    return client.get(path, headers={"Authorization": f"Bearer {key}", **headers})


def test_known_key_is_let_in(client: FlaskClient, club_key: str) -> None:
    assert ask(client, club_key).status_code == 200


@pytest.mark.parametrize("header", [None, "", "Bearer", "Bearer ", "Basic dXNlcjpwYXNz"])
def test_request_without_a_key_is_challenged(client: FlaskClient, header: str | None) -> None:
    headers = {} if header is None else {"Authorization": header}
    answer = client.get("/v1/coopers", headers=headers)
    assert answer.status_code == 401
    assert answer.headers["WWW-Authenticate"] == 'Bearer realm="wortwright"'


def changed(text: str, part: int) -> str:
    parts = text.split("_")
    parts[part] = parts[part][:-1] + ("0" if parts[part][-1] != "0" else "1")
    return "_".join(parts)


@pytest.mark.parametrize(
    "spoil",
    [
        lambda text: changed(text, 2),
        lambda text: changed(text, 3),
        lambda text: text[:-1],
        lambda text: text + "0",
        lambda text: text.upper(),
        lambda text: text.replace("ww_club", "ww_brewer"),
        lambda text: "x" * 5000,
        lambda text: "ww_club__",
    ],
)
def test_wrong_key_is_refused_without_saying_why(
    client: FlaskClient, club_key: str, spoil: Callable[[str], str]
) -> None:
    answer = ask(client, spoil(club_key))
    assert answer.status_code == 401
    assert "invalid_token" in answer.headers["WWW-Authenticate"]
    assert answer.json["detail"] == "The key is not known, has expired or was revoked."


def test_revoked_key_is_refused(
    client: FlaskClient, work: Work, mint: Callable[..., tuple[str, Any]]
) -> None:
    text, stored = mint(KeyKind.BREWER)
    path = f"/v1/coopers/{stored.brewer_id}"
    assert ask(client, text, path).status_code == 200
    revoke_key(work, stored.id)
    assert ask(client, text, path).status_code == 401


def test_expired_key_is_refused(
    client: FlaskClient, mint: Callable[..., tuple[str, Any]], monkeypatch: pytest.MonkeyPatch
) -> None:
    text, stored = mint(KeyKind.BREWER, expires_at=now() + timedelta(hours=1))
    path = f"/v1/coopers/{stored.brewer_id}"
    assert ask(client, text, path).status_code == 200
    monkeypatch.setattr(keys, "now", lambda: now() + timedelta(hours=2))
    assert ask(client, text, path).status_code == 401


def test_key_under_another_pepper_is_refused(
    make_app: Callable[..., Flask], settings: Settings, club_key: str
) -> None:
    other = make_app(replace(settings, pepper="another pepper, of another installation"), [toys])
    assert ask(other.test_client(), club_key).status_code == 401


def test_keys_and_cursors_outlive_a_change_of_pepper(
    make_app: Callable[..., Flask], settings: Settings, club_key: str, client: FlaskClient
) -> None:
    for name in ("Ada", "Bo"):
        headers = {"Authorization": f"Bearer {club_key}"}
        client.post("/v1/coopers", json={"name": name}, headers=headers)
    rest = ask(client, club_key, "/v1/coopers?limit=1").json["next"]
    later = replace(settings, pepper="the pepper after it" * 2, older_peppers=(settings.pepper,))
    changed_over = make_app(later, [toys]).test_client()
    assert ask(changed_over, club_key, rest).status_code == 200
    forgetful = make_app(replace(later, older_peppers=()), [toys]).test_client()
    assert ask(forgetful, club_key).status_code == 200
    assert ask(forgetful, club_key, rest).status_code == 400


def test_key_of_another_kind_is_answered_403(
    client: FlaskClient, mint: Callable[..., tuple[str, Any]]
) -> None:
    text, _ = mint(KeyKind.BREWER)
    answer = ask(client, text)
    assert answer.status_code == 403
    assert answer.json["detail"] == "A brewer key may not do this; a club key may."


def test_page_key_is_good_from_its_own_origin_only(
    client: FlaskClient, mint: Callable[..., tuple[str, Any]]
) -> None:
    text, stored = mint(KeyKind.PAGE, origins=frozenset({SITE}))
    path = f"/v1/coopers/{stored.brewer_id}"
    assert ask(client, text, path, Origin=SITE).status_code == 200
    assert ask(client, text, path, Origin="https://elsewhere.example").status_code == 403
    assert ask(client, text, path, Origin="null").status_code == 403
    assert ask(client, text, path).status_code == 403


def test_page_key_without_origins_is_held_to_those_of_the_installation(
    make_app: Callable[..., Flask], settings: Settings, mint: Callable[..., tuple[str, Any]]
) -> None:
    text, stored = mint(KeyKind.PAGE)
    path = f"/v1/coopers/{stored.brewer_id}"
    opened = make_app(replace(settings, allowed_origins=(SITE,)), [toys]).test_client()
    closed = make_app(settings, [toys]).test_client()
    assert ask(opened, text, path, Origin=SITE).status_code == 200
    assert ask(closed, text, path, Origin=SITE).status_code == 403


def test_brewer_is_answered_in_units_of_their_choice_unless_asked_otherwise(
    client: FlaskClient, mint: Callable[..., tuple[str, Any]]
) -> None:
    text, stored = mint(KeyKind.BREWER)
    path = f"/v1/coopers/{stored.brewer_id}"
    assert ask(client, text, path).headers["ETag"] == '"v1-us"'
    assert ask(client, text, f"{path}?units=metric").headers["ETag"] == '"v1-metric"'


def test_thing_of_another_club_is_not_found(
    client: FlaskClient, work: Work, settings: Settings, app: Flask
) -> None:
    brewer = create_brewer(work, Brewer("Ada"))
    _, other = create_club(app.extensions[DATABASE], Club("Tailrace"), settings.pepper)
    assert ask(client, other, f"/v1/coopers/{brewer.id}").status_code == 404


def test_too_many_wrong_keys_from_an_address_are_refused_even_if_one_is_right(
    make_app: Callable[..., Flask], settings: Settings, club_key: str
) -> None:
    app = make_app(replace(settings, failed_key_limit="3 per minute"), [toys])
    client = app.test_client()
    assert [ask(client, "wrong").status_code for _ in range(3)] == [401, 401, 401]
    answer = ask(client, club_key)
    assert answer.status_code == 429
    assert 1 <= int(answer.headers["Retry-After"]) <= 60
    elsewhere = {"REMOTE_ADDR": "192.0.2.7"}
    headers = {"Authorization": f"Bearer {club_key}"}
    fresh = client.get("/v1/coopers", headers=headers, environ_overrides=elsewhere)
    assert fresh.status_code == 200


def test_caller_is_never_shown_with_a_secret(club_key: str, settings: Settings) -> None:
    secret = club_key.rpartition("_")[2]
    presented = read_key(club_key, settings.pepper)
    assert secret not in repr(presented)
    assert presented.secret_hash not in repr(presented)
    assert settings.pepper not in repr(settings)
