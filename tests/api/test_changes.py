"""Changes of a setup over the API: recorded, suspected, answered."""

from typing import Any

import pytest

from api.house import House, pointers


@pytest.fixture
def setup_id(house: House) -> str:
    made: str = house.setup()["id"]
    return made


def brew(house: House, setup_id: str, day: str, gravity: float) -> Any:
    after = 1.0 + 26.0 / 22.0 * (gravity - 1.0)
    return house.session(
        setup_id,
        brewed_at=f"{day}T10:00:00Z",
        grist=[{"name": "Pale ale malt", "mass": "5 kg"}],
        planned_preboil_volume="26 L",
        water={"strike": "29.5 L"},
        boil_time="60 min",
        readings=[
            {"stage": "pre_boil", "volume": "26 L", "gravity": gravity},
            {"stage": "post_boil", "volume": "22 L", "gravity": round(after, 4)},
        ],
        state="closed",
    )


def calibration(house: House, setup_id: str) -> Any:
    return house.get(f"/v1/setups/{setup_id}/calibration")


@pytest.fixture
def changed_silently(house: House, setup_id: str) -> str:
    for month in range(1, 9):
        brew(house, setup_id, f"2025-{month:02}-05", 1.0400 + 0.0005 * (month % 2))
    for month in range(9, 13):
        brew(house, setup_id, f"2025-{month:02}-05", 1.0365)
    return setup_id


def test_a_recorded_change_is_part_of_the_setup_and_loosens_its_calibration(
    house: House, setup_id: str
) -> None:
    before = calibration(house, setup_id)
    change = {"on": "2026-05-02", "what": "kettle", "note": "A wider one"}
    changed = house.made(f"/v1/setups/{setup_id}/changes", change)
    assert changed["changes"] == [change]
    assert house.get(f"/v1/setups/{setup_id}")["changes"] == [change]
    assert calibration(house, setup_id)["number"] == before["number"] + 1


def test_a_change_may_be_taken_back(house: House, setup_id: str) -> None:
    house.made(f"/v1/setups/{setup_id}/changes", {"on": "2026-05-02", "what": "bag"})
    answer = house.ask("GET", f"/v1/setups/{setup_id}")
    kept = ("name", "lauter_method", "vessels", "constants", "runnings", "grain_held_by")
    body = {name: answer.json[name] for name in kept} | {"changes": []}
    headers = {"If_Match": answer.headers["ETag"]}
    assert house.ask("PUT", f"/v1/setups/{setup_id}", body, **headers).status_code == 200
    assert house.get(f"/v1/setups/{setup_id}")["changes"] == []


@pytest.mark.parametrize(
    ("body", "named"),
    [
        ({"what": "mill"}, "/on"),
        ({"on": "2026-05-02"}, "/what"),
        ({"on": "2 May 2026", "what": "mill"}, "/on"),
        ({"on": "20260502", "what": "mill"}, "/on"),
        ({"on": "2026-02-30", "what": "mill"}, "/on"),
        ({"on": 20260502, "what": "mill"}, "/on"),
        ({"on": "2026-05-02", "what": "weather"}, "/what"),
        ({"on": "2026-05-02", "what": "mill", "because": "x"}, "/because"),
    ],
)
def test_a_wrong_change_is_refused_by_its_field(
    house: House, setup_id: str, body: Any, named: str
) -> None:
    answer = house.ask("POST", f"/v1/setups/{setup_id}/changes", body)
    assert answer.status_code == 422
    assert pointers(answer) == [named]
    assert house.get(f"/v1/setups/{setup_id}")["changes"] == []


def test_more_changes_than_a_setup_may_hold_are_refused(house: House) -> None:
    many = [{"on": "2026-05-02", "what": "mill", "note": ""}] * 100
    setup_id = house.setup(changes=many)["id"]
    answer = house.ask(
        "POST", f"/v1/setups/{setup_id}/changes", {"on": "2026-05-03", "what": "mill"}
    )
    assert answer.status_code == 409
    assert len(house.get(f"/v1/setups/{setup_id}")["changes"]) == 100


def test_a_change_that_nobody_recorded_is_pointed_out(house: House, changed_silently: str) -> None:
    (suspected,) = calibration(house, changed_silently)["suspected_changes"]
    assert suspected["on"] == "2025-09-05"
    assert suspected["constant"] == "conversion"
    assert suspected["efficiency_change"]["value"] < 0
    assert "record the change with its day" in suspected["reason"]


@pytest.mark.parametrize(
    "answer",
    [{"on": "2025-09-01", "what": "mill"}, {"on": "2025-12-31", "what": "nothing"}],
    ids=["it changed", "nothing changed"],
)
def test_what_the_brewer_answers_ends_the_suspicion(
    house: House, changed_silently: str, answer: Any
) -> None:
    house.made(f"/v1/setups/{changed_silently}/changes", answer)
    assert calibration(house, changed_silently)["suspected_changes"] == []


def test_the_page_of_the_calibration_asks_about_the_change(
    house: House, changed_silently: str
) -> None:
    page = house.ask("GET", f"/v1/setups/{changed_silently}/calibration/page").text
    assert "A change that nobody wrote down?" in page
    assert "From the brew of 2025-09-05 on" in page
