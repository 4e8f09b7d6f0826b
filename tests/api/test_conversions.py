from typing import Any

import pytest

from api.house import House, pointers
from wortwright.units import Dimension, symbols

PATH = "/v1/conversions"


def converted(house: House, dimension: str, value: float, unit: str) -> dict[str, float]:
    answer = house.made(PATH, {"dimension": dimension, "value": value, "unit": unit})
    assert answer["dimension"] == dimension
    return {one["unit"]: one["value"] for one in answer["quantities"]}


# Reference 1.3 and the definitions of the units.
@pytest.mark.parametrize(
    ("dimension", "value", "unit", "to", "expected"),
    [
        ("alkalinity", 1.0, "dH", "mg/L CaCO3", 17.848),
        ("alkalinity", 1.0, "meq/L", "dH", 2.8039),
        ("alkalinity", 100.0, "mg/L HCO3", "mg/L CaCO3", 82.02),
        ("hardness", 1.0, "mmol/L", "meq/L", 2.0),
        ("pressure", 1.0, "bar", "psi", 14.5038),
        ("volume", 5.0, "US gal", "L", 18.92706),
        ("temperature", 60.0, "degF", "degC", 15.5556),
        ("gravity", 12.0, "degP", "SG", 1.04833),
        ("carbonation", 1.0, "volumes", "g/L", 1.977),
    ],
)
def test_a_quantity_is_given_in_every_unit_of_its_dimension(
    house: House, dimension: str, value: float, unit: str, to: str, expected: float
) -> None:
    answer = converted(house, dimension, value, unit)
    assert answer[to] == pytest.approx(expected, rel=5e-5)
    assert answer[unit] == pytest.approx(value)
    assert list(answer) == list(symbols(Dimension(dimension)))


def test_a_unit_whose_scale_ends_before_is_left_out(house: House) -> None:
    answer = converted(house, "gravity", 1.25, "SG")
    assert answer["SG"] == 1.25
    assert "degP" not in answer


@pytest.mark.parametrize(
    ("body", "pointer"),
    [
        ({"dimension": "mass", "value": 1, "unit": "L"}, "/unit"),
        ({"dimension": "volume", "value": 1, "unit": "gal"}, "/unit"),
        ({"dimension": "gravity", "value": 90, "unit": "degP"}, "/value"),
        ({"dimension": "taste", "value": 1, "unit": "kg"}, "/dimension"),
        ({"dimension": "mass", "value": "1", "unit": "kg"}, "/value"),
    ],
)
def test_what_cannot_be_converted_is_refused_where_it_stands(
    house: House, body: dict[str, Any], pointer: str
) -> None:
    answer = house.ask("POST", PATH, body)
    assert answer.status_code == 422
    assert pointers(answer) == [pointer]
