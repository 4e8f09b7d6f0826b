"""Water, mash pH, yeast, hops and bottles as parts of a scaling."""

from typing import Any

import pytest

from api.house import House, changed, pointers
from wortwright.api import calculation_examples as examples
from wortwright.api.examples import SCALING

SCALE = "/v1/scalings?store=false"
PARTS = ("water_treatment", "mash_ph", "pitch", "bottling")
ALSO = {
    "water": {**examples.WATER_AT_HAND, "ph": {"target_ph": 5.4}},
    "yeast": examples.YEAST,
    "packaging": examples.BOTTLES,
    "hops_in_store": [examples.STORED_HOPS],
}


def test_nothing_told_nothing_worked_out(house: House) -> None:
    answer = house.made(SCALE, SCALING)
    assert [answer[part] for part in PARTS] == [None] * 4
    assert answer["hops_in_store"] == []


def test_a_part_is_worked_out_from_what_the_plan_wants(house: House) -> None:
    answer = house.made(SCALE, {**SCALING, **ALSO})
    plan, water = answer["plan"], answer["water_treatment"]
    mixed = water["source_volume"]["value"] + water["dilution_volume"]["value"]
    assert mixed == pytest.approx(plan["water"]["total"]["value"])
    alone = {
        "volume": plan["water"]["fermenter"],
        "original_gravity": plan["forecast"]["original_gravity"]["mean"],
        "yeast": examples.YEAST,
    }
    cells = house.made("/v1/pitches", alone)["cells_wanted"]["value"]
    assert answer["pitch"]["cells_wanted"]["value"] == pytest.approx(cells, rel=1e-9)
    mashed = [line for line in plan["grist"] if line["added_to"] == "mash"]
    assert [malt["mass"] for malt in answer["mash_ph"]["malts"]] == [
        line["to_weigh"] for line in mashed
    ]
    assert answer["mash_ph"]["dose"]["target_ph"] == 5.4
    beer = {
        **examples.BOTTLES,
        "volume": plan["water"]["packaged"],
        "gravity": plan["forecast"]["final_gravity"]["mean"],
        "expected_final_gravity": plan["forecast"]["final_gravity"]["mean"],
        "lowest_final_gravity": plan["forecast"]["final_gravity"]["interval_80"]["low"],
    }
    bottled = house.made("/v1/bottlings", beer)
    for name in ("sugar", "pressure", "pressure_if_lowest"):
        assert answer["bottling"][name]["value"] == pytest.approx(bottled[name]["value"], rel=1e-6)


def test_the_parts_leave_the_plan_as_it_is(house: House) -> None:
    also = {name: part for name, part in ALSO.items() if name != "hops_in_store"}
    assert house.made(SCALE, {**SCALING, **also})["plan"] == house.made(SCALE, SCALING)["plan"]


def test_aged_hops_keep_the_bitterness_by_their_mass(house: House) -> None:
    before = house.made(SCALE, SCALING)
    after = house.made(SCALE, {**SCALING, "hops_in_store": ALSO["hops_in_store"]})
    (aged,) = after["hops_in_store"]
    old, new = before["plan"]["hop_bill"], after["plan"]["hop_bill"]
    assert new[0]["alpha"] == aged["alpha"]
    assert new[0]["exact"]["value"] / old[0]["exact"]["value"] == pytest.approx(
        old[0]["alpha"]["value"] / new[0]["alpha"]["value"], rel=0.01
    )
    # The second hop is there for its aroma and was not aged.
    assert (new[1]["exact"], new[1]["alpha"]) == (old[1]["exact"], old[1]["alpha"])
    ibu = [answer["plan"]["forecast"]["bitterness"]["value"] for answer in (before, after)]
    assert ibu[1] == pytest.approx(ibu[0], rel=0.01)
    assert after["plan"]["recipe_reading"] == before["plan"]["recipe_reading"]


def test_hops_that_the_recipe_does_not_call_for_are_told(house: House) -> None:
    stored = [{**examples.STORED_HOPS, "name": "Target"}]
    answer = house.made(SCALE, {**SCALING, "hops_in_store": stored})
    (aged,) = answer["hops_in_store"]
    assert [entry["code"] for entry in aged["warnings"]] == ["hops_not_in_recipe"]
    assert answer["plan"] == house.made(SCALE, SCALING)["plan"]


def test_what_is_known_of_a_malt_wins_over_its_class(house: House) -> None:
    acid_lot = [{"name": "pale ale malt", "distilled_water_ph": 5.5}]
    of_class = house.made(SCALE, {**SCALING, "water": ALSO["water"]})["mash_ph"]
    water = {**ALSO["water"], "malts": acid_lot}
    of_lot = house.made(SCALE, {**SCALING, "water": water})["mash_ph"]
    assert of_lot["ph"] < of_class["ph"]
    assert [malt["of_lot"] for malt in of_lot["malts"]] == [True, False]


def test_a_stored_scaling_keeps_its_parts(house: House) -> None:
    made = house.ask("POST", "/v1/scalings", {**SCALING, **ALSO})
    assert made.status_code == 201
    assert all(made.json[part] for part in PARTS)
    assert house.get(made.headers["Location"]) == made.json


@pytest.mark.parametrize(
    ("place", "value", "pointer"),
    [
        ("/packaging/carbonation", "3.5 volumes", "/packaging"),
        ("/packaging/bottle", "twist_off", "/packaging"),
        ("/packaging/bottle", "jam_jar", "/packaging/bottle"),
        ("/water/salts", ["calcium fluoride"], "/water/salts/0"),
        ("/water/source/report", [], "/water/source/report"),
        ("/yeast/kind", "wild", "/yeast/kind"),
        ("/hops_in_store/0/alpha", "50 %", "/hops_in_store/0/alpha"),
    ],
)
def test_a_part_that_cannot_be_is_refused_where_it_stands_and_nothing_is_stored(
    house: House, place: str, value: Any, pointer: str
) -> None:
    answer = house.ask("POST", "/v1/scalings", changed({**SCALING, **ALSO}, place, value))
    assert answer.status_code == 422
    assert pointers(answer) == [pointer]
    assert house.get("/v1/scalings")["items"] == []
