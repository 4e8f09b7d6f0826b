"""Plans beside a scaling: what holds for all of them, then audits, chains, small beers, styles."""

from typing import Any

import pytest
import yaml
from flask import Flask
from openapi_schema_validator import OAS31Validator
from referencing import Registry, Resource
from referencing.jsonschema import DRAFT202012

from api.house import House, changed, pointers
from api.test_calculations import WRONG, leaves
from planning.kit import mash, pot_of
from wortwright.api import examples
from wortwright.api import plan_examples as plans
from wortwright.api.contract import openapi_yaml

PLANS = {
    "/v1/blends": plans.BLEND,
    "/v1/second-brews": plans.SECOND_BREW,
    "/v1/brew-sets": plans.BREW_SET,
    "/v1/recipe-audits": plans.RECIPE_AUDIT,
    "/v1/vessel-chains": plans.VESSEL_CHAIN,
    "/v1/small-beers": plans.SMALL_BEER,
}
# Recipes and setups have tests of their own.
ELSEWHERE = ("/recipe/", "/setup/")


@pytest.mark.parametrize("path", PLANS)
def test_a_wrong_value_anywhere_is_refused_or_taken_but_never_a_fault(
    house: House, path: str
) -> None:
    body, refused = PLANS[path], 0
    for pointer in leaves(body):
        if pointer.startswith(ELSEWHERE):
            continue
        for value in WRONG:
            answer = house.ask("POST", path, changed(body, pointer, value))
            assert answer.status_code in (200, 422), f"{pointer} {value}: {answer.text}"
            refused += answer.status_code == 422
    assert refused > 0


@pytest.mark.parametrize("path", PLANS)
def test_an_unknown_field_is_refused_by_name(house: House, path: str) -> None:
    answer = house.ask("POST", path, {**PLANS[path], "colour_of_the_hat": "red"})
    assert answer.status_code == 422
    assert pointers(answer) == ["/colour_of_the_hat"]


@pytest.mark.parametrize("path", PLANS)
def test_a_page_may_ask_and_nothing_is_stored(house: House, path: str) -> None:
    page = house.brewer_key("page", origins=["https://club.example"])
    answer = house.ask("POST", path, PLANS[path], key=page, Origin="https://club.example")
    assert answer.status_code == 200
    assert house.get("/v1/scalings")["items"] == []
    assert house.get("/v1/recipes")["items"] == []


def test_what_is_sent_is_as_published(app: Flask) -> None:
    contract: dict[str, Any] = yaml.safe_load(openapi_yaml(app))
    resource = Resource(contents=contract, specification=DRAFT202012)
    registry: Registry[Any] = Registry().with_resource("urn:contract", resource)
    for path, body in PLANS.items():
        described = contract["paths"][path]["post"]["requestBody"]
        reference = described["content"]["application/json"]["schema"]["$ref"]
        validator = OAS31Validator({"$ref": f"urn:contract{reference}"}, registry=registry)
        assert [error.message for error in validator.iter_errors(body)] == []


@pytest.mark.parametrize("path", [path for path in PLANS if path != "/v1/blends"])
def test_stored_and_written_out_give_the_same_plan(house: House, path: str) -> None:
    body = PLANS[path]
    setup, recipe = house.setup(), house.recipe(**body["recipe"])
    written = house.made(path, body)
    if path == "/v1/recipe-audits":
        assert house.get(f"/v1/recipes/{recipe['id']}/audit") == written
        return
    rest = {k: v for k, v in body.items() if k not in ("setup", "recipe")}
    assert house.made(path, {**rest, "setup_id": setup["id"], "recipe_id": recipe["id"]}) == written


# -- audits


def audit(house: House, query: str = "", **changes: Any) -> Any:
    return house.made(f"/v1/recipe-audits{query}", {"recipe": {**examples.RECIPE, **changes}})


MALT = {"name": "Pale", "kind": "base_malt", "extract_yield": "75 %", "moisture": "0 %"}


def test_the_efficiency_that_a_recipe_s_own_numbers_imply_is_told(house: House) -> None:
    # 20 L at 1.050: 12.39 degP of 20.96 kg of wort, 2.597 kg of extract, out of 5 kg x 0.75.
    recipe = {
        "grist": [{**MALT, "mass": "5 kg"}],
        "original_gravity": 1.050,
        "final_gravity": 1.012,
        "efficiency": "80 %",
        "hop_bill": [],
    }
    made = audit(house, **recipe)
    extract = pot_of(1.050, 20.0).extract
    assert made["implied_efficiency"]["value"] == pytest.approx(extract / 3.75, abs=0.001)
    # At 80 % it would be 3.0 kg in 20 L.
    at_stated = made["gravity_at_stated_efficiency"]["value"]
    assert pot_of(at_stated, 20.0).extract == pytest.approx(3.0, abs=0.005)
    found = {one["code"]: one for one in made["contradictions"]}
    assert found["gravity"]["by"]["value"] == pytest.approx(1.050 - at_stated, abs=1e-9)
    assert found["efficiency"]["by"]["value"] == pytest.approx(0.80 - extract / 3.75, abs=0.001)


def test_a_recipe_that_agrees_with_itself_has_no_contradiction(house: House) -> None:
    efficiency = pot_of(1.050, 20.0).extract / 3.75
    recipe = {
        "grist": [{**MALT, "mass": "5 kg"}],
        "original_gravity": 1.050,
        "final_gravity": 1.012,
        "efficiency": f"{100 * efficiency:.2f} %",
        "bitterness": None,
        "hop_bill": [],
    }
    assert audit(house, **recipe)["contradictions"] == []


def test_a_style_s_ranges_are_told_in_numbers(house: House) -> None:
    # 17D, English Barley Wine: 1.080-1.120, 8-12 %, 35-70 IBU, 8-22 SRM (2021 guidelines).
    made = audit(house, style="17D", original_gravity=1.092)
    checks = {one["name"]: one for one in made["style"]["checks"]}
    assert (
        checks["original_gravity"]["low"]["value"],
        checks["original_gravity"]["high"]["value"],
    ) == (
        1.080,
        1.120,
    )
    assert checks["original_gravity"]["outside_by"]["value"] == 0.0
    weak = audit(house, style="17D", original_gravity=1.070, efficiency=None)["style"]
    assert not weak["inside"]
    (low,) = [one for one in weak["checks"] if one["name"] == "original_gravity"]
    assert low["outside_by"]["value"] == pytest.approx(-0.010, abs=1e-9)


def test_an_unknown_style_is_a_warning(house: House) -> None:
    made = audit(house, style="Cellar surprise")
    assert made["style"] is None
    assert "style_unknown" in [one["code"] for one in made["warnings"]]


def test_a_stored_recipe_is_audited_by_the_formula_asked_for(house: House) -> None:
    path = f"/v1/recipes/{house.recipe()['id']}/audit"
    tinseth, rager = (
        house.get(f"{path}?bitterness_formula={formula}") for formula in ("tinseth", "rager")
    )
    assert house.get(path) == tinseth
    assert rager["bitterness"]["value"] != tinseth["bitterness"]["value"]
    assert house.ask("GET", f"{path}?bitterness_formula=mine").status_code == 422


def test_a_recipe_that_cannot_be_read_is_refused_by_its_place(house: House) -> None:
    sugar = [{"name": "Sucrose", "mass": "5 kg"}]
    answer = house.ask("POST", "/v1/recipe-audits", {"recipe": {**examples.RECIPE, "grist": sugar}})
    assert answer.status_code == 422
    assert pointers(answer) == ["/recipe/grist"]


def test_styles_are_listed_and_dark_ones_are_open_above(house: House) -> None:
    styles = house.get("/v1/styles?units=us")
    assert styles["next"] is None
    by_id = {style["id"]: style for style in styles["items"]}
    assert len(by_id) == 42
    stout = {one["name"]: one for one in by_id["20C"]["ranges"]}
    # Imperial Stout: 30-40 SRM, and 40 is where the guidelines' scale ends.
    assert stout["colour"]["low"] == {"value": pytest.approx(30.0), "unit": "SRM"}
    assert stout["colour"]["high"] is None
    assert stout["original_gravity"]["high"] == {"value": 1.115, "unit": "SG"}


# -- vessel chains


def test_a_chain_counts_every_loss_from_mash_to_bottle(house: House) -> None:
    made = house.made("/v1/vessel-chains", plans.VESSEL_CHAIN)
    at = {step["at"]: step for step in made["steps"]}

    def leaves_(place: str) -> float:
        left: float = at[place]["volume"]["value"] - at[place]["left_behind"]["value"]
        return left

    assert leaves_("ageing") - made["surplus"]["value"] == pytest.approx(9.0)
    assert leaves_("fermenter") == pytest.approx(at["ageing"]["volume"]["value"])
    assert leaves_("kettle") == pytest.approx(at["fermenter"]["volume"]["value"])
    assert leaves_("mash") == pytest.approx(at["boil"]["volume"]["value"])
    assert made["brews"] == 1
    assert made["plan"]["fit"]["fits"]
    (jug,) = made["ageing"]
    assert (jug["beer"]["value"], jug["head_space"]["value"], jug["oxygen"]["value"]) == (10, 0, 0)
    (part,) = made["part_filled"]
    # 0.7 L of moist air at 12 degC, 281 mg/L of oxygen (ideal gas, 20.9 %), over 9.3 L.
    assert part["oxygen"]["value"] == pytest.approx(281.0 * 0.7 / 9.3, rel=0.02)


def test_more_than_the_vessels_hold_is_refused_by_its_field(house: House) -> None:
    answer = house.ask("POST", "/v1/vessel-chains", {**plans.VESSEL_CHAIN, "packaged": "30 L"})
    assert answer.status_code == 422
    assert pointers(answer) == ["/packaged"]
    assert "ageing vessels hold 10.0 L" in answer.json["detail"]


# -- small beers


def test_a_rinse_gives_what_a_second_draining_would(house: House) -> None:
    setup = {**examples.SETUP, "constants": {"boil_off": "3.2 L/h", "conversion": "93 %"}}
    body = {**plans.SMALL_BEER, "setup": setup, "rinse": "10 L", "boil_time": "0 min"}
    body["recipe"] = {**examples.RECIPE, "grist": [{**MALT, "mass": "8 kg"}]}
    made = house.made("/v1/small-beers", body)
    plan = house.made(
        "/v1/scalings?store=false",
        {"setup": setup, "recipe": body["recipe"], "target": examples.TARGET},
    )["plan"]
    grain, strike = plan["grain"]["value"], plan["water"]["strike"]["value"]
    # What the grain truly holds, from the plan's own balance: water in + swelling - wort out.
    gravity = plan["forecast"]["preboil_gravity"]["mean"]["value"]
    run_off = pot_of(gravity, plan["water"]["preboil"]["value"])
    held_l = strike + 0.617 * dissolved(run_off, strike) - run_off.litres
    first = mash(
        grain, 0.75, dissolved(run_off, strike) / (grain * 0.75), 0.0, held_l / grain, strike
    )
    tun = first.held.with_water(10.0)
    second = tun.drawn(tun.litres - held_l)
    assert made["preboil_gravity"]["mean"]["value"] == pytest.approx(second.gravity, abs=0.001)
    assert made["extract"]["value"] == pytest.approx(second.extract, rel=0.03)


def dissolved(run_off: Any, strike: float) -> float:
    """Extract in the mash, all of it as strong as the wort that ran off."""
    extract: float = run_off.extract * strike * 0.9982 / run_off.water
    return extract


def test_a_small_beer_of_a_stored_scaling_has_the_gravity_asked_for(house: House) -> None:
    scaling = house.made("/v1/scalings", examples.SCALING)
    made = house.made("/v1/small-beers", {"scaling_id": scaling["id"], "gravity": 1.035})
    assert made["original_gravity"]["mean"]["value"] == pytest.approx(1.035, abs=1e-6)
    low, high = (made["original_gravity"]["interval_80"][end]["value"] for end in ("low", "high"))
    assert low < 1.035 < high


@pytest.mark.parametrize(
    ("change", "pointer"),
    [
        ({"gravity": 1.030}, "/rinse"),
        ({"rinse": None}, "/rinse"),
        ({"scaling_id": examples.CLUB_OR_BREWER_ID}, "/recipe"),
        ({"rinse": "1 L"}, "/rinse"),
        ({"rinse": None, "gravity": 1.15, "boil_time": "0 min"}, "/gravity"),
        ({"setup": None}, "/setup"),
    ],
)
def test_what_is_told_in_two_ways_or_none_is_refused(
    house: House, change: dict[str, Any], pointer: str
) -> None:
    answer = house.ask("POST", "/v1/small-beers", {**plans.SMALL_BEER, **change})
    assert answer.status_code == 422
    assert pointer in pointers(answer)
