"""Schedules as JSON and as a calendar, which another library reads."""

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
import vobject

from api.house import House
from wortwright.api import examples

START = "2026-05-02T09:00:00Z"
BEGINS = datetime(2026, 5, 2, 9, tzinfo=UTC)


@pytest.fixture
def scaling(house: House) -> Any:
    setup = house.setup()
    body = {"setup_id": setup["id"], "recipe": examples.RECIPE, "target": {"volume": "9 L"}}
    return house.made("/v1/scalings", body)


def moment(text: str) -> datetime:
    return datetime.fromisoformat(text)


def test_a_scaling_is_laid_out_from_the_strike_water_to_the_first_glass(
    house: House, scaling: Any
) -> None:
    made = house.get(f"/v1/scalings/{scaling['id']}/schedule?starts_at={START}")
    steps = {step["code"]: step for step in made["steps"]}
    assert made["steps"][0]["code"] == "heat_strike_water"
    assert moment(made["steps"][0]["at"]) == BEGINS
    assert made["steps"][-1]["code"] == "ready"
    assert made["ready_at"] == steps["ready"]["at"]
    # A barley wine is racked and aged, within a range and not on a day.
    rack, package = steps["rack"], steps["package"]
    assert moment(rack["earliest_at"]) < moment(rack["at"]) < moment(rack["latest_at"])
    aged = moment(package["at"]) - moment(rack["at"])
    assert aged > timedelta(days=60)
    assert steps["boil"]["earliest_at"] is None
    chilled = moment(steps["chill"]["at"]) - moment(steps["boil"]["at"])
    assert chilled == timedelta(minutes=90)


def test_without_a_start_the_session_brewed_from_it_tells(house: House, scaling: Any) -> None:
    path = f"/v1/scalings/{scaling['id']}/schedule"
    answer = house.ask("GET", path)
    assert answer.status_code == 422
    assert answer.json["errors"][0]["parameter"] == "starts_at"
    house.session(scaling["computed_from"]["setup_id"], scaling_id=scaling["id"])
    assert moment(house.get(path)["steps"][0]["at"]) == moment(examples.SESSION["brewed_at"])


@pytest.mark.parametrize("start", ["tomorrow", "2026-05-02", "2026-05-02T09:00:00"])
def test_a_start_that_is_no_moment_is_refused(house: House, scaling: Any, start: str) -> None:
    path = f"/v1/scalings/{scaling['id']}/schedule?starts_at={start}"
    assert house.ask("GET", path).status_code == 422


def test_the_calendar_holds_every_step_as_another_library_reads_it(
    house: House, scaling: Any
) -> None:
    path = f"/v1/scalings/{scaling['id']}/schedule"
    steps = house.get(f"{path}?starts_at={START}")["steps"]
    answer = house.ask("GET", f"{path}.ics?starts_at={START}")
    assert answer.status_code == 200
    assert answer.mimetype == "text/calendar"
    calendar = vobject.readOne(answer.text)
    events = calendar.vevent_list
    assert len(events) == len(steps)
    for event, step in zip(events, steps, strict=True):
        assert event.dtstart.value == moment(step["at"])
        assert event.dtstart.value < event.dtend.value
        assert step["detail"] in event.summary.value
    assert len({event.uid.value for event in events}) == len(events)
    # CRLF and lines of at most 75 octets: RFC 5545, 3.1.
    lines = answer.data.split(b"\r\n")
    assert b"\n" not in b"".join(lines)
    assert max(map(len, lines)) <= 75


def test_a_calendar_read_again_moves_its_events_and_doubles_none(
    house: House, scaling: Any
) -> None:
    path = f"/v1/scalings/{scaling['id']}/schedule.ics"
    first, later = (
        house.ask("GET", f"{path}?starts_at={start}").data
        for start in (START, "2026-05-09T09:00:00Z")
    )

    def uids(data: bytes) -> list[str]:
        return [event.uid.value for event in vobject.readOne(data.decode()).vevent_list]

    assert uids(first) == uids(later)
    assert first != later
    assert house.ask("GET", f"{path}?starts_at={START}").data == first


def test_whoever_holds_a_link_to_the_sheet_may_subscribe(house: House, scaling: Any) -> None:
    key = house.made(f"/v1/scalings/{scaling['id']}/links", {})["text"]
    path = f"/v1/scalings/{scaling['id']}/schedule.ics?starts_at={START}&key={key}"
    answer = house.client.get(path)
    assert answer.status_code == 200
    assert answer.data.startswith(b"BEGIN:VCALENDAR")
