from typing import Any

import pytest

from api.house import House, changed, pointers
from wortwright.api import examples

SCALING = examples.SCALING


def test_a_scaling_of_what_is_written_out_is_computed_and_not_stored(house: House) -> None:
    answer = house.ask("POST", "/v1/scalings?store=false", SCALING)
    assert answer.status_code == 200
    assert answer.json["id"] is None
    assert answer.json["plan"]["recipe_name"] == SCALING["recipe"]["name"]
    assert house.get("/v1/scalings")["items"] == []


def test_a_stored_scaling_stays_at_its_address(house: House) -> None:
    answer = house.ask("POST", "/v1/scalings", SCALING)
    assert answer.status_code == 201
    again = house.ask("GET", answer.headers["Location"])
    assert again.json == answer.json
    assert again.headers["ETag"] == answer.headers["ETag"]


def test_stored_and_written_out_give_the_same_plan(house: House) -> None:
    written = house.made("/v1/scalings?store=false", SCALING)
    setup, recipe = house.setup(), house.recipe()
    plans = []
    for one in ({"setup_id": setup["id"]}, {"setup": examples.SETUP}):
        for other in ({"recipe_id": recipe["id"]}, {"recipe": examples.RECIPE}):
            body = {**one, **other, "target": examples.TARGET}
            plans.append(house.made("/v1/scalings?store=false", body)["plan"])
    assert plans == [written["plan"]] * 4


def test_a_scaling_tells_the_versions_it_rests_on_and_never_changes(house: House) -> None:
    setup, recipe = house.setup(), house.recipe()
    house.session(setup["id"], state="closed")
    body = {"setup_id": setup["id"], "recipe_id": recipe["id"], "target": examples.TARGET}
    made = house.made("/v1/scalings", body)
    assert made["brewer_id"] == house.brewer_id
    assert made["computed_from"] == {
        "setup_id": setup["id"],
        "setup_version": 1,
        "recipe_id": recipe["id"],
        "recipe_version": 1,
        "calibration_version": 1,
    }
    house.ask("DELETE", f"/v1/recipes/{recipe['id']}", If_Match='"v1"')
    house.session(setup["id"], state="closed")
    larger = changed(examples.SETUP, "/vessels/kettle/capacity", "50 L")
    house.ask("PUT", f"/v1/setups/{setup['id']}", larger, If_Match='"v1"')
    assert house.get(f"/v1/scalings/{made['id']}") == made


def test_a_scaling_uses_what_the_sessions_taught(house: House) -> None:
    setup, recipe = house.setup(), house.recipe()
    body = {"setup_id": setup["id"], "recipe_id": recipe["id"], "target": examples.TARGET}
    before = house.made("/v1/scalings?store=false", body)
    poor = [{"stage": "fermenter", "volume": "21 L", "gravity": 1.035}]
    for day in range(1, 5):
        brewed_at = f"2026-03-0{day}T10:00:00Z"
        house.session(setup["id"], brewed_at=brewed_at, readings=poor, state="closed")
    after = house.made("/v1/scalings?store=false", body)

    def efficiency(scaling: Any) -> float:
        mean: float = scaling["plan"]["forecast"]["mash_efficiency"]["mean"]["value"]
        return mean

    assert after["computed_from"]["calibration_version"] == 4
    assert efficiency(after) < efficiency(before)


@pytest.mark.parametrize(
    ("body", "pointer"),
    [
        ({"setup": examples.SETUP}, "/recipe"),
        ({"recipe": examples.RECIPE}, "/setup"),
        ({**SCALING, "setup_id": examples.CLUB_OR_BREWER_ID}, "/setup"),
        (changed(SCALING, "/target/volume", "0 L"), "/target/volume"),
        (changed(SCALING, "/target/volume_at", "moon"), "/target/volume_at"),
        (changed(SCALING, "/preferences/grist_policy", "keep_all"), "/preferences/grist_policy"),
        (changed(SCALING, "/recipe/volume", "0 L"), "/recipe/volume"),
        (
            changed(SCALING, "/recipe/grist", [{"name": "Sucrose", "mass": "5 kg"}]),
            "/recipe/grist",
        ),
        ({**SCALING, "efficiency": "75 %"}, "/efficiency"),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
@pytest.mark.parametrize("query", ["", "?store=false"])
def test_what_is_refused_is_named_and_nothing_is_stored(
    house: House, body: dict[str, Any], pointer: str, query: str
) -> None:
    answer = house.ask("POST", f"/v1/scalings{query}", body)
    assert answer.status_code == 422, answer.text
    assert pointers(answer) == [pointer]
    assert house.get("/v1/scalings")["items"] == []


@pytest.mark.parametrize("store", ["no", "0", "TRUE", ""])
def test_store_is_true_or_false(house: House, store: str) -> None:
    answer = house.ask("POST", f"/v1/scalings?store={store}", SCALING)
    assert answer.status_code == 422
    assert answer.json["errors"][0]["parameter"] == "store"


def test_a_recipe_of_another_brewer_does_not_go_onto_this_setup(house: House) -> None:
    other = house.made("/v1/brewers", {"name": "Bo Weir"})["id"]
    recipe, setup = house.recipe(owner=other), house.setup()
    body = {"setup_id": setup["id"], "recipe_id": recipe["id"]}
    assert house.ask("POST", "/v1/scalings", body).status_code == 404


def test_a_page_key_scales_and_stores(house: House) -> None:
    setup, recipe = house.setup(), house.recipe()
    page = house.brewer_key("page", origins=["https://club.example"])
    body = {"setup_id": setup["id"], "recipe_id": recipe["id"]}
    answer = house.ask("POST", "/v1/scalings", body, key=page, Origin="https://club.example")
    assert answer.status_code == 201
    assert answer.json["brewer_id"] == house.brewer_id


def test_weights_are_rounded_for_the_scale_of_the_brewer(house: House) -> None:
    ounces = {**SCALING, "preferences": {"weigh_in": "us"}}
    line = house.made("/v1/scalings?store=false&units=us", ounces)["plan"]["hop_bill"][0]
    weighed = line["to_weigh"]
    assert weighed["unit"] == "oz"
    # planning: hops are weighed to 0.05 oz.
    assert weighed["value"] * 20 == pytest.approx(round(weighed["value"] * 20), abs=1e-6)


def test_a_list_shows_scalings_without_their_plans(house: House) -> None:
    made = house.made("/v1/scalings", SCALING)
    (listed,) = house.get("/v1/scalings")["items"]
    assert listed["id"] == made["id"]
    assert listed["recipe_name"] == SCALING["recipe"]["name"]
    assert "plan" not in listed


def test_a_batch_answers_for_each_recipe_and_stores_nothing(house: House) -> None:
    setup, good = house.setup(), house.recipe()
    sugar = house.recipe(grist=[{"name": "Sucrose", "mass": "5 kg"}])
    unknown = examples.CLUB_OR_BREWER_ID
    ids = [good["id"], sugar["id"], unknown]
    body = {"setup_id": setup["id"], "recipe_ids": ids, "target": examples.TARGET}
    batch = house.made("/v1/scalings/batch", body)
    alone = house.made(
        "/v1/scalings?store=false",
        {"setup_id": setup["id"], "recipe_id": good["id"], "target": examples.TARGET},
    )
    assert [item["recipe_id"] for item in batch["items"]] == ids
    result, plan = batch["items"][0]["result"], alone["plan"]
    exact = [line["exact"]["value"] for line in plan["grist"] if line["added_to"] == "mash"]
    assert result["recipe_name"] == plan["recipe_name"]
    assert result["asked"] == plan["asked"]
    assert result["grain"]["value"] == pytest.approx(sum(exact), rel=1e-9)
    assert result["preboil"]["value"] == pytest.approx(plan["water"]["preboil"]["value"], rel=1e-9)
    assert result["original_gravity"]["value"] == pytest.approx(1.092, abs=1e-8)
    assert (result["fits"], result["reaches_gravity"]) == (
        plan["fit"]["fits"],
        plan["fit"]["reaches_gravity"],
    )
    assert batch["items"][0]["recipe_version"] == 1
    assert batch["items"][0]["refused_because"] is None
    assert "mashed" in batch["items"][1]["refused_because"]
    assert batch["items"][2]["result"] is None
    assert "recipe" in batch["items"][2]["refused_because"]
    assert house.get("/v1/scalings")["items"] == []


def test_a_batch_takes_two_hundred_recipes_at_most(house: House) -> None:
    setup = house.setup()
    ids = [examples.CLUB_OR_BREWER_ID] * 201
    answer = house.ask("POST", "/v1/scalings/batch", {"setup_id": setup["id"], "recipe_ids": ids})
    assert answer.status_code == 422
    assert pointers(answer) == ["/recipe_ids"]


def test_a_session_remembers_the_scaling_it_was_brewed_from(house: House) -> None:
    setup, recipe = house.setup(), house.recipe()
    body = {"setup_id": setup["id"], "recipe_id": recipe["id"]}
    scaling = house.made("/v1/scalings", body)
    session = house.session(setup["id"], scaling_id=scaling["id"])
    assert session["scaling_id"] == scaling["id"]
    path = f"/v1/scalings/{scaling['id']}"
    assert house.ask("DELETE", path, If_Match='"v1"').status_code == 204
    assert house.get(f"/v1/sessions/{session['id']}") == session


def test_a_malformed_key_for_retries_is_refused_though_nothing_is_stored(house: House) -> None:
    answer = house.ask("POST", "/v1/scalings?store=false", SCALING, Idempotency_Key="two words")
    assert answer.status_code == 400
    assert answer.json["type"] == "/problems/invalid-header"
