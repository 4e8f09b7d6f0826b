from typing import Any

import pytest

from api.house import House, changed, pointers
from wortwright.api import examples

SESSION = examples.SESSION


@pytest.fixture
def setup_id(house: House) -> str:
    made: str = house.setup()["id"]
    return made


def number_of(house: House, setup_id: str) -> int:
    number: int = house.get(f"/v1/setups/{setup_id}/calibration")["number"]
    return number


def test_a_session_comes_back_as_it_was_written_down(house: House, setup_id: str) -> None:
    made = house.session(setup_id)
    assert house.get(f"/v1/sessions/{made['id']}") == made
    assert made["brewed_at"] == "2026-03-07T10:00:00Z"
    assert made["water"]["strike"] == {"value": 30.0, "unit": "L"}
    assert made["readings"][1]["gravity"] == {"value": 1.046, "unit": "SG"}
    assert (made["state"], made["setup_id"]) == ("open", setup_id)


def test_times_are_told_in_utc(house: House, setup_id: str) -> None:
    made = house.session(setup_id, brewed_at="2026-03-07T11:00:00+01:00")
    assert made["brewed_at"] == "2026-03-07T10:00:00Z"


def test_an_open_session_teaches_nothing(house: House, setup_id: str) -> None:
    house.session(setup_id)
    assert number_of(house, setup_id) == 0


def test_closing_teaches_and_tells_what_changed(house: House, setup_id: str) -> None:
    session = house.session(setup_id)
    learnt = house.made(f"/v1/sessions/{session['id']}/closing", None)
    assert learnt["session"]["state"] == "closed"
    assert learnt["calibration"]["number"] == 1
    assert learnt["calibration"]["session_ids"] == [session["id"]]
    assert learnt["calibration_before"]["number"] == 0
    assert house.get(f"/v1/setups/{setup_id}/calibration") == learnt["calibration"]


def test_a_session_made_closed_teaches_at_once(house: House, setup_id: str) -> None:
    session = house.session(setup_id, state="closed")
    known = house.get(f"/v1/setups/{setup_id}/calibration")
    assert (known["number"], known["session_ids"]) == (1, [session["id"]])


def test_setting_aside_forgets_and_reopening_does_not_bring_back(
    house: House, setup_id: str
) -> None:
    session = house.session(setup_id, state="closed")
    path = f"/v1/sessions/{session['id']}"
    aside = house.made(f"{path}/setting-aside", {"reason": "Cracked hydrometer."})
    assert aside["session"]["set_aside_because"] == "Cracked hydrometer."
    assert aside["calibration"]["session_ids"] == []
    reopened = house.made(f"{path}/reopening", None)
    assert reopened["session"]["state"] == "open"
    assert reopened["session"]["set_aside_because"] is None
    assert reopened["calibration_before"] is None


def test_what_no_session_taught_is_as_before_any(house: House, setup_id: str) -> None:
    before = house.get(f"/v1/setups/{setup_id}/calibration")
    session = house.session(setup_id, state="closed")
    house.made(f"/v1/sessions/{session['id']}/setting-aside", {"reason": "A test."})
    after = house.get(f"/v1/setups/{setup_id}/calibration")
    assert after["constants"] == before["constants"]


def test_a_reading_added_late_to_a_closed_session_teaches(house: House, setup_id: str) -> None:
    session = house.session(setup_id, state="closed")
    path = f"/v1/sessions/{session['id']}/readings"
    changed_session = house.made(path, {"stage": "final", "gravity": 1.012})
    assert changed_session["readings"][-1]["stage"] == "final"
    assert number_of(house, setup_id) == 2


def test_deleting_a_closed_session_forgets_it(house: House, setup_id: str) -> None:
    session = house.session(setup_id, state="closed")
    path = f"/v1/sessions/{session['id']}"
    assert house.ask("DELETE", path, If_Match='"v1"').status_code == 204
    assert house.get(f"/v1/setups/{setup_id}/calibration")["session_ids"] == []


@pytest.mark.parametrize(
    ("state", "act"), [("closed", "closing"), ("set_aside", "closing"), ("open", "reopening")]
)
def test_what_the_state_does_not_allow_is_a_conflict(
    house: House, setup_id: str, state: str, act: str
) -> None:
    reason = "A test." if state == "set_aside" else None
    session = house.session(setup_id, state=state, set_aside_because=reason)
    answer = house.ask("POST", f"/v1/sessions/{session['id']}/{act}")
    assert answer.status_code == 409
    assert house.get(f"/v1/sessions/{session['id']}") == session


def test_a_session_holds_a_hundred_readings_and_no_more(house: House, setup_id: str) -> None:
    full = [{"stage": "mid_boil", "gravity": 1.04}] * 100
    session = house.session(setup_id, readings=full)
    path = f"/v1/sessions/{session['id']}"
    assert house.ask("POST", f"{path}/readings", full[0]).status_code == 409
    assert len(house.get(path)["readings"]) == 100


def test_replacing_a_session_replaces_its_state_and_what_it_teaches(
    house: House, setup_id: str
) -> None:
    session = house.session(setup_id)
    path = f"/v1/sessions/{session['id']}"
    closed = {**SESSION, "state": "closed"}
    assert house.ask("PUT", path, closed, If_Match='"v1"').json["state"] == "closed"
    assert number_of(house, setup_id) == 1
    assert house.ask("PUT", path, closed, If_Match='"v1"').status_code == 412
    assert number_of(house, setup_id) == 1


@pytest.mark.parametrize(
    ("path", "value", "pointer"),
    [
        ("/brewed_at", "2026-03-07T10:00:00", "/brewed_at"),
        ("/brewed_at", "yesterday", "/brewed_at"),
        ("/grist", [], "/grist"),
        ("/grist/0", {"name": "Pale ale malt"}, "/grist/0/mass"),
        ("/grist/0", {"name": "Pale ale malt", "mass": "1 kg", "share": "9 %"}, "/grist/0/share"),
        ("/planned_preboil_volume", "0 L", "/planned_preboil_volume"),
        ("/water/strike", "-1 L", "/water/strike"),
        ("/boil_time", "10.5 h", "/boil_time"),
        ("/readings/0", {"stage": "first_wort"}, "/readings/0"),
        ("/readings/0/stage", "tea_time", "/readings/0/stage"),
        ("/readings/0/gravity", 1.3, "/readings/0/gravity"),
        ("/readings/0/ph", 1, "/readings/0/ph"),
        ("/state", "paused", "/state"),
        ("/state", "set_aside", "/set_aside_because"),
        ("/set_aside_because", "It was open.", "/set_aside_because"),
        ("/trusted_because", "It is open.", "/trusted_because"),
    ],
)
def test_what_is_refused_is_named_and_nothing_is_stored(
    house: House, setup_id: str, path: str, value: Any, pointer: str
) -> None:
    body = {**SESSION, "setup_id": setup_id, "set_aside_because": None}
    body["trusted_because"] = None
    answer = house.ask("POST", "/v1/sessions", changed(body, path, value))
    assert answer.status_code == 422
    assert pointers(answer) == [pointer]
    assert house.get("/v1/sessions")["items"] == []


def test_sessions_are_listed_by_setup_and_by_state(house: House, setup_id: str) -> None:
    other = house.setup(name="Old kettle")["id"]
    here = house.session(setup_id)["id"]
    closed = house.session(setup_id, state="closed")["id"]
    house.session(other)

    def listed(query: str) -> list[str]:
        return [one["id"] for one in house.get(f"/v1/sessions?{query}")["items"]]

    assert listed(f"setup_id={setup_id}") == [closed, here]
    assert listed(f"setup_id={setup_id}&state=closed") == [closed]
    assert len(listed("limit=10")) == 3


def test_a_page_key_adds_readings_and_does_no_more(house: House, setup_id: str) -> None:
    session = house.session(setup_id)
    page = house.brewer_key("page", origins=["https://club.example"])
    path, origin = f"/v1/sessions/{session['id']}", {"Origin": "https://club.example"}
    added = house.ask("POST", f"{path}/readings", examples.READING, key=page, **origin)
    assert added.status_code == 201
    assert house.ask("POST", f"{path}/closing", key=page, **origin).status_code == 403
    assert house.ask("PUT", path, SESSION, key=page, If_Match='"v2"', **origin).status_code == 403


def test_a_reading_sent_twice_is_added_once(house: House, setup_id: str) -> None:
    session = house.session(setup_id)
    path = f"/v1/sessions/{session['id']}/readings"
    first = house.ask("POST", path, examples.READING, Idempotency_Key="reading-1")
    again = house.ask("POST", path, examples.READING, Idempotency_Key="reading-1")
    assert again.json == first.json
    count = len(house.get(f"/v1/sessions/{session['id']}")["readings"])
    assert count == len(session["readings"]) + 1


def test_a_session_that_is_only_checked_is_answered_as_written_and_not_stored(
    house: House, setup_id: str
) -> None:
    body = {**SESSION, "setup_id": setup_id, "state": "closed"}
    answer = house.ask("POST", "/v1/sessions?store=false", body)
    assert answer.status_code == 200
    assert house.get("/v1/sessions")["items"] == []
    assert number_of(house, setup_id) == 0
    stored = house.made("/v1/sessions", body)
    assert answer.json == {name: stored[name] for name in answer.json}


def test_a_check_refuses_what_storing_refuses(house: House, setup_id: str) -> None:
    body = {**SESSION, "setup_id": setup_id}
    for wrong in (
        changed(body, "/grist/0/mass", "4.5"),
        changed(body, "/setup_id", "019a0000-0000-7000-8000-000000000001"),
        changed(body, "/scaling_id", "019a0000-0000-7000-8000-000000000001"),
    ):
        checked, stored = (
            house.ask("POST", f"/v1/sessions{query}", wrong) for query in ("?store=false", "")
        )
        assert checked.status_code == stored.status_code >= 400
        assert checked.json["detail"] == stored.json["detail"]


def doubted(house: House, setup_id: str) -> str:
    """A closed session that the three others contradict; gives its path."""
    for gravity in (1.0460, 1.0465, 1.0455):
        readings = [{"stage": "pre_boil", "volume": "27 L", "gravity": gravity}]
        house.session(setup_id, state="closed", readings=readings)
    readings = [
        {"stage": "pre_boil", "volume": "27 L", "gravity": 1.060},
        {"stage": "fermenter", "volume": "22 L", "gravity": 1.053},
    ]
    odd = house.session(setup_id, state="closed", readings=readings)
    suspects = house.get(f"/v1/setups/{setup_id}/calibration")["suspects"]
    assert odd["id"] in [one["session_id"] for one in suspects]
    return f"/v1/sessions/{odd['id']}"


def test_a_doubt_is_overruled_and_taken_back(house: House, setup_id: str) -> None:
    path = doubted(house, setup_id)
    before = house.get(f"/v1/setups/{setup_id}/calibration")
    trusted = house.made(f"{path}/trusting", {"reason": "Read twice."})
    assert trusted["session"]["trusted_because"] == "Read twice."
    assert trusted["calibration"]["suspects"] == []
    assert trusted["calibration"]["constants"] != before["constants"]
    doubted_again = house.made(f"{path}/doubting", None)
    assert doubted_again["session"]["trusted_because"] is None
    assert doubted_again["calibration"]["suspects"] == before["suspects"]
    assert doubted_again["calibration"]["constants"] == before["constants"]


def test_everything_that_is_done_with_a_session_is_recorded(house: House, setup_id: str) -> None:
    session = house.session(setup_id)
    path = f"/v1/sessions/{session['id']}"
    assert session["events"] == []
    house.made(f"{path}/closing", None)
    house.made(f"{path}/trusting", {"reason": "Read twice."})
    house.made(f"{path}/setting-aside", {"reason": "Cracked hydrometer."})
    house.made(f"{path}/reopening", None)
    # To write it anew forgets nothing, and records what that does.
    now = house.ask("GET", path)
    body = {**SESSION, "state": "closed", "trusted_because": "New hydrometer."}
    house.ask("PUT", path, body, If_Match=now.headers["ETag"])
    house.made(f"{path}/doubting", None)
    events = house.get(path)["events"]
    assert [(one["act"], one["reason"]) for one in events] == [
        ("closed", None),
        ("trusted", "Read twice."),
        ("set_aside", "Cracked hydrometer."),
        ("doubted", None),
        ("reopened", None),
        ("closed", None),
        ("trusted", "New hydrometer."),
        ("doubted", None),
    ]
    moments = [one["at"] for one in events]
    assert moments == sorted(moments)


def test_a_session_that_is_made_closed_has_that_on_record(house: House, setup_id: str) -> None:
    session = house.session(setup_id, state="closed")
    assert [one["act"] for one in session["events"]] == ["closed"]


@pytest.mark.parametrize("act", ["trusting", "doubting"])
def test_only_what_is_doubted_is_trusted(house: House, setup_id: str, act: str) -> None:
    session = house.session(setup_id)
    body = {"reason": "A test."} if act == "trusting" else None
    assert house.ask("POST", f"/v1/sessions/{session['id']}/{act}", body).status_code == 409
    assert house.get(f"/v1/sessions/{session['id']}") == session
