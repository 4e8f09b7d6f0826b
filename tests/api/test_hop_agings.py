from typing import Any

import pytest

from api.house import House, pointers

AGING, SUBSTITUTION = "/v1/hop-agings", "/v1/hop-substitutions"
HALF_YEAR = {
    "name": "No known hop",
    "alpha": "10 %",
    "age": "180 d",
    "temperature": "20 degC",
    "packing": "open_bag",
    "lost_in_half_year": "30 %",
}


def aged(house: House, **changes: Any) -> Any:
    said = {name: value for name, value in {**HALF_YEAR, **changes}.items() if value is not None}
    (hop,) = house.made(AGING, {"hops": [said]})["hops"]
    return hop


# Garetz 1994 with the factors of the reference, 1.8: k of 30 % is 0.00198 a day.
@pytest.mark.parametrize(
    ("changes", "left"),
    [
        ({}, 0.70),
        ({"packing": "barrier"}, 0.70**0.5),
        ({"packing": "airtight"}, 0.70**0.75),
        ({"temperature": "5 degC"}, 0.70**0.5),
        ({"temperature": "-10 degC"}, 0.70**0.25),
        ({"age": "90 d"}, 0.70**0.5),
        ({"age": "0 d"}, 1.0),
        ({"age": None, "storage_index": 0.35}, 1.0 - 0.161),
        ({"age": None, "storage_index": 0.25}, 1.0),
    ],
)
def test_alpha_falls_by_age_packing_and_temperature(
    house: House, changes: dict[str, Any], left: float
) -> None:
    hop = aged(house, **changes)
    assert hop["left_share"]["value"] == pytest.approx(left, abs=5e-4)
    assert hop["alpha"]["value"] == pytest.approx(0.10 * left, abs=5e-5)


def test_a_variety_that_is_known_needs_no_figure_and_one_that_is_not_is_doubted(
    house: House,
) -> None:
    # Cascade keeps half in half a year (USA Hop Variety Manual 2013).
    known = aged(house, name="Cascade", lost_in_half_year=None)
    assert known["left_share"]["value"] == pytest.approx(0.50, abs=0.005)
    assert known["warnings"] == []
    unknown = aged(house, lost_in_half_year=None)
    assert [entry["code"] for entry in unknown["warnings"]] == ["storage_loss_assumed"]


def test_hops_that_lost_more_than_half_are_doubted(house: House) -> None:
    old = aged(house, age="3 month", lost_in_half_year="90 %")
    assert [entry["code"] for entry in old["warnings"]] == ["hops_too_old"]


@pytest.mark.parametrize(
    ("changes", "pointer"),
    [
        ({"age": None}, "/hops/0"),
        ({"storage_index": 0.3}, "/hops/0"),
        ({"alpha": "40 %"}, "/hops/0/alpha"),
        ({"age": "11 week week"}, "/hops/0/age"),
        ({"packing": "sock"}, "/hops/0/packing"),
    ],
)
def test_hops_that_are_not_told_once_are_refused(
    house: House, changes: dict[str, Any], pointer: str
) -> None:
    said = {name: value for name, value in {**HALF_YEAR, **changes}.items() if value is not None}
    answer = house.ask("POST", AGING, {"hops": [said]})
    assert answer.status_code == 422
    assert pointers(answer) == [pointer]


def test_a_substitute_keeps_alpha_times_mass_for_bitterness_and_mass_for_aroma(
    house: House,
) -> None:
    body = {"mass": "30 g", "alpha": "5 %", "other_alpha": "12 %"}
    bitter = house.made(f"{SUBSTITUTION}?units=metric", body)
    assert bitter["mass"] == {"value": pytest.approx(12.5), "unit": "g"}
    aroma = house.made(f"{SUBSTITUTION}?units=metric", {**body, "purpose": "aroma"})
    assert aroma["mass"] == {"value": pytest.approx(30.0), "unit": "g"}
    assert [entry["code"] for entry in aroma["warnings"]] == ["bitterness_follows"]
