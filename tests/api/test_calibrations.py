from typing import Any

import pytest

from api.house import House


@pytest.fixture
def setup_id(house: House) -> str:
    made: str = house.setup()["id"]
    return made


def brew(house: House, setup_id: str, day: int, gravity: float) -> Any:
    readings = [{"stage": "fermenter", "volume": "21 L", "gravity": gravity}]
    brewed_at = f"2026-03-{day:02}T10:00:00Z"
    return house.session(setup_id, brewed_at=brewed_at, readings=readings, state="closed")


def test_a_curve_falls_with_the_grain_load_before_any_session(house: House, setup_id: str) -> None:
    # design/calibration: zero sessions already give a forecast that falls with grain load.
    told = house.get(f"/v1/setups/{setup_id}/calibration/report")
    means = [point["mean"]["value"] for point in told["curve"]]
    assert means == sorted(means, reverse=True)
    assert means[0] > means[-1]
    assert told["sessions"] == []
    assert told["leave_one_out"] is None


def test_wider_intervals_hold_narrower_ones(house: House, setup_id: str) -> None:
    for point in house.get(f"/v1/setups/{setup_id}/calibration/report")["curve"]:
        lows = [point[f"interval_{p}"]["low"]["value"] for p in (95, 80, 50)]
        highs = [point[f"interval_{p}"]["high"]["value"] for p in (50, 80, 95)]
        inside = [*lows, point["mean"]["value"], *highs]
        assert inside == sorted(inside)
        assert 0 < inside[0]
        assert inside[-1] < 1


def test_a_report_sets_each_session_beside_the_curve(house: House, setup_id: str) -> None:
    made = [brew(house, setup_id, day, 1.044 + day / 1000)["id"] for day in (1, 2, 3)]
    told = house.get(f"/v1/setups/{setup_id}/calibration/report")
    assert {one["session_id"] for one in told["sessions"]} == set(made)
    assert told["leave_one_out"]["session_count"] == 3
    assert told["number"] == 3


def test_calibrations_are_listed_newest_first_and_stay(house: House, setup_id: str) -> None:
    for day in (1, 2):
        brew(house, setup_id, day, 1.045)
    path = f"/v1/setups/{setup_id}/calibrations"
    assert [one["number"] for one in house.get(path)["items"]] == [2, 1, 0]
    assert house.get(f"{path}/1")["session_count"] == 1
    assert house.ask("GET", f"{path}/3").status_code == 404


def test_constants_come_in_the_units_asked_for(house: House, setup_id: str) -> None:
    def boil_off(units: str) -> Any:
        known = house.get(f"/v1/setups/{setup_id}/calibration?units={units}")
        return next(one for one in known["constants"] if one["name"] == "boil_off")

    litres, gallons = boil_off("metric")["mean"], boil_off("us")["mean"]
    assert (litres["unit"], gallons["unit"]) == ("L/h", "US gal/h")
    # A US gallon is 3.785411784 L by definition; answers carry six digits.
    assert gallons["value"] * 3.785411784 == pytest.approx(litres["value"], rel=1e-5)
