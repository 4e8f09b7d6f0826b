from typing import Any

import pytest

from api.house import House
from wortwright.api import examples

SESSION = examples.SESSION


@pytest.fixture
def setup_id(house: House) -> str:
    made: str = house.setup()["id"]
    return made


def brewed(house: House, setup_id: str, gravity: float = 1.040, **changes: Any) -> str:
    """A closed brew with everything read; gives its path."""
    readings = [
        {"stage": "pre_boil", "volume": "27 L", "gravity": gravity},
        {"stage": "post_boil", "volume": "23.2 L"},
        {"stage": "fermenter", "volume": "22 L", "gravity": changes.pop("original", 1.0465)},
    ]
    body = {"state": "closed", "readings": readings, **changes}
    made: str = house.session(setup_id, **body)["id"]
    return f"/v1/sessions/{made}"


def by_name(figures: list[Any], name: str) -> Any:
    return next(one for one in figures if one["name"] == name)


@pytest.mark.parametrize("state", ["open", "closed"])
def test_an_open_and_a_closed_brew_are_reconciled(house: House, setup_id: str, state: str) -> None:
    for _ in range(2):
        brewed(house, setup_id)
    path = brewed(house, setup_id, state=state)
    answer = house.get(f"{path}/reconciliation")
    assert answer["other_sessions"] == 2
    assert answer["disagreements"] == []
    assert answer["detail"] == "The readings balance: none of them disagrees with the others."
    volume = by_name(answer["quantities"], "preboil_volume")
    assert volume["read"] == {"value": 27.0, "unit": "L"}
    ends = volume["interval_80"]
    assert ends["low"]["value"] < volume["mean"]["value"] < ends["high"]["value"]
    unread = by_name(answer["quantities"], "postboil_gravity")
    assert (unread["read"], unread["trust"]) == (None, None)


def test_the_reading_that_disagrees_is_named_in_the_units_of_the_caller(
    house: House, setup_id: str
) -> None:
    for _ in range(3):
        brewed(house, setup_id)
    readings = [
        {"stage": "pre_boil", "volume": "33 L", "gravity": 1.040},
        {"stage": "post_boil", "volume": "23.2 L"},
        {"stage": "fermenter", "volume": "22 L", "gravity": 1.0465},
    ]
    path = brewed(house, setup_id, readings=readings)
    metric = house.get(f"{path}/reconciliation?units=metric")
    (found,) = metric["disagreements"]
    assert found["name"] == "preboil_volume"
    assert found["detail"].startswith("the pre-boil volume is ")
    assert " L above what the " in found["detail"]
    assert metric["detail"].startswith("The pre-boil volume is ")
    american = house.get(f"{path}/reconciliation?units=us")
    assert " US gal above what the " in american["detail"]
    assert american["disagreements"][0]["read"]["unit"] == "US gal"


def test_it_is_said_what_would_tell_where_the_extract_was_lost(house: House, setup_id: str) -> None:
    for _ in range(3):
        brewed(house, setup_id)
    water = {"strike": None, "sparge": None}
    lost = house.get(
        f"{brewed(house, setup_id, 1.0345, original=1.040, water=water)}/reconciliation"
    )
    lost = lost["extract_lost"]
    assert lost["verdict"] == "cannot_tell"
    assert lost["short"] > 0.8
    assert lost["would_tell"] == "first_wort_gravity"
    assert "the gravity of the stirred mash, with the strike water would tell" in lost["detail"]


def test_with_nothing_read_there_is_nothing_to_reconcile(house: House, setup_id: str) -> None:
    session = house.session(setup_id, readings=[], water={})
    answer = house.ask("GET", f"/v1/sessions/{session['id']}/reconciliation")
    assert answer.status_code == 409
    assert "nothing to balance" in answer.json["detail"]


def test_a_brew_is_compared_with_the_one_before_it_or_with_any(house: House, setup_id: str) -> None:
    first = brewed(house, setup_id, brewed_at="2026-01-10T10:00:00Z")
    second = brewed(house, setup_id, 1.0445, original=1.0518, brewed_at="2026-02-10T10:00:00Z")
    third = brewed(house, setup_id, brewed_at="2026-03-10T10:00:00Z")
    before = house.get(f"{third}/comparison")
    assert before["other_id"] == second.rpartition("/")[2]
    named = house.get(f"{third}/comparison?other_id={first.rpartition('/')[2]}")
    assert named["other_id"] == first.rpartition("/")[2]
    assert named["detail"] == "Nothing differs beyond the noise of the readings."
    gravity = by_name(before["figures"], "fermenter_gravity")
    assert gravity["real"]
    assert gravity["difference"]["value"] == pytest.approx(-0.005, abs=0.0015)
    assert "mash efficiency" in before["detail"]
    grain = by_name(before["figures"], "grain")
    assert (grain["real"], grain["detail"]) == (False, "Grain: no difference.")


def test_the_first_brew_of_a_setup_needs_another_to_be_named(house: House, setup_id: str) -> None:
    only = brewed(house, setup_id)
    answer = house.ask("GET", f"{only}/comparison")
    assert answer.status_code == 409
    assert "other_id" in answer.json["detail"]


def test_brews_of_two_setups_of_one_brewer_are_compared(house: House, setup_id: str) -> None:
    here, there = brewed(house, setup_id), brewed(house, house.setup(name="Other")["id"])
    answer = house.get(f"{here}/comparison?other_id={there.rpartition('/')[2]}")
    assert len(answer["figures"]) > 12


def test_a_brew_of_another_brewer_is_not_there_to_compare_with(
    house: House, other_house: House, setup_id: str
) -> None:
    mine = brewed(house, setup_id)
    of_another_club = brewed(other_house, other_house.setup()["id"])
    bo = house.made("/v1/brewers", {"name": "Bo Weir"})["id"]
    of_another_brewer = brewed(house, house.setup(brewer_id=bo)["id"])
    for other in (of_another_club, of_another_brewer):
        answer = house.ask("GET", f"{mine}/comparison?other_id={other.rpartition('/')[2]}")
        assert answer.status_code == 404, answer.text


def test_a_lesson_tells_the_calibrations_before_and_after(house: House, setup_id: str) -> None:
    brewed(house, setup_id)
    before = house.get(f"/v1/setups/{setup_id}/calibration")
    path = brewed(house, setup_id, 1.037, original=1.043)
    after = house.get(f"/v1/setups/{setup_id}/calibration")
    brewed(house, setup_id)
    lesson = house.get(f"{path}/lesson")
    assert (lesson["number_before"], lesson["number_after"]) == (1, 2)
    told = by_name(lesson["constants"], "conversion")
    for which, known in (("before", before), ("after", after)):
        mean = by_name(known["constants"], "conversion")["mean"]
        assert told[which]["mean"] == mean
        assert told[which]["low_80"]["value"] < mean["value"] < told[which]["high_80"]["value"]
    strong = lesson["strong"]
    points = 1000.0 * (strong["gravity_after"]["value"] - strong["gravity_before"]["value"])
    assert strong["points"] == pytest.approx(points, abs=0.01)
    assert points < -0.5
    said = f"After this brew a strong beer is expected {abs(points):.1f} points lower"
    assert lesson["detail"].startswith(said)


def test_a_lesson_is_of_the_last_time_that_a_brew_was_counted(house: House, setup_id: str) -> None:
    path = brewed(house, setup_id)
    house.made(f"{path}/reopening", None)
    house.made(f"{path}/closing", None)
    lesson = house.get(f"{path}/lesson")
    assert (lesson["number_before"], lesson["number_after"]) == (2, 3)


def test_a_brew_that_does_not_count_taught_nothing(house: House, setup_id: str) -> None:
    path = brewed(house, setup_id, state="open")
    assert house.ask("GET", f"{path}/lesson").status_code == 409
    house.made(f"{path}/closing", None)
    house.made(f"{path}/setting-aside", {"reason": "Cracked hydrometer."})
    assert house.ask("GET", f"{path}/lesson").status_code == 409
