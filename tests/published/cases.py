"""Rows of fixtures/published as test cases.

A file holds one quantity: its inputs (columns between ``row`` and ``expected``), the number as it
is printed in the source, a tolerance where it is not half a unit of the last printed digit, and
where the number comes from: ``printed`` in the source, by an independent ``library``, ``derived``
apart from the code under test, from ``memory``, or common ``practice``.
"""

import csv
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

PUBLISHED = Path(__file__).parents[2] / "fixtures" / "published"
PROVENANCES = {"printed", "library", "derived", "memory", "practice"}


@dataclass(frozen=True)
class Case:
    inputs: dict[str, Any]
    expected: Any


def cases(name: str) -> list[Any]:
    with (PUBLISHED / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    assert rows, f"{name} is empty"
    return [
        pytest.param(_case(row), id=f"{row['table']} {row['row']}".replace(" ", "_"))
        for row in rows
    ]


def _case(row: dict[str, str]) -> Case:
    assert row["provenance"] in PROVENANCES
    assert row["source"]
    names = list(row)
    inputs = {name: _number(row[name]) for name in names[2 : names.index("expected")] if row[name]}
    tolerance = float(row["tolerance"]) if row["tolerance"] else _half_a_digit(row["expected"])
    return Case(inputs, pytest.approx(float(row["expected"]), abs=tolerance, rel=0.0))


def _number(text: str) -> float | str:
    try:
        return float(text)
    except ValueError:
        return text


def _half_a_digit(printed: str) -> float:
    # The rest is for the binary fraction of a number that ends in 5.
    return float(Decimal(1).scaleb(Decimal(printed).as_tuple().exponent)) * 0.5000001
