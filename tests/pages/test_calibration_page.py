"""The page of a calibration tells what the API tells of it."""

from typing import Any
from xml.etree.ElementTree import fromstring

import pytest

from pages.house import PageHouse, plain
from wortwright.pages.calibration_page import CONSTANTS, calibration_page
from wortwright.units import UnitSystem


@pytest.fixture(scope="module")
def report(page_house: PageHouse) -> Any:
    return page_house.got(f"/v1/setups/{page_house.setup['id']}/calibration/report?units=metric")


@pytest.fixture(scope="module")
def calibration(page_house: PageHouse) -> Any:
    return page_house.got(f"/v1/setups/{page_house.setup['id']}/calibration?units=metric")


@pytest.fixture(scope="module")
def words(page_house: PageHouse, full: Any) -> str:
    path = f"/v1/setups/{page_house.setup['id']}/calibration/page"
    return plain(page_house.ask("GET", f"{path}?scaling_id={full['id']}").text)


def test_the_record_is_told_in_a_sentence(words: str, report: Any) -> None:
    left_out = report["leave_one_out"]
    assert f"is missed by {left_out['model_points']:.1f} points on average" in words
    assert f"misses it by {left_out['average_points']:.1f}" in words


def test_the_next_brew_is_told_with_its_range(words: str, full: Any) -> None:
    efficiency = full["plan"]["forecast"]["mash_efficiency"]
    assert f"{100 * efficiency['mean']['value']:.1f} % of its extract is expected" in words
    assert f"{100 * efficiency['interval_80']['low']['value']:.1f} %" in words
    assert full["plan"]["recipe_name"] in words


def test_constants_are_told_with_the_range_that_holds_four_in_five(
    words: str, calibration: Any
) -> None:
    """Four in five lie within 1.2816 standard deviations (normal distribution, tables)."""
    (boil_off,) = [one for one in calibration["constants"] if one["name"] == "boil_off"]
    mean, sd = boil_off["mean"]["value"], boil_off["sd"]["value"]
    assert f"{mean:.2f} L/h , {mean - 1.2816 * sd:.2f} to {mean + 1.2816 * sd:.2f} L/h" in words


def test_every_constant_that_may_vary_is_named_or_meant_for_the_curve(calibration: Any) -> None:
    of_the_curve = {"bypass", "washing"}
    by_steps = {"conversion_loss_per_kg_per_l", "attenuation_per_c"}
    told = {one["name"] for one in calibration["constants"]}
    assert told - of_the_curve - by_steps == CONSTANTS.keys()


def test_a_constant_that_goes_both_ways_is_told_with_its_sign(words: str, calibration: Any) -> None:
    (offset,) = [one for one in calibration["constants"] if one["name"] == "mash_in_offset"]
    sd = offset["prior_sd"]["value"]
    assert f"{-1.2816 * sd:.1f} to {1.2816 * sd:.1f} °C" in words
    # 1.6 points less attenuation per degree, common practice, 0.6 either way.
    assert "attenuation by a mash warmer by 1.0 °C" in words
    assert f"{-1.6 - 1.2816 * 0.6:.1f} to {-1.6 + 1.2816 * 0.6:.1f} %" in words
    assert "conversion lost by a mash thicker by 0.10 kg per L" in words


def test_the_attenuation_of_each_yeast_is_a_constant_of_its_own(
    report: Any, calibration: Any
) -> None:
    def percent(value: float) -> dict[str, Any]:
        return {"value": value, "unit": "fraction"}

    ale = {
        "yeast": "Lock <ale>",
        "mean": percent(0.71),
        "sd": percent(0.01),
        "prior_mean": percent(0.75),
        "prior_sd": percent(0.03),
        "session_count": 7,
    }
    known = {
        "setup_name": "Test",
        "changes": [],
        "calibration": {**calibration, "attenuation_by_yeast": [ale]},
        "report": report,
        "brewed_at": {one["session_id"]: "2026-03-03T10:00:00Z" for one in report["sessions"]},
        "trusted": {},
        "set_aside": [],
        "next_brew": None,
    }
    page = calibration_page(known, UnitSystem.METRIC, nonce="n")
    assert "attenuation of Lock &lt;ale&gt;" in page
    assert "71.0 % , 69.7 to 72.3 %" in plain(page)


def test_the_curve_is_told_in_numbers_too(words: str, report: Any) -> None:
    for point in report["curve"]:
        mean = f"{point['grain_load_kg_per_l']:.2f} kg per L {100 * point['mean']['value']:.1f} %"
        assert mean in words


def test_a_session_set_aside_is_shown_with_its_reason(page_house: PageHouse) -> None:
    setup = page_house.made("/v1/setups", own(page_house.setup))
    for session in page_house.sessions[:3]:
        page_house.made("/v1/sessions", session_of(setup["id"], session))
    last = page_house.made("/v1/sessions", session_of(setup["id"], page_house.sessions[3]))
    path = f"/v1/setups/{setup['id']}/calibration"
    before = page_house.ask("GET", f"{path}/chart.svg").text
    page_house.made(f"/v1/sessions/{last['id']}/setting-aside", {"reason": "The bag tore."})
    after = page_house.ask("GET", f"{path}/chart.svg").text
    assert 'class="set_aside"' not in before
    # One in the chart and one in its legend.
    assert after.count('class="set_aside"') == 2
    assert before.count('class="session"') - after.count('class="session"') == 1
    assert "set aside: The bag tore." in plain(page_house.ask("GET", f"{path}/page").text)


def test_a_session_set_aside_is_told_though_it_has_no_place_beside_the_curve(
    page_house: PageHouse,
) -> None:
    setup = page_house.made("/v1/setups", own(page_house.setup))
    slip = session_of(setup["id"], page_house.sessions[0])
    slip["grist"] = [{**slip["grist"][0], "mass": "46 kg"}]
    made = page_house.made("/v1/sessions", slip)
    page_house.made(f"/v1/sessions/{made['id']}/setting-aside", {"reason": "A comma."})
    page = page_house.ask("GET", f"/v1/setups/{setup['id']}/calibration/page").text
    assert "set aside: A comma." in plain(page)
    assert 'class="set_aside"' not in page


def test_a_trusted_session_is_shown_with_its_reason(page_house: PageHouse) -> None:
    setup = page_house.made("/v1/setups", own(page_house.setup))
    brewed = page_house.made("/v1/sessions", session_of(setup["id"], page_house.sessions[0]))
    reason = {"reason": "Read <twice>."}
    page_house.made(f"/v1/sessions/{brewed['id']}/trusting", reason)
    page = page_house.ask("GET", f"/v1/setups/{setup['id']}/calibration/page").text
    assert "trusted: Read &lt;twice&gt;." in page


def own(setup: Any) -> dict[str, Any]:
    kept = ("brewer_id", "name", "lauter_method", "grain_held_by", "bag_drained", "vessels")
    return {name: without_nothing(setup[name]) for name in kept}


def session_of(setup_id: str, session: Any) -> dict[str, Any]:
    kept = ("brewed_at", "grist", "readings", "state", "boil_time", "planned_preboil_volume")
    return {"setup_id": setup_id, **{name: without_nothing(session[name]) for name in kept}}


def without_nothing(value: Any) -> Any:
    if isinstance(value, dict):
        return {k: without_nothing(v) for k, v in value.items() if v is not None and k != "assumed"}
    return [without_nothing(one) for one in value] if isinstance(value, list) else value


def test_before_any_session_the_page_says_so(page_house: PageHouse) -> None:
    setup = page_house.made("/v1/setups", own(page_house.setup))
    page = page_house.ask("GET", f"/v1/setups/{setup['id']}/calibration/page").text
    assert "No session has taught this setup anything yet." in plain(page)
    assert "fewer than two sessions" in plain(page)
    assert 'class="session"' not in page


def test_a_change_is_told_and_the_brews_before_it_are_hollow(
    page_house: PageHouse, words: str, report: Any
) -> None:
    assert "1 April 2026: the mill. Rollers set again" in words
    page = page_house.ask("GET", f"/v1/setups/{page_house.setup['id']}/calibration/page").text
    before = [one for one in report["sessions"] if one["before_change"]]
    # Eight brews before April, one of them doubted; one sign more explains them.
    assert len(before) == 8
    assert page.count('class="before_change"') == 8 - 1 + 1
    assert "the 4 sessions since the last change" in words


def test_a_doubted_session_is_told_apart(report: Any, calibration: Any) -> None:
    first, *rest = ({**one, "weight": 1.0, "reason": None} for one in report["sessions"])
    doubt = {"weight": 0.2, "reason": "Its gravity is far below the curve."}
    doubted = {**first, **doubt}
    suspect = {"session_id": first["session_id"], **doubt}
    known = {
        "setup_name": "Test",
        "changes": [],
        "calibration": {**calibration, "suspects": [suspect]},
        "report": {**report, "sessions": [doubted, *rest]},
        "brewed_at": {one["session_id"]: "2026-03-03T10:00:00+00:00" for one in [first, *rest]},
        "trusted": {},
        "set_aside": [],
        "next_brew": None,
    }
    page = calibration_page(known, UnitSystem.METRIC, nonce="n")
    assert "3 March 2026, doubted: Its gravity is far below the curve." in plain(page)
    assert page.count('class="doubted"') == 2


@pytest.mark.parametrize(("model", "average", "said"), [(1.9, 2.4, False), (2.4, 1.9, True)])
def test_a_record_worse_than_the_average_is_not_hidden(
    report: Any, calibration: Any, model: float, average: float, said: bool
) -> None:
    left_out = {"session_count": 5, "model_points": model, "average_points": average}
    known = {
        "setup_name": "Test",
        "changes": [],
        "calibration": {**calibration, "suspects": []},
        "report": {**report, "sessions": [], "leave_one_out": left_out},
        "brewed_at": {},
        "trusted": {},
        "set_aside": [],
        "next_brew": None,
    }
    text = plain(calibration_page(known, UnitSystem.METRIC, nonce="n"))
    assert ("has done better here so far" in text) == said


def test_the_chart_alone_is_the_chart_of_the_page(page_house: PageHouse, full: Any) -> None:
    path = f"/v1/setups/{page_house.setup['id']}/calibration"
    chart = page_house.ask("GET", f"{path}/chart.svg?scaling_id={full['id']}")
    assert chart.content_type == "image/svg+xml"
    assert fromstring(chart.text).tag == "{http://www.w3.org/2000/svg}svg"
    assert chart.text in page_house.ask("GET", f"{path}/page?scaling_id={full['id']}").text


def test_a_link_takes_the_next_brew_too(page_house: PageHouse, full: Any) -> None:
    made = page_house.link("setups", page_house.setup["id"])
    page = page_house.page(f"{made['page']}&scaling_id={full['id']}")
    assert full["plan"]["recipe_name"] in plain(page)


def test_a_scaling_for_another_setup_is_not_there(page_house: PageHouse, full: Any) -> None:
    setup = page_house.made("/v1/setups", own(page_house.setup))
    path = f"/v1/setups/{setup['id']}/calibration/page?scaling_id={full['id']}"
    assert page_house.ask("GET", path).status_code == 404


def test_us_units_reach_the_grain_load(page_house: PageHouse) -> None:
    path = f"/v1/setups/{page_house.setup['id']}/calibration/page?units=us"
    text = plain(page_house.ask("GET", path).text)
    assert "lb per US gal" in text
    assert "US gal/h" in text
    assert "kg" not in text
