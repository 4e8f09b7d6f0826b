"""Many at once: no write is lost, nothing happens twice, the posterior is the serial one."""

from collections import Counter
from typing import Any
from uuid import UUID

import pytest

from reliability.crowd import Club, assert_posterior_is_a_refit_from_scratch, at_once
from wortwright.api import examples
from wortwright.api.extensions import DATABASE
from wortwright.store.database import Database
from wortwright.usecases import work

WRITERS = 16


def statuses(answers: list[Any]) -> Counter[int]:
    return Counter(answer.status_code for answer in answers)


def calibrations_of(club: Club) -> int:
    number: int = club.get(f"/v1/setups/{club.setup_id}/calibration")["number"]
    return number


def refit_agrees(club: Club) -> int:
    return assert_posterior_is_a_refit_from_scratch(
        club.app.extensions[DATABASE], club.club_id, UUID(club.setup_id)
    )


def test_sixteen_sessions_closed_at_once_on_one_setup_all_teach_it(club: Club) -> None:
    gravities = [1.040 + number / 1000 for number in range(WRITERS)]
    made = [
        club.made("/v1/sessions", club.session_body(day=n + 1, gravity=gravity))["id"]
        for n, gravity in enumerate(gravities)
    ]
    before = calibrations_of(club)
    answers = at_once(WRITERS, lambda n: club.ask("POST", f"/v1/sessions/{made[n]}/closing"))
    assert statuses(answers) == {200: WRITERS}
    assert calibrations_of(club) == before + WRITERS
    assert refit_agrees(club) == WRITERS


def test_sixteen_writers_of_one_version_one_wins_and_the_others_are_told(club: Club) -> None:
    path = f"/v1/setups/{club.setup_id}"
    etag = club.ask("GET", path).headers["ETag"]
    body = {k: v for k, v in examples.SETUP.items() if k != "name"}

    def rename(number: int) -> Any:
        return club.ask("PUT", path, {**body, "name": f"Name {number}"}, If_Match=etag)

    answers = at_once(WRITERS, rename)
    assert statuses(answers) == {200: 1, 412: WRITERS - 1}
    winner = next(answer for answer in answers if answer.status_code == 200)
    assert club.get(path) == winner.json
    assert calibrations_of(club) == 1


def test_sixteen_readings_added_at_once_to_one_session_are_all_there(club: Club) -> None:
    session = club.made("/v1/sessions", club.session_body())
    path = f"/v1/sessions/{session['id']}/readings"

    def add(number: int) -> Any:
        return club.ask("POST", path, {"stage": "pre_boil", "volume": f"{20 + number} L"})

    answers = at_once(WRITERS, add)
    assert statuses(answers) == {201: WRITERS}
    stored = club.get(f"/v1/sessions/{session['id']}")["readings"]
    added = sorted(one["volume"]["value"] for one in stored if one["stage"] == "pre_boil")
    assert added == [20.0 + number for number in range(WRITERS)]


def test_two_closes_of_one_session_one_closes_it_and_the_other_is_told(club: Club) -> None:
    for day in range(1, 6):
        session = club.made("/v1/sessions", club.session_body(day=day))
        path = f"/v1/sessions/{session['id']}/closing"
        assert statuses(at_once(2, lambda _, path=path: club.ask("POST", path))) == {200: 1, 409: 1}
        assert calibrations_of(club) == day
    assert refit_agrees(club) == 5


def test_two_sends_of_one_close_are_answered_alike(club: Club) -> None:
    session = club.made("/v1/sessions", club.session_body())
    path = f"/v1/sessions/{session['id']}/closing"

    def close(_: int) -> Any:
        while (answer := club.ask("POST", path, Idempotency_Key="one")).status_code == 409:
            assert answer.json["type"] == "/problems/idempotency-key-busy"
        return answer

    first, second = at_once(2, close)
    assert first.json == second.json
    assert Counter("Idempotency-Replayed" in one.headers for one in (first, second)) == {
        True: 1,
        False: 1,
    }
    assert calibrations_of(club) == 1


def test_one_request_sent_sixteen_times_at_once_takes_effect_once(club: Club) -> None:
    body = {"setup_id": club.setup_id, "recipe_id": club.recipe_id}

    def scale(_: int) -> Any:
        return club.ask("POST", "/v1/scalings", body, Idempotency_Key="one")

    answers = at_once(WRITERS, scale)
    assert set(statuses(answers)) <= {201, 409}
    for busy in (one for one in answers if one.status_code == 409):
        assert busy.json["type"] == "/problems/idempotency-key-busy"
        assert int(busy.headers["Retry-After"]) >= 1
    made = {one.json["id"] for one in answers if one.status_code == 201}
    assert made == {scale(0).json["id"]}
    assert [one["id"] for one in club.get("/v1/scalings")["items"]] == list(made)


def test_a_setup_deleted_while_sessions_are_added_leaves_no_orphan(club: Club) -> None:
    path = f"/v1/setups/{club.setup_id}"
    etag = club.ask("GET", path).headers["ETag"]

    def act(number: int) -> Any:
        if number == 0:
            return club.ask("DELETE", path, If_Match=etag)
        return club.ask("POST", "/v1/sessions", club.session_body(day=number, state="closed"))

    deleted, *added = at_once(8, act)
    stored = club.get("/v1/sessions")["items"]
    if deleted.status_code == 204:
        assert statuses(added) == {404: 7}
        assert stored == []
    else:
        assert deleted.status_code == 409
        assert statuses(added) == {201: 7}
        assert refit_agrees(club) == len(stored) == 7


@pytest.mark.parametrize("broken", ["_keep", "_raise_if_answered"])
def test_effect_and_kept_answer_are_one_transaction(
    club: Club, monkeypatch: pytest.MonkeyPatch, broken: str
) -> None:
    def fail(*_: Any) -> None:
        raise RuntimeError("the power is gone")

    body = club.session_body(state="closed")
    with monkeypatch.context() as power_cut:
        power_cut.setattr(work, broken, fail)
        answer = club.ask("POST", "/v1/sessions", body, Idempotency_Key="one")
        assert answer.status_code == 500
    assert club.get("/v1/sessions")["items"] == []
    assert calibrations_of(club) == 0
    again = club.ask("POST", "/v1/sessions", body, Idempotency_Key="one")
    assert again.status_code == 201
    assert "Idempotency-Replayed" not in again.headers


def test_a_commit_that_fails_leaves_neither_effect_nor_answer(
    club: Club, database: Database, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The fault strikes after everything was sent, at the commit itself."""
    serving: Database = club.app.extensions[DATABASE]
    body = club.session_body(state="closed")
    real = serving.engine.dialect.do_commit

    def fail(_: Any) -> None:
        raise RuntimeError("the power is gone")

    with monkeypatch.context() as power_cut:
        power_cut.setattr(serving.engine.dialect, "do_commit", fail)
        assert club.ask("POST", "/v1/sessions", body, Idempotency_Key="one").status_code == 500
    assert serving.engine.dialect.do_commit == real
    assert club.get("/v1/sessions")["items"] == []
    again = club.ask("POST", "/v1/sessions", body, Idempotency_Key="one")
    assert (again.status_code, "Idempotency-Replayed" in again.headers) == (201, False)
    assert refit_agrees(club) == 1
