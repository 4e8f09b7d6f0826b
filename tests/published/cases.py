"""Rows of fixtures/published as test cases.

A file holds one quantity: its inputs (columns between ``row`` and ``expected``), the number as it
is printed in the source, a tolerance where it is not half a unit of the last printed digit, and
where the number comes from: ``printed`` in the source, by an independent ``library`` or a second
derivation from a different equation, ``derived`` apart from the code under test by the same
equation, from ``memory``, or common ``practice``.
"""

import csv
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

PUBLISHED = Path(__file__).parents[2] / "fixtures" / "published"
PROVENANCES = ("printed", "library", "derived", "memory", "practice")


@dataclass(frozen=True, eq=False)
class Expected:
    """A number of a source, equal to every number that is within its tolerance."""

    value: float
    tolerance: float
    file: str
    table: str
    row: str
    provenance: str

    def __eq__(self, found: object) -> bool:
        COMPARISONS.append((self, found))
        return bool(abs(found - self.value) <= self.tolerance)

    __hash__ = None

    def __repr__(self) -> str:
        return f"{self.value:g} ± {self.tolerance:.2g} ({self.provenance}, {self.table})"


COMPARISONS: list[tuple[Expected, Any]] = []
"""Every comparison of this run with what was found, for the report."""


@dataclass(frozen=True)
class Case:
    """Inputs of a row, what to expect of the code, and the number as it is printed."""

    inputs: dict[str, Any]
    expected: Expected
    printed: Any


def cases(name: str) -> list[Any]:
    return [
        pytest.param(_case(name, row), id=f"{row['table']} {row['row']}".replace(" ", "_"))
        for row in rows(name)
    ]


def rows(name: str) -> list[dict[str, str]]:
    with (PUBLISHED / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        found = list(csv.DictReader(file))
    assert found, f"{name} is empty"
    return found


def _case(name: str, row: dict[str, str]) -> Case:
    assert row["provenance"] in PROVENANCES
    assert row["source"]
    names = list(row)
    inputs = {name: _number(row[name]) for name in names[2 : names.index("expected")] if row[name]}
    value, half_a_digit = float(row["expected"]), _half_a_digit(row["expected"])
    tolerance = float(row["tolerance"]) if row["tolerance"] else half_a_digit
    expected = Expected(value, tolerance, name, row["table"], row["row"], row["provenance"])
    return Case(inputs, expected, pytest.approx(value, abs=half_a_digit, rel=0.0))


def _number(text: str) -> float | str | list[float]:
    parts = text.split()
    try:
        numbers = [float(part) for part in parts]
    except ValueError:
        return text
    return numbers[0] if len(numbers) == 1 else numbers


def _half_a_digit(printed: str) -> float:
    # The rest is for the binary fraction of a number that ends in 5.
    return float(Decimal(1).scaleb(Decimal(printed).as_tuple().exponent)) * 0.5000001
