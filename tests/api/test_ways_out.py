"""Ways out of a plan that does not fit, through the service."""

from collections.abc import Iterator
from typing import Any

import pytest

from api.house import House, changed, pointers
from api.test_blends import as_sent
from planning.kit import pot_of
from wortwright.api import examples

# Hung bag, 35 L; what a brewer logs as absorption is what the grain truly holds less the
# swelling of the wort: 1.0 - 0.617 x 0.75 x 0.93.
BAG = {
    **changed(examples.SETUP, "/vessels/ageing", [{"capacity": "10 L"}, {"capacity": "10 L"}]),
    "constants": {
        "boil_off": "3.2 L/h",
        "kettle_loss": "1.5 L",
        "absorption": "0.57 L/kg",
        "conversion": "93 %",
    },
}
STRONG = {
    **examples.RECIPE,
    "volume": "19 L",
    "original_gravity": 1.110,
    "final_gravity": 1.026,
    "efficiency": None,
    "bitterness": None,
    "boil_time": "60 min",
    "grist": [
        {"name": "Pale", "kind": "base_malt", "extract_yield": "75 %", "moisture": "0 %",
         "mass": "10 kg"},
    ],
    "hop_bill": [
        {"name": "Challenger", "mass": "90 g", "alpha": "8 %", "moment": "boil", "time": "60 min"}
    ],
}  # fmt: skip
CASE = {"setup": BAG, "recipe": STRONG, "target": {"volume": "19 L", "volume_at": "fermenter"}}


def ways(house: House, **preferences: Any) -> list[Any]:
    body = {**CASE, "preferences": preferences}
    found: list[Any] = house.made("/v1/scalings?store=false", body)["plan"]["ways_out"]
    return found


def kinds(found: list[Any]) -> list[str]:
    return [way["kind"] for way in found]


def test_at_least_four_ways_lead_out_of_a_strong_beer_in_a_small_kettle(house: House) -> None:
    plan = house.made("/v1/scalings?store=false", CASE)["plan"]
    assert not plan["fit"]["fits"]
    assert len(set(kinds(plan["ways_out"]))) >= 4
    for way in plan["ways_out"]:
        inner = way["plan"]
        assert inner["fit"]["fits"]
        assert inner["fit"]["reaches_gravity"]
        assert inner["ways_out"] == []
        # Kilograms of extract that the plan says it gets make the gravity that it says.
        mashed = sum(
            line["to_weigh"]["value"] * 0.75
            for line in inner["grist"]
            if line["added_to"] == "mash"
        )
        efficiency = inner["forecast"]["mash_efficiency"]["mean"]["value"]
        total = efficiency * mashed / (1.0 - kettle_share(inner))
        litres = inner["water"]["postboil"]["value"]
        wanted = way["original_gravity"]["value"]
        assert total == pytest.approx(pot_of(wanted, litres).extract, rel=0.006)
        assert way["volume"]["value"] == pytest.approx(
            way["brews"] * inner["asked"]["volume"]["value"]
        )
        assert inner["asked"]["volume"]["value"] == pytest.approx(
            litres - inner["water"]["kettle_loss"]["value"], abs=1e-6
        )


def kettle_share(plan: Any) -> float:
    share: float = sum(
        line["share_of_extract"]["value"] for line in plan["grist"] if line["added_to"] == "kettle"
    )
    return share


def test_each_way_fed_back_is_its_own_plan(house: House) -> None:
    for way in ways(house):
        asked = way["plan"]["asked"]
        body = {
            "setup": BAG if way["setup"] is None else as_sent(way["setup"]),
            "recipe": STRONG if way["recipe"] is None else as_sent(way["recipe"]),
            "target": {k: asked[k] for k in ("volume", "volume_at", "gravity")},
        }
        again = house.made("/v1/scalings?store=false", body)["plan"]
        assert again["ways_out"] == []
        numbers, numbers_again = (
            dict(numbers_of({**plan, "warnings": []})) for plan in (way["plan"], again)
        )
        assert numbers_again == pytest.approx(numbers, rel=1e-9), way["kind"]


def numbers_of(document: Any, path: str = "") -> Iterator[tuple[str, float]]:
    """Every number of an answer with its place."""
    if isinstance(document, dict | list):
        below = document.items() if isinstance(document, dict) else enumerate(document)
        for key, value in below:
            yield from numbers_of(value, f"{path}/{key}")
    elif isinstance(document, int | float):
        yield path, float(document)


def test_what_the_brewer_will_not_do_is_not_offered(house: House) -> None:
    found = ways(house, no_extract=True, max_boil="120 min", max_brews=2)
    assert "malt_extract" not in kinds(found)
    assert len(set(kinds(found))) >= 4
    assert all(w["plan"]["temperatures"]["boil_time"]["value"] <= 120.0 for w in found)
    assert all(way["brews"] <= 2 for way in found)
    strict = ways(
        house, no_extract=True, no_sugar=True, no_rinse=True, max_boil="60 min", max_brews=1
    )
    assert set(kinds(strict)) == {"largest_volume", "strongest_beer"}


def test_added_shares_stay_within_what_is_allowed(house: House) -> None:
    for share in (0.05, 0.30):
        found = ways(house, largest_extract_share=f"{100 * share:g} %", no_sugar=True)
        for way in found:
            if way["kind"] == "malt_extract":
                assert kettle_share(way["plan"]) <= share + 0.003
                assert way["recipe"] is not None
                assert way["added_extract"]["value"] > 0.0


def test_the_brewer_s_order_comes_first_and_removes_nothing(house: House) -> None:
    liked = ["strongest_beer", "several_brews"]
    found = ways(house, prefer=liked)
    assert kinds(found)[:2] == liked
    assert set(kinds(found)) == set(kinds(ways(house)))


def test_preferences_are_kept_with_the_scaling(house: House) -> None:
    preferences = {"no_rinse": True, "max_boil": "100 min", "prefer": ["several_brews"]}
    made = house.made("/v1/scalings", {**CASE, "preferences": preferences})
    kept = house.get(f"/v1/scalings/{made['id']}")["preferences"]
    assert kept["no_rinse"] is True
    assert kept["max_boil"] == {"value": 100.0, "unit": "min"}
    assert kept["prefer"] == ["several_brews"]
    assert (kept["no_extract"], kept["max_brews"]) == (False, 2)
    assert kept["largest_sugar_share"] == {"value": 0.1, "unit": "fraction"}


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("max_boil", "300 min"),
        ("max_brews", 0),
        ("max_brews", 7),
        ("largest_extract_share", "90 %"),
        ("no_extract", "yes"),
        ("prefer", ["luck"]),
        ("prefer", "several_brews"),
    ],
)
def test_a_limit_out_of_bounds_is_refused_by_name(house: House, name: str, value: Any) -> None:
    body = changed({**CASE, "preferences": {}}, f"/preferences/{name}", value)
    answer = house.ask("POST", "/v1/scalings?store=false", body)
    assert answer.status_code == 422
    assert pointers(answer)[0].startswith(f"/preferences/{name}")


def test_a_recipe_that_is_mostly_sugar_already_is_offered_no_more(house: House) -> None:
    sugared = [*STRONG["grist"], {"name": "Sucrose", "mass": "3.3 kg"}]
    body = {
        **CASE,
        "recipe": {**STRONG, "grist": sugared},
        "preferences": {"largest_extract_share": "80 %", "largest_sugar_share": "80 %"},
    }
    found = house.made("/v1/scalings?store=false", body)["plan"]["ways_out"]
    assert all(kettle_share(way["plan"]) <= 0.9 + 0.003 for way in found)
