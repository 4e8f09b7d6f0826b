"""The sheet says what the API says, in the day's order, to whoever holds its link."""

import math
import re
from typing import Any

import pytest

from pages.house import PageHouse, plain

# Water fills so much more at the boil than at 20 degC: 0.99821/0.95835 (IAPWS-95, from the NIST
# webbook: densities of 998.21 and 958.35 kg/m3).
HOT = 998.21 / 958.35


@pytest.fixture(scope="module")
def sheet(page_house: PageHouse, full: Any) -> str:
    return page_house.page(page_house.link("scalings", full["id"])["page"])


@pytest.fixture(scope="module")
def words(sheet: str) -> str:
    return plain(sheet)


def rows(html: str) -> list[list[str]]:
    """Every row of every table, as the words of its cells."""
    found = re.findall(r"<tr>(.*?)</tr>", html, flags=re.DOTALL)
    cells = [re.findall(r"<t[dh][^>]*>(.*?)</t[dh]>", row, flags=re.DOTALL) for row in found]
    return [[plain(cell) for cell in row] for row in cells]


def test_everything_to_weigh_is_what_the_api_says(sheet: str, full: Any) -> None:
    firsts = [row[0] for row in rows(sheet)]
    for line in full["plan"]["grist"]:
        assert f"{line['to_weigh']['value']:.2f} kg" in firsts
    for hop in full["plan"]["hop_bill"]:
        assert f"{hop['to_weigh']['value']:.0f} g" in firsts
    for salt in full["water_treatment"]["salts"]:
        if salt["mash"]["value"] > 0.0:
            assert f"{salt['mash']['value']:.1f} g" in firsts
    assert f"{full['bottling']['sugar']['value']:.0f} g" in firsts


def test_every_target_is_what_the_api_says(sheet: str, full: Any) -> None:
    plan, firsts = full["plan"], {row[0] for row in rows(sheet)}
    water, forecast = plan["water"], plan["forecast"]
    for name in ("strike", "preboil_hot", "postboil_hot", "fermenter", "packaged"):
        assert f"{water[name]['value']:.1f} L" in firsts, name
    for name in ("preboil_gravity", "original_gravity", "final_gravity"):
        assert f"{forecast[name]['mean']['value']:.3f}" in firsts, name
    strike = plan["temperatures"]["strike_water"]["value"]
    assert f"{strike:.1f} °C" in firsts
    assert f"pH {full['mash_ph']['ph']:.2f}" in firsts
    assert f"{full['pitch']['oxygen']['wanted']['value']:.0f} mg/L" in firsts


def test_the_forecast_is_told_with_its_range(words: str, full: Any) -> None:
    gravity = full["plan"]["forecast"]["original_gravity"]["interval_80"]
    said = f"start between {gravity['low']['value']:.3f} and {gravity['high']['value']:.3f}"
    assert said in words


def test_a_depth_is_the_volume_over_the_kettles_area(sheet: str, full: Any) -> None:
    diameter_mm = full["setup"]["vessels"]["kettle"]["inner_diameter"]["value"]
    volume_l = full["plan"]["water"]["preboil_hot"]["value"]
    depth_mm = volume_l * 1e6 / (math.pi * diameter_mm**2 / 4.0)
    (row,) = [row for row in rows(sheet) if len(row) > 1 and row[1].startswith("before the boil")]
    (said,) = re.findall(r"(\d+) mm deep", row[1])
    assert float(said) == pytest.approx(depth_mm, abs=0.5)


def test_the_mash_is_told_as_a_depth_where_it_is_in_the_kettle(sheet: str, full: Any) -> None:
    (check,) = [one for one in full["plan"]["fit"]["checks"] if one["at"] == "mash"]
    (row,) = [row for row in rows(sheet) if len(row) > 1 and row[1].startswith("the mash in")]
    assert row[0] == f"{check['needed']['value']:.1f} L"


def test_without_a_diameter_there_is_no_depth(page_house: PageHouse) -> None:
    kettle = {**page_house.setup["vessels"]["kettle"], "inner_diameter": None}
    kept = ("capacity", "name", "foam_room", "mash_room")
    vessels = {"kettle": {name: kettle[name] for name in kept}}
    setup = {"name": "No diameter", "lauter_method": "no_sparge", "vessels": vessels}
    body = {"setup": setup, "recipe_id": page_house.recipe["id"], "target": page_house.target}
    made = page_house.made("/v1/scalings", body)
    sheet = page_house.ask("GET", f"/v1/scalings/{made['id']}/sheet").text
    assert "deep" not in plain(sheet)
    assert "Boil" in plain(sheet)


def test_a_low_gravity_is_boiled_down_at_the_rate_of_the_plan(sheet: str, full: Any) -> None:
    """What is boiled off more is the time more at the plan's boil-off, seen hot."""
    plan = full["plan"]
    water, minutes = plan["water"], plan["temperatures"]["boil_time"]["value"]
    rate_l_per_min = water["boiled_off"]["value"] / minutes
    tried = 0
    for row in rows(sheet):
        found = re.match(r"boil (\d+) min in all, down to ([\d.]+) L hot", row[-1])
        if found:
            more_min, down_to_l = float(found[1]) - minutes, float(found[2]) / HOT
            expected_l = water["postboil"]["value"] - rate_l_per_min * more_min
            assert down_to_l == pytest.approx(expected_l, abs=0.1)
            tried += 1
    assert tried == 4


def test_what_is_dissolved_makes_up_for_the_points_missing(sheet: str, full: Any) -> None:
    """Points balance of common practice: dry extract gives 44 points in a US gallon a pound.

    That is 367 points in a litre a kilogram; dissolved, a kilogram takes 0.6 L.
    """
    plan = full["plan"]
    wanted = 1000.0 * (plan["forecast"]["original_gravity"]["mean"]["value"] - 1.0)
    postboil_l = plan["water"]["postboil"]["value"]
    # Half a point of rounding in what the table shows, and half in what it is set against.
    rounding_kg = postboil_l / (367.0 - 0.6 * wanted)
    tried = 0
    for row in rows(sheet):
        found = re.search(r"dissolve ([\d.]+) kg of dry malt extract", row[-1])
        if found:
            ends = 1000.0 * (float(row[1]) - 1.0)
            expected_kg = (wanted - ends) * postboil_l / (367.0 - 0.6 * wanted)
            assert float(found[1]) == pytest.approx(expected_kg, abs=rounding_kg)
            tried += 1
    assert tried == 2


def test_the_table_is_of_gravities_three_and_six_points_off(sheet: str, full: Any) -> None:
    planned = full["plan"]["forecast"]["preboil_gravity"]["mean"]["value"]
    expected = [f"{planned + off / 1000.0:.3f}" for off in (-6, -3, 3, 6)]
    start = sheet.index("It reads")
    assert [row[0] for row in rows(sheet[start:])][:4] == expected


def test_cautions_stand_in_their_part_of_the_day(sheet: str, full: Any) -> None:
    hazards = {row["code"]: row["hazard"] for row in full["plan"]["cautions"]}
    hazards |= {row["code"]: row["hazard"] for row in full["bottling"]["cautions"]}
    text = plain(sheet)
    order = [text.index(hazards[code]) for code in ("scald", "boil_over", "bottle_pressure")]
    assert order == sorted(order)
    boil = text.index("Boil ", text.index(hazards["scald"]))
    assert text.index(hazards["scald"]) < boil < text.index(hazards["boil_over"])
    assert all(text.count(hazard) == 1 for hazard in hazards.values())


def test_parts_that_were_not_told_leave_no_trace(page_house: PageHouse) -> None:
    bare = plain(page_house.ask("GET", f"/v1/scalings/{page_house.bare['id']}/sheet").text)
    for absent in ("gypsum", "priming", "oxygen at pitching", "pH", "starter", "None"):
        assert absent not in bare


@pytest.mark.parametrize(("units", "mass", "heat"), [("us", "lb", "°F"), ("metric", "kg", "°C")])
def test_units_are_those_asked_for(
    page_house: PageHouse, full: Any, units: str, mass: str, heat: str
) -> None:
    path = f"/v1/scalings/{full['id']}"
    sheet = page_house.ask("GET", f"{path}/sheet?units={units}").text
    plan = page_house.got(f"{path}?units={units}")["plan"]
    firsts = [row[0] for row in rows(sheet)]
    assert f"{plan['grist'][0]['to_weigh']['value']:.2f} {mass}" in firsts
    assert heat in plain(sheet)


def test_without_a_wish_units_are_the_brewers(page_house: PageHouse) -> None:
    brewer = page_house.made("/v1/brewers", {"name": "Gail Onweir", "units": "us"})
    setup = {k: v for k, v in page_house.setup.items() if k in ("name", "lauter_method", "vessels")}
    made = page_house.made("/v1/setups", {"brewer_id": brewer["id"], **setup})
    ids = {"setup_id": made["id"], "recipe_id": page_house.recipe["id"]}
    scaling = page_house.made("/v1/scalings", {**ids, "target": page_house.target})
    by_link = page_house.page(page_house.link("scalings", scaling["id"])["page"])
    by_club = page_house.ask("GET", f"/v1/scalings/{scaling['id']}/sheet").text
    for sheet in (by_link, by_club):
        assert "US gal" in plain(sheet)
        assert " kg" not in plain(sheet).replace("10 kg use a hoist", "")


def test_names_are_no_markup(page_house: PageHouse) -> None:
    name = "<script>alert(1)</script> & Sons"
    recipe = {**page_house.got(f"/v1/recipes/{page_house.recipe['id']}"), "name": name}
    own = ("id", "created_at", "updated_at", "owner")
    written = {key: value for key, value in recipe.items() if key not in own}
    kept = {key: value for key, value in written.items() if value is not None}
    kept["grist"] = [without_nothing(line) for line in written["grist"]]
    kept["hop_bill"] = [without_nothing(line) for line in written["hop_bill"]]
    body = {"setup_id": page_house.setup["id"], "recipe": kept, "target": page_house.target}
    made = page_house.made("/v1/scalings", body)
    sheet = page_house.ask("GET", f"/v1/scalings/{made['id']}/sheet").text
    assert "<script" not in sheet
    assert sheet.count("&lt;script&gt;alert(1)&lt;/script&gt; &amp; Sons") == 2


def test_a_rule_of_thumb_has_no_decimals(page_house: PageHouse, full: Any, words: str) -> None:
    assert "between 60 °C and 100 °C scald at once" in words
    assert "Above 10 kg use a hoist" in words
    path = f"/v1/scalings/{full['id']}/sheet?units=us"
    in_us = plain(page_house.ask("GET", path).text)
    assert "between 140 °F and 212 °F scald at once" in in_us
    # 10 kg over 0.45359237 kg, the pound by definition.
    assert "Above 22 lb use a hoist" in in_us


def test_a_dose_of_acid_says_how_strong_the_acid_is(words: str, full: Any) -> None:
    dose = full["mash_ph"]["dose"]
    strength = dose["acid_strength_by_mass"]["value"]
    first = f"{dose['acid']['first']['value']:.1f} mL of lactic acid of {100 * strength:.0f} %"
    assert first in words


def without_nothing(line: dict[str, Any]) -> dict[str, Any]:
    return {k: v for k, v in line.items() if v is not None and k != "assumed"}


def test_a_plan_that_does_not_fit_says_so_first(page_house: PageHouse) -> None:
    target = {"volume": "33 L", "volume_at": "fermenter", "gravity": 1.108}
    ids = {"setup_id": page_house.setup["id"], "recipe_id": page_house.recipe["id"]}
    made = page_house.made("/v1/scalings", {**ids, "target": target})
    text = plain(page_house.ask("GET", f"/v1/scalings/{made['id']}/sheet").text)
    assert not made["plan"]["fit"]["fits"]
    assert text.index("does not work as it stands") < text.index("Weigh")
    assert made["plan"]["ways_out"][0]["detail"] in text
