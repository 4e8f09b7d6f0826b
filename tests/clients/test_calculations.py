import inspect
from typing import Any

import pytest

from clients import contract_of as of
from wortwright_client import Client
from wortwright_client.operations.calculations import Calculations

CALCULATIONS = sorted(name for name in vars(Calculations) if name.startswith("compute_"))


@pytest.mark.parametrize("name", CALCULATIONS)
def test_example_of_the_contract_is_answered_and_read(
    club: Client, contract: dict[str, Any], name: str
) -> None:
    operation = of.operations(contract)[name]
    example = operation["requestBody"]["content"]["application/json"]["example"]
    answer = getattr(club, name)(example)
    (kind,) = of.models_in(inspect.signature(of.methods()[name]).return_annotation)
    assert type(answer) is kind


def test_quantity_is_given_in_every_unit(club: Client) -> None:
    boiling = club.compute_conversion({"dimension": "temperature", "value": 212, "unit": "degF"})
    # 212 degF is 100 degC by definition of the scale.
    found = {one.unit: one.value for one in boiling.quantities}
    assert found == pytest.approx({"degC": 100.0, "degF": 212.0})


def test_scaling_tells_what_else_was_asked_for(club: Client, contract: dict[str, Any]) -> None:
    operation = of.operations(contract)["create_scaling"]
    example = operation["requestBody"]["content"]["application/json"]["example"]
    pitch = of.operations(contract)["compute_pitch"]["requestBody"]["content"]["application/json"]
    asked: Any = {**example, "yeast": pitch["example"]["yeast"]}
    scaling = club.create_scaling(asked, store=False)
    assert scaling.pitch is not None
    assert scaling.pitch.cells_wanted.value > 0
    assert scaling.bottling is None
