"""The kettle log through the service; what it corrects is carried out on a pot of wort."""

import math
from typing import Any

import pytest

from api.house import House, pointers
from planning.kit import bisect, pot_of
from wortwright.api import examples

BITTER = {
    **examples.RECIPE,
    "name": "Weir Bitter",
    "original_gravity": 1.050,
    "final_gravity": 1.012,
    "efficiency": None,
    "bitterness": None,
    "boil_time": "60 min",
    "grist": [{"name": "Pale ale malt", "mass": "4.6 kg"}],
    "hop_bill": [
        {"name": "Challenger", "mass": "35 g", "alpha": "8 %", "moment": "boil", "time": "60 min"}
    ],
}
DRY_EXTRACT = 0.98 * 0.97  # extract per kilogram of dry malt extract, as the plan counts it


@pytest.fixture
def brew(house: House) -> dict[str, Any]:
    """A session brewed from a scaling, with the plan and the path of its readings."""
    setup = house.setup()
    scaling = house.made(
        "/v1/scalings",
        {"setup_id": setup["id"], "recipe": BITTER, "target": {"volume": "18 L"}},
    )
    session = house.session(setup["id"], scaling_id=scaling["id"], readings=[])
    return {"session": session, "plan": scaling["plan"], "path": f"/v1/sessions/{session['id']}"}


def read(house: House, brew: dict[str, Any], **reading: Any) -> Any:
    return house.made(f"{brew['path']}/readings", reading)


def preboil(brew: dict[str, Any]) -> tuple[float, float]:
    """Volume and gravity that the plan expects before the boil."""
    plan = brew["plan"]
    gravity = plan["forecast"]["preboil_gravity"]["mean"]["value"]
    return plan["water"]["preboil"]["value"], gravity


def mean(forecast: Any) -> float:
    value: float = forecast["mean"]["value"]
    return value


def width(forecast: Any) -> float:
    ends = forecast["interval_80"]
    wide: float = ends["high"]["value"] - ends["low"]["value"]
    return wide


def test_a_reading_is_answered_corrected_with_the_outlook_and_is_kept(
    house: House, brew: dict[str, Any]
) -> None:
    litres, gravity = preboil(brew)
    # Water at 65 degC takes 1.0180 of its room at 20 degC (Kell 1975, by density 0.98055).
    hot = litres * 0.99820 / 0.98055
    made = read(
        house,
        brew,
        stage="pre_boil",
        volume=f"{hot:.4f} L",
        volume_temperature="65 degC",
        gravity=round(gravity, 5),
    )
    assert made["corrected"]["volume"]["value"] == pytest.approx(litres, abs=0.01)
    assert made["corrected"]["gravity"]["value"] == pytest.approx(gravity, abs=2e-5)
    assert made["readings"][-1]["volume"]["value"] == pytest.approx(hot, abs=0.001)
    log = made["log"]
    assert log["stage"] == "pre_boil"
    assert log["on_target"]
    assert mean(log["outlook"]["original_gravity"]) == pytest.approx(1.050, abs=5e-4)
    planned = brew["plan"]["forecast"]["original_gravity"]
    assert 0.0 < width(log["outlook"]["original_gravity"]) < width(planned)
    again = house.get(f"{brew['path']}/outlook")
    assert again["log"] == log
    assert again["corrected"] == [made["corrected"]]
    assert again["session_id"] == brew["session"]["id"]


def test_every_correction_ends_on_target_in_the_kettle(house: House, brew: dict[str, Any]) -> None:
    litres, gravity = preboil(brew)
    low = gravity - 0.006
    log = read(house, brew, stage="pre_boil", volume=f"{litres:.4f} L", gravity=low)["log"]
    assert not log["on_target"]
    kinds = {correction["kind"] for correction in log["corrections"]}
    assert {"boil_longer", "dry_extract"} <= kinds
    assert "top_up" not in kinds
    for correction in log["corrections"]:
        if correction["kind"] == "hops":
            continue
        pot = pot_of(low, litres).with_extract(correction["dry_extract"]["value"] * DRY_EXTRACT)
        left = correction["boil_down_to"]["value"]
        full = pot
        pot = full.boiled(bisect(lambda gone: left - full.boiled(gone).litres, 0.0, 20.0))  # noqa: B023
        pot = pot.with_water(correction["top_up"]["value"])
        assert pot.gravity == pytest.approx(1.050, abs=5e-4), correction["kind"]
        assert mean(correction["end"]["original_gravity"]) == pytest.approx(1.050, abs=2e-4)


def test_what_the_brewer_will_not_do_is_not_advised(house: House) -> None:
    setup = house.setup()
    body = {
        "setup_id": setup["id"],
        "recipe": BITTER,
        "target": {"volume": "18 L"},
        "preferences": {"no_extract": True, "max_boil": "60 min"},
    }
    scaling = house.made("/v1/scalings", body)
    session = house.session(setup["id"], scaling_id=scaling["id"], readings=[])
    brew = {"path": f"/v1/sessions/{session['id']}", "plan": scaling["plan"]}
    litres, gravity = preboil(brew)
    made = read(house, brew, stage="pre_boil", volume=f"{litres:.3f} L", gravity=gravity - 0.006)
    kinds = {correction["kind"] for correction in made["log"]["corrections"]}
    assert not kinds & {"dry_extract", "boil_longer"}
    assert "gravity_out_of_reach" in {one["code"] for one in made["log"]["cannot_be_mended"]}


def test_a_depth_tells_the_volume_where_the_diameter_is_known(
    house: House, brew: dict[str, Any]
) -> None:
    # A cylinder of 350 mm: 0.0962 L to the millimetre; cold, so it stays what it is.
    made = read(house, brew, stage="post_boil", depth="215 mm", volume_temperature="20 degC")
    expected = math.pi * 3.5**2 / 4.0 * 2.15
    assert made["corrected"]["volume"]["value"] == pytest.approx(expected, rel=1e-4)
    assert made["readings"][-1]["depth"] == {"value": 215.0, "unit": "mm"}
    assert made["readings"][-1]["volume"] is None


def test_a_refractometer_reads_wort_with_its_own_factor(house: House, brew: dict[str, Any]) -> None:
    made = read(house, brew, stage="pre_boil", brix="11.44 Brix", wort_correction_factor=1.04)
    # 11.44 / 1.04 = 11.0 degP, 1.0442 by the extract tables of the ASBC.
    assert made["corrected"]["gravity"]["value"] == pytest.approx(1.0442, abs=2e-4)


def test_a_hydrometer_s_own_errors_are_taken_out(house: House, brew: dict[str, Any]) -> None:
    made = read(
        house, brew, stage="post_boil", gravity=1.052, reads_in_water=1.002, calibrated_at="20 degC"
    )
    assert made["corrected"]["gravity"]["value"] == pytest.approx(1.050, abs=1e-6)


@pytest.mark.parametrize(
    ("reading", "pointer"),
    [
        ({"stage": "pre_boil", "depth": "200 mm", "volume": "20 L"}, "/depth"),
        ({"stage": "fermenter", "depth": "200 mm"}, "/depth"),
        ({"stage": "pre_boil", "brix": "12 Brix", "gravity": 1.048}, "/brix"),
        ({"stage": "final", "brix": "6 Brix"}, "/brix"),
        ({"stage": "pre_boil", "volume": "36 L"}, "/volume"),
        ({"stage": "pre_boil", "depth": "-1 mm"}, "/depth"),
    ],
)
def test_a_reading_that_contradicts_itself_is_refused_and_not_kept(
    house: House, brew: dict[str, Any], reading: dict[str, Any], pointer: str
) -> None:
    answer = house.ask("POST", f"{brew['path']}/readings", reading)
    assert answer.status_code == 422
    assert pointers(answer) == [pointer]
    assert house.get(brew["path"])["readings"] == []


def test_a_depth_without_the_kettle_s_diameter_is_refused(house: House) -> None:
    setup = house.setup(vessels={"kettle": {"capacity": "35 L"}})
    session = house.session(setup["id"])
    path = f"/v1/sessions/{session['id']}/readings"
    answer = house.ask("POST", path, {"stage": "pre_boil", "depth": "200 mm"})
    assert pointers(answer) == ["/depth"]


def test_without_a_scaling_only_the_reading_is_corrected(house: House) -> None:
    session = house.session(house.setup()["id"])
    made = house.made(f"/v1/sessions/{session['id']}/readings", examples.READING)
    assert made["log"] is None
    assert [one["code"] for one in made["warnings"]] == ["nothing_planned"]
    assert made["corrected"]["volume"]["value"] < 27.5
    assert len(house.get(f"/v1/sessions/{session['id']}/outlook")["corrected"]) == 3


def test_a_reading_is_kept_even_where_the_day_does_not_add_up(
    house: House, brew: dict[str, Any]
) -> None:
    read(house, brew, stage="mid_boil", boiled="40 min", volume="21 L", gravity=1.048)
    made = read(house, brew, stage="mid_boil", gravity=1.049)
    assert "reading_without_time" in [one["code"] for one in made["corrected"]["warnings"]]
    assert made["log"]["boiled"]["value"] == 40.0
    # Boiled for six hours at 3.2 L/h after 3 L were left: the kettle would have been dry.
    read(house, brew, stage="mid_boil", boiled="41 min", volume="3 L")
    dry = read(house, brew, stage="mid_boil", boiled="360 min", gravity=1.060)
    assert dry["log"] is None
    assert [one["code"] for one in dry["warnings"]] == ["no_outlook"]
    assert len(house.get(brew["path"])["readings"]) == 4


def test_a_session_outlives_the_scaling_it_was_planned_by(
    house: House, brew: dict[str, Any]
) -> None:
    scaling = brew["session"]["scaling_id"]
    house.ask("DELETE", f"/v1/scalings/{scaling}", If_Match='"v1"')
    made = read(house, brew, stage="pre_boil", gravity=1.040)
    assert made["log"] is None
    assert house.get(f"{brew['path']}/outlook")["log"] is None


def test_depth_and_brix_teach_as_volume_and_gravity_do(house: House) -> None:
    def learnt(**reading: Any) -> Any:
        setup = house.setup()["id"]
        readings = [{"stage": "post_boil", **reading}]
        session = house.session(setup, readings=readings)
        return house.made(f"/v1/sessions/{session['id']}/closing", None)["calibration"]

    litres = math.pi * 3.5**2 / 4.0 * 2.3

    def efficiency(calibration: Any) -> float:
        centre: float = calibration["average_efficiency"]["value"]
        return centre

    plain = learnt(volume=f"{litres:.6f} L", gravity=1.0442)
    special = learnt(depth="230 mm", brix="11.44 Brix", wort_correction_factor=1.04)
    assert efficiency(special) == pytest.approx(efficiency(plain), rel=3e-3)
    assert learnt(temperature="20 degC")["average_efficiency"] is None


def test_a_link_holder_sees_the_outlook_at_the_kettle(house: House, brew: dict[str, Any]) -> None:
    key = house.made(f"{brew['path']}/links", {})["text"]
    answer = house.client.post(
        f"{brew['path']}/readings?key={key}", json={"stage": "pre_boil", "gravity": 1.040}
    )
    assert answer.status_code == 201
    assert answer.json["log"]["corrections"]
    shown = house.client.get(f"{brew['path']}/outlook?key={key}")
    assert shown.json["log"] == answer.json["log"]
