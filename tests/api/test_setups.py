from typing import Any

import pytest

from api.house import House, changed, pointers
from wortwright.api import examples

SETUP = examples.SETUP


def test_a_setup_comes_back_as_described(house: House) -> None:
    made = house.setup()
    read = house.get(f"/v1/setups/{made['id']}")
    assert read == made
    assert read["brewer_id"] == house.brewer_id
    assert read["vessels"]["kettle"]["capacity"] == {"value": 35.0, "unit": "L"}
    assert read["vessels"]["mash_tun"] is None
    assert [one["capacity"]["value"] for one in read["vessels"]["fermenters"]] == [27.0, 27.0]
    assert read["constants"]["boil_off"] == {"value": 3.2, "unit": "L/h"}
    assert read["constants"]["kettle_loss"] is None


def test_room_is_kept_free_as_the_brewer_says_or_as_is_usual(house: House) -> None:
    kettle = house.setup()["vessels"]["kettle"]
    # design: foam_room 20 %, mash_room 5 % unless said.
    assert (kettle["foam_room"]["value"], kettle["mash_room"]["value"]) == (0.2, 0.05)
    said = changed(SETUP, "/vessels/kettle/foam_room", "10 %")
    assert house.setup(**said)["vessels"]["kettle"]["foam_room"]["value"] == 0.1


def test_a_new_setup_is_calibrated_from_what_was_said_of_it(house: House) -> None:
    setup = house.setup()
    known = house.get(f"/v1/setups/{setup['id']}/calibration")
    assert (known["number"], known["session_ids"], known["setup_version"]) == (0, [], 1)
    boil_off = next(one for one in known["constants"] if one["name"] == "boil_off")
    assert boil_off["prior_mean"] == {"value": 3.2, "unit": "L/h"}


def test_describing_a_setup_anew_calibrates_it_anew(house: House) -> None:
    setup = house.setup()
    path = f"/v1/setups/{setup['id']}"
    better = changed(SETUP, "/constants/boil_off", "4 L/h")
    assert house.ask("PUT", path, better, If_Match='"v1"').status_code == 200
    known = house.get(f"{path}/calibration")
    assert (known["number"], known["setup_version"]) == (1, 2)
    boil_off = next(one for one in known["constants"] if one["name"] == "boil_off")
    assert boil_off["prior_mean"]["value"] == 4.0
    assert [one["number"] for one in house.get(f"{path}/calibrations")["items"]] == [1, 0]
    assert house.get(f"{path}/calibrations/0")["setup_version"] == 1


@pytest.mark.parametrize(
    ("path", "value", "pointer"),
    [
        ("/name", "", "/name"),
        ("/lauter_method", "magic", "/lauter_method"),
        ("/runnings", 0, "/runnings"),
        ("/vessels/kettle", None, "/vessels/kettle"),
        ("/vessels/kettle/capacity", "0 L", "/vessels/kettle/capacity"),
        ("/vessels/kettle/capacity", "5001 L", "/vessels/kettle/capacity"),
        ("/vessels/kettle/foam_room", "100 %", "/vessels/kettle/foam_room"),
        ("/vessels/fermenters/1/capacity", "27 kg", "/vessels/fermenters/1/capacity"),
        ("/vessels/fermenters", [{"capacity": "27 L"}] * 51, "/vessels/fermenters"),
        ("/constants/boil_off", "-1 L/h", "/constants/boil_off"),
        ("/constants/conversion", "20 %", "/constants/conversion"),
        ("/constants/efficiency", "75 %", "/constants/efficiency"),
        ("/brewer_id", "me", "/brewer_id"),
    ],
)
def test_what_is_refused_is_named_and_nothing_is_stored(
    house: House, path: str, value: Any, pointer: str
) -> None:
    body = changed({**SETUP, "brewer_id": house.brewer_id}, path, value)
    answer = house.ask("POST", "/v1/setups", body)
    assert answer.status_code == 422
    assert pointers(answer) == [pointer]
    assert house.get("/v1/setups")["items"] == []


def test_a_setup_with_sessions_is_not_deleted_from_under_them(house: House) -> None:
    path = f"/v1/setups/{(setup := house.setup())['id']}"
    session = house.session(setup["id"])
    refused = house.ask("DELETE", path, If_Match='"v1"')
    assert refused.status_code == 409
    assert house.ask("DELETE", f"/v1/sessions/{session['id']}", If_Match='"v1"').status_code == 204
    assert house.ask("DELETE", path, If_Match='"v1"').status_code == 204
    assert house.ask("GET", f"{path}/calibration").status_code == 404


def test_a_page_key_reads_setups_and_changes_none(house: House) -> None:
    setup = house.setup()
    page = house.brewer_key("page", origins=["https://club.example"])
    origin = {"Origin": "https://club.example"}
    path = f"/v1/setups/{setup['id']}"
    assert house.ask("GET", path, key=page, **origin).status_code == 200
    body = {**SETUP, "brewer_id": house.brewer_id}
    assert house.ask("POST", "/v1/setups", body, key=page, **origin).status_code == 403
    assert house.ask("DELETE", path, key=page, If_Match='"v1"', **origin).status_code == 403
