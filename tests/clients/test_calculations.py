import inspect
from typing import Any

import pytest

from clients import contract_of as of
from wortwright_client import Client
from wortwright_client.documents.beers import LotDocument
from wortwright_client.operations.beers import Beers
from wortwright_client.operations.calculations import Calculations
from wortwright_client.operations.plans import Plans

CALCULATIONS = sorted(
    name
    for kind in (Beers, Calculations, Plans)
    for name in vars(kind)
    if name.startswith("compute_")
)


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


def test_blend_without_a_wish_takes_all_of_each_beer(club: Client) -> None:
    more: LotDocument = {"volume": "6 L", "original_gravity": 1.050, "final_gravity": 1.012}
    less: LotDocument = {**more, "volume": "4 L"}
    blended = club.compute_blend({"lots": [more, less]})
    assert [part.taken for part in blended.parts] == [part.volume for part in blended.parts]
    # Alike beers keep their gravity, whatever the rule of blending.
    assert blended.blend.volume.value == pytest.approx(10.0)
    assert blended.blend.original_gravity.mean.value == pytest.approx(1.050, abs=5e-6)
    assert not blended.misses


def test_styles_are_listed_with_their_ranges(club: Client) -> None:
    styles = {style.id: style for style in club.list_styles(units="metric")}
    (gravity,) = (one for one in styles["17D"].ranges if one.name == "original_gravity")
    assert gravity.low is not None
    assert gravity.high is not None
    # BJCP Beer Style Guidelines 2021, 17D English Barley Wine, vital statistics.
    assert (gravity.low.value, gravity.high.value) == (1.080, 1.120)
