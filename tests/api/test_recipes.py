from typing import Any

import pytest

from api.house import House, changed, pointers
from wortwright.api import examples

BITTER: dict[str, Any] = {
    "name": "Lock Keeper's Bitter",
    "volume": "20 L",
    "volume_at": "fermenter",
    "original_gravity": 1.044,
    "final_gravity": 1.011,
    "bitterness": "32 IBU",
    "boil_time": "60 min",
    "mash": [{"temperature": "66 degC", "time": "60 min"}],
    "yeast": {"name": "English ale", "apparent_attenuation": "75 %"},
    "grist": [
        {"name": "Pale ale malt", "mass": "4.2 kg"},
        {"name": "Crystal 60 L", "mass": "250 g", "role": "base"},
    ],
    "hop_bill": [{"name": "Challenger", "mass": "28 g", "moment": "boil", "time": "60 min"}],
}
SHARES = examples.RECIPE_BY_SHARES


def test_a_recipe_comes_back_as_written_with_what_was_assumed(house: House) -> None:
    made = house.made("/v1/recipes", {**BITTER, "owner": "club"})
    read = house.get(f"/v1/recipes/{made['id']}")
    assert read == made
    assert read["owner"] == "club"
    assert read["volume"] == {"value": 20.0, "unit": "L"}
    pale, crystal = read["grist"]
    assert pale["mass"] == {"value": 4.2, "unit": "kg"}
    assert "extract_yield" in pale["assumed"]
    assert "colour" in pale["assumed"]
    assert crystal["role"] == "base"
    assert "role" not in crystal["assumed"]


def test_a_recipe_in_shares_keeps_what_they_are_shares_of(house: House) -> None:
    by_extract = [{**line, "share_of": "extract"} for line in SHARES["grist"]]
    made = house.made("/v1/recipes", {**SHARES, "grist": by_extract, "owner": "club"})
    assert [line["share_of"] for line in made["grist"]] == ["extract", "extract"]
    assert [line["share"]["value"] for line in made["grist"]] == [0.92, 0.08]


def test_the_same_beer_in_other_units_is_the_same_recipe(house: House) -> None:
    # A US gallon is 3.785411784 L and a pound 0.45359237 kg by definition.
    imperial = changed(BITTER, "/volume", {"value": 20 / 3.785411784, "unit": "US gal"})
    imperial = changed(imperial, "/grist/0/mass", {"value": 4.2 / 0.45359237, "unit": "lb"})
    one = house.made("/v1/recipes", {**BITTER, "owner": "club"})
    other = house.made("/v1/recipes", {**imperial, "owner": "club"})
    assert other["volume"]["value"] == pytest.approx(one["volume"]["value"], rel=1e-12)
    assert other["grist"][0]["mass"]["value"] == pytest.approx(4.2, rel=1e-12)


@pytest.mark.parametrize(
    ("path", "value", "pointer"),
    [
        ("/volume", "0 L", "/volume"),
        ("/volume", "5001 L", "/volume"),
        ("/volume", 20, "/volume"),
        ("/volume_at", "bucket", "/volume_at"),
        ("/efficiency", "101 %", "/efficiency"),
        ("/original_gravity", 1.191, "/original_gravity"),
        ("/original_gravity", 1.0, "/original_gravity"),
        ("/final_gravity", 1.044, "/final_gravity"),
        ("/bitterness", "-1 IBU", "/bitterness"),
        ("/boil_time", "361 min", "/boil_time"),
        ("/name", "", "/name"),
        ("/grist", [], "/grist"),
        ("/grist", [BITTER["grist"][0]] * 101, "/grist"),
        ("/grist/0/mass", "0 kg", "/grist/0/mass"),
        ("/grist/0/mass", "1001 kg", "/grist/0/mass"),
        ("/grist/0/share", "50 %", "/grist/0/mass"),
        ("/grist/0/extract_yield", "110 %", "/grist/0/extract_yield"),
        ("/grist/0/flavour", "nutty", "/grist/0/flavour"),
        ("/grist/1", {"name": "Mill Lane No 3", "mass": "1 kg"}, "/grist/1/kind"),
        ("/grist/1", {"name": "Crystal 60 L", "share": "5 %"}, "/grist/1/share"),
        ("/hop_bill/0/alpha", "31 %", "/hop_bill/0/alpha"),
        ("/hop_bill/0/alpha", "0.4 %", "/hop_bill/0/alpha"),
        ("/hop_bill/0/moment", "later", "/hop_bill/0/moment"),
        ("/hop_bill/0/time", None, "/hop_bill/0/time"),
        ("/hop_bill/0/name", "Weir Gold", "/hop_bill/0/alpha"),
        ("/yeast/apparent_attenuation", "20 %", "/yeast/apparent_attenuation"),
        ("/mash/0/temperature", "120 degC", "/mash/0/temperature"),
        ("/owner", "the club", "/owner"),
        ("/id", "019a0000-0000-7000-8000-000000000001", "/id"),
    ],
)
def test_what_is_refused_is_named_and_nothing_is_stored(
    house: House, path: str, value: Any, pointer: str
) -> None:
    answer = house.ask("POST", "/v1/recipes", changed({**BITTER, "owner": "club"}, path, value))
    assert answer.status_code == 422, answer.text
    assert pointers(answer) == [pointer]
    assert house.get("/v1/recipes")["items"] == []


@pytest.mark.parametrize(
    ("path", "value", "pointer"),
    [
        ("/grist/1/share", "9 %", "/grist"),
        ("/grist/1/share", "0 %", "/grist/1/share"),
        ("/grist/1/share_of", "extract", "/grist/1/share_of"),
        ("/original_gravity", None, "/original_gravity"),
    ],
)
def test_shares_that_do_not_make_a_beer_are_refused(
    house: House, path: str, value: Any, pointer: str
) -> None:
    answer = house.ask("POST", "/v1/recipes", changed({**SHARES, "owner": "club"}, path, value))
    assert answer.status_code == 422
    assert pointers(answer) == [pointer]


def test_shares_rounded_in_print_are_taken(house: House) -> None:
    house.made("/v1/recipes", changed({**SHARES, "owner": "club"}, "/grist/1/share", "8.4 %"))


def test_replacing_needs_the_version_that_was_read(house: House) -> None:
    made = house.ask("POST", "/v1/recipes", {**BITTER, "owner": "club"})
    path = made.headers["Location"]
    weaker = {**BITTER, "original_gravity": 1.04}
    assert house.ask("PUT", path, weaker).status_code == 428
    first = house.ask("PUT", path, weaker, If_Match=made.headers["ETag"])
    assert first.json["original_gravity"]["value"] == 1.04
    assert house.ask("PUT", path, BITTER, If_Match=made.headers["ETag"]).status_code == 412
    assert house.get(path)["original_gravity"]["value"] == 1.04


def test_deleting_needs_the_version_and_then_it_is_gone(house: House) -> None:
    made = house.ask("POST", "/v1/recipes", {**BITTER, "owner": "club"})
    path = made.headers["Location"]
    assert house.ask("DELETE", path, If_Match='"v9"').status_code == 412
    assert house.ask("DELETE", path, If_Match=made.headers["ETag"]).status_code == 204
    assert house.ask("GET", path).status_code == 404


def test_a_brewer_reads_the_clubs_recipes_and_changes_only_their_own(house: House) -> None:
    key = house.brewer_key()
    of_club = house.recipe()
    own = house.made("/v1/recipes", {**BITTER, "owner": house.brewer_id}, key)
    assert {one["id"] for one in house.get("/v1/recipes", key)["items"]} == {
        of_club["id"],
        own["id"],
    }
    path = f"/v1/recipes/{of_club['id']}"
    assert house.ask("PUT", path, BITTER, key=key, If_Match='"v1"').status_code == 403
    assert house.ask("DELETE", path, key=key, If_Match='"v1"').status_code == 403
    path = f"/v1/recipes/{own['id']}"
    assert house.ask("PUT", path, BITTER, key=key, If_Match='"v1"').status_code == 200


def test_a_brewer_cannot_add_to_the_club_or_to_another(house: House) -> None:
    key = house.brewer_key()
    other = house.made("/v1/brewers", {"name": "Bo Weir"})["id"]
    for owner, status in (("club", 403), (other, 404)):
        answer = house.ask("POST", "/v1/recipes", {**BITTER, "owner": owner}, key=key)
        assert answer.status_code == status
    assert house.get("/v1/recipes")["items"] == []


def test_the_list_is_followed_to_its_end_without_gap_or_repeat(house: House) -> None:
    made = [house.recipe(name=f"Beer {n}")["id"] for n in range(5)]
    seen, path = [], "/v1/recipes?limit=2"
    while path:
        page = house.get(path)
        seen += [one["id"] for one in page["items"]]
        path = page["next"]
    assert seen == made[::-1]


def test_what_a_line_is_for_counts_where_it_is_said_as_where_it_is_told(house: House) -> None:
    """A role or purpose written out is the same as one that kind, moment and time tell."""
    told = examples.RECIPE
    said = {
        **told,
        "grist": [
            {**line, "role": "character" if "Crystal" in line["name"] else "base"}
            for line in told["grist"]
        ],
        "hop_bill": [
            {**hop, "purpose": purpose}
            for hop, purpose in zip(told["hop_bill"], ("bitterness", "aroma"), strict=True)
        ],
    }
    target = {"volume": "12 L", "gravity": 1.06, "bitterness": "40 IBU"}
    plans = [
        house.made(
            "/v1/scalings?store=false",
            {"setup": examples.SETUP, "recipe": recipe, "target": target},
        )["plan"]
        for recipe in (told, said)
    ]
    assert plans[0]["grist"] == plans[1]["grist"]
    assert plans[0]["hop_bill"] == plans[1]["hop_bill"]
