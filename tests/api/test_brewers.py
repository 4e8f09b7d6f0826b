import pytest

from api.house import House, pointers


def test_a_brewer_comes_back_as_made(house: House) -> None:
    made = house.made("/v1/brewers", {"name": "Bo Weir", "units": "imperial"})
    assert (made["name"], made["units"]) == ("Bo Weir", "imperial")
    assert house.get(f"/v1/brewers/{made['id']}") == made


def test_units_are_metric_unless_said(house: House) -> None:
    assert house.made("/v1/brewers", {"name": "Bo Weir"})["units"] == "metric"


def test_answers_come_in_the_brewers_own_units_unless_asked_otherwise(house: House) -> None:
    bo = house.made("/v1/brewers", {"name": "Bo Weir", "units": "us"})["id"]
    key = house.brewer_key(brewer_id=bo)
    path = f"/v1/recipes/{house.recipe()['id']}"
    assert house.get(path, key)["volume"]["unit"] == "US gal"
    assert house.get(f"{path}?units=metric", key)["volume"] == {"value": 20.0, "unit": "L"}
    assert house.get(path)["volume"]["unit"] == "L"


@pytest.mark.parametrize(
    ("body", "pointer"),
    [
        ({}, "/name"),
        ({"name": ""}, "/name"),
        ({"name": "x" * 201}, "/name"),
        ({"name": "Bo", "units": "stone"}, "/units"),
        ({"name": "Bo", "id": "019a0000-0000-7000-8000-000000000001"}, "/id"),
    ],
)
def test_what_is_refused_is_named_and_nothing_is_stored(
    house: House, body: dict[str, str], pointer: str
) -> None:
    answer = house.ask("POST", "/v1/brewers", body)
    assert answer.status_code == 422
    assert pointers(answer) == [pointer]
    assert len(house.get("/v1/brewers")["items"]) == 1


def test_deleting_a_brewer_takes_everything_of_theirs(house: House) -> None:
    setup, recipe = house.setup(), house.recipe(owner=house.brewer_id)
    key = house.brewer_key()
    path = f"/v1/brewers/{house.brewer_id}"
    assert house.ask("DELETE", path, If_Match='"v1"').status_code == 204
    for gone in (path, f"/v1/setups/{setup['id']}", f"/v1/recipes/{recipe['id']}"):
        assert house.ask("GET", gone).status_code == 404
    assert house.ask("GET", "/v1/recipes", key=key).status_code == 401


def test_a_brewer_sees_only_themselves(house: House) -> None:
    house.made("/v1/brewers", {"name": "Bo Weir"})
    listed = house.get("/v1/brewers", house.brewer_key())["items"]
    assert [one["id"] for one in listed] == [house.brewer_id]


def test_a_caller_sees_its_club_and_no_other(house: House, other_house: House) -> None:
    (own,) = house.get("/v1/clubs")["items"]
    (other,) = other_house.get("/v1/clubs")["items"]
    assert own["name"] == "Millrace Lane"
    assert house.get(f"/v1/clubs/{own['id']}") == own
    assert house.ask("GET", f"/v1/clubs/{other['id']}").status_code == 404
