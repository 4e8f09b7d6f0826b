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


WHOLE_BREW = [
    {"stage": "strike_water", "temperature": "71 degC"},
    {"stage": "mash_in", "temperature": "66.5 degC"},
    {"stage": "mash_end", "temperature": "63.5 degC"},
    {"stage": "pre_boil", "volume": "27 L", "gravity": 1.042},
    {"stage": "post_boil", "volume": "23 L", "gravity": 1.049},
    {"stage": "fermenter", "volume": "21 L", "gravity": 1.049},
    {"stage": "final", "gravity": 1.011},
    {"stage": "packaged", "volume": "19.5 L"},
]


def test_a_brew_that_is_written_down_in_full_teaches_every_constant(
    house: House, setup_id: str
) -> None:
    house.session(setup_id, readings=WHOLE_BREW, state="closed")
    known = house.get(f"/v1/setups/{setup_id}/calibration")
    # The example's setup mashes in its kettle, which the strike water has warmed already.
    assert {one["name"] for one in known["constants"] if one["session_count"] == 0} == {
        "vessel_heat"
    }
    [ale] = known["attenuation_by_yeast"]
    assert (ale["yeast"], ale["session_count"]) == ("English ale yeast", 1)
    # 1.049 to 1.011 is 77.6 %, where 72 % is stated.
    assert ale["prior_mean"] == {"value": 0.72, "unit": "fraction"}
    assert 0.72 < ale["mean"]["value"] < 0.776
    assert ale["sd"]["value"] < ale["prior_sd"]["value"]


def test_a_plan_expects_the_final_gravity_that_the_brews_had(house: House, setup_id: str) -> None:
    recipe = {
        "owner": "club",
        "name": "Lock Bitter",
        "volume": "20 L",
        "volume_at": "package",
        "original_gravity": 1.048,
        "mash": [{"temperature": "66 degC", "time": "60 min"}],
        "yeast": {"name": "English ale yeast", "apparent_attenuation": "72 %"},
        "grist": [{"name": "Pale ale malt", "mass": "4.4 kg"}],
    }
    asked = {
        "setup_id": setup_id,
        "recipe_id": house.made("/v1/recipes", recipe)["id"],
        "target": {"volume": "20 L", "volume_at": "package"},
    }
    before = house.made("/v1/scalings?store=false", asked)["plan"]
    for day in range(1, 9):
        brewed_at = f"2026-03-{day:02}T10:00:00Z"
        house.session(setup_id, brewed_at=brewed_at, readings=WHOLE_BREW, state="closed")
    after = house.made("/v1/scalings?store=false", asked)["plan"]
    final = [plan["forecast"]["final_gravity"] for plan in (before, after)]
    assert final[1]["mean"]["value"] < final[0]["mean"]["value"] - 0.001
    width = [
        one["interval_80"]["high"]["value"] - one["interval_80"]["low"]["value"] for one in final
    ]
    assert width[1] < 0.9 * width[0]
    # 1.5 L were left in the fermenter, where 1 L is usual: more wort for the same package.
    wort = [plan["water"]["fermenter"]["value"] for plan in (before, after)]
    assert 0.2 < wort[1] - wort[0] < 0.5
    # Three degrees were lost in the hour, where four are usual in a kettle.
    ends = [plan["temperatures"]["first_rest_ends"]["value"] for plan in (before, after)]
    assert ends[0] == pytest.approx(62.1, abs=0.05)
    assert 62.5 < ends[1] < 63.0


def test_constants_come_in_the_units_asked_for(house: House, setup_id: str) -> None:
    def boil_off(units: str) -> Any:
        known = house.get(f"/v1/setups/{setup_id}/calibration?units={units}")
        return next(one for one in known["constants"] if one["name"] == "boil_off")

    litres, gallons = boil_off("metric")["mean"], boil_off("us")["mean"]
    assert (litres["unit"], gallons["unit"]) == ("L/h", "US gal/h")
    # A US gallon is 3.785411784 L by definition; answers carry six digits.
    assert gallons["value"] * 3.785411784 == pytest.approx(litres["value"], rel=1e-5)


def test_the_forecast_at_a_point_has_its_intervals_and_what_they_are_made_of(house: House) -> None:
    setup = house.setup()
    house.session(setup["id"], state="closed")
    path = f"/v1/setups/{setup['id']}/calibration/forecast"
    usual = house.get(path)
    assert usual["number"] == 1
    assert usual["forecast"]["grain_load_kg_per_l"] == 0.22
    strong = house.get(f"{path}?grain_load_kg_per_l=0.40&potential_kg_per_l=0.30")["forecast"]
    assert strong["mean"]["value"] < usual["forecast"]["mean"]["value"]
    assert strong["outside_seen_range"] > usual["forecast"]["outside_seen_range"]
    # 0.30 kg/L is 26.96 degP, of which the table of Plato makes 1.1147.
    assert strong["potential_gravity"]["value"] == pytest.approx(1.1147, abs=0.0003)
    lows = [strong[f"interval_{share}"]["low"]["value"] for share in (95, 80, 50)]
    assert lows == sorted(lows)
    assert strong["interval_50"]["low"]["value"] < strong["mean"]["value"]
    for part in ("curve_log_sd", "brew_log_sd", "measurement_log_sd"):
        assert strong[part] > 0.0


def test_the_report_has_a_grid_over_grain_load_and_potential(house: House) -> None:
    grid = house.get(f"/v1/setups/{house.setup()['id']}/calibration/report")["grid"]
    points = {(one["grain_load_kg_per_l"], one["potential_kg_per_l"]) for one in grid}
    assert len(points) == len(grid) == 40
    assert len({load for load, _ in points}) == 10


@pytest.mark.parametrize(
    ("query", "accepted"),
    [
        ("grain_load_kg_per_l=0.7", None),
        ("grain_load_kg_per_l=x", None),
        ("grain_load_kg_per_l=0.3&potential_kg_per_l=0.4", "0.120 to 0.270 kg/L"),
    ],
)
def test_a_mash_that_cannot_be_is_refused_with_what_would_be_accepted(
    house: House, query: str, accepted: str | None
) -> None:
    path = f"/v1/setups/{house.setup()['id']}/calibration/forecast?{query}"
    answer = house.ask("GET", path)
    assert answer.status_code == 422
    if accepted:
        assert answer.json["errors"][0]["accepted"] == [accepted]
