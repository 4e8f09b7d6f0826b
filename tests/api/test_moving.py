from typing import Any

import pytest

from api.house import House, changed, pointers


@pytest.fixture
def export(house: House) -> Any:
    setup, recipe = house.setup(), house.recipe(owner=house.brewer_id)
    house.made("/v1/scalings", {"setup_id": setup["id"], "recipe_id": recipe["id"]})
    house.session(setup["id"], state="closed")
    exported = house.get(f"/v1/brewers/{house.brewer_id}/export")
    path = f"/v1/brewers/{house.brewer_id}"
    assert house.ask("DELETE", path, If_Match='"v1"').status_code == 204
    return exported


def test_a_brewer_moves_to_another_club_and_takes_everything_along(
    export: Any, other_house: House
) -> None:
    made = other_house.made("/v1/brewers/import", export)
    assert other_house.get(f"/v1/brewers/{made['id']}/export") == export
    session = export["sessions"][0]
    assert other_house.get(f"/v1/sessions/{session['row']['id']}")["state"] == "closed"


@pytest.mark.parametrize(
    ("path", "value", "pointer"),
    [
        ("/format_version", 2, "/format_version"),
        ("/brewer/row/id", "me", "/brewer/row/id"),
        (
            "/setups/0/value/vessels/kettle/capacity_l",
            -1.0,
            "/setups/0/value/vessels/kettle/capacity",
        ),
        ("/recipes/0/value/volume_l", 1e9, "/recipes/0/value/volume"),
        ("/recipes/0/value/volume_l", "20", "/recipes/0/value/volume_l"),
        ("/recipes/0/row/created_at", "2026-03-01T10:00:00", "/recipes/0/row/created_at"),
        ("/sessions/0/value/state", "paused", "/sessions/0/value/state"),
        ("/calibrations/0/value/constants", {}, "/calibrations/0/value"),
    ],
)
def test_what_this_service_would_not_have_written_is_refused_whole(
    export: Any, other_house: House, path: str, value: Any, pointer: str
) -> None:
    answer = other_house.ask("POST", "/v1/brewers/import", changed(export, path, value))
    assert answer.status_code == 422, answer.text
    assert pointers(answer) == [pointer]
    for kind in ("brewers", "setups", "recipes", "sessions", "scalings"):
        items = other_house.get(f"/v1/{kind}")["items"]
        assert [one["id"] for one in items] == (
            [other_house.brewer_id] if kind == "brewers" else []
        )


def test_a_brewer_who_is_here_is_a_conflict(house: House) -> None:
    export = house.get(f"/v1/brewers/{house.brewer_id}/export")
    assert house.ask("POST", "/v1/brewers/import", export).status_code == 409
