"""PHREEQC at 25 degC, asked in its own language."""

from functools import cache
from typing import Any

import pytest

WANTED = "Ca Mg Na K Cl S(6) C(4) N(5)"


@cache
def _engine() -> Any:
    return pytest.importorskip("phreeqpython").PhreeqPython(database="phreeqc.dat").ip


def run(script: str) -> dict[str, float]:
    """Last state of a script: totals [mol/kgw], alkalinity [eq/kgw], pH, charge error [%]."""
    engine = _engine()
    engine.run_string(
        "SELECTED_OUTPUT 1\n    -reset false\n    -ph true\n    -alkalinity true\n"
        f"    -percent_error true\n    -totals {WANTED} O(0) P Amm\n"
        "    -molalities H2PO4- HPO4-2 PO4-3 HCO3- CO3-2 CO2\n"
        f"{script}\nEND\n"
    )
    headings, *_, last = engine.get_selected_output_array()
    return {_plain(name): float(value) for name, value in zip(headings, last, strict=True)}


def _plain(heading: str) -> str:
    return heading.removesuffix("(mol/kgw)").removesuffix("(eq/kgw)")


def in_pure_water(mmol: dict[str, float]) -> dict[str, float]:
    """Salts by formula [mmol/kgw] put into pure water."""
    lines = "\n".join(f"    {formula} {amount}" for formula, amount in mmol.items())
    return run(f"SOLUTION 1\n    units mmol/kgw\nREACTION 1\n{lines}\n    1 mmol")


def as_reported(lines: str) -> dict[str, float]:
    """A water typed in as a laboratory prints it, mg/L."""
    return run(f"SOLUTION 1\n    units mg/L\n    density 1\n{lines}")


def titrated(mmol: dict[str, float], ph: float) -> dict[str, float]:
    """Salts in pure water [mmol/kgw] brought to a pH with hydrochloric acid, no gas lost."""
    lines = "\n".join(f"    {formula} {amount}" for formula, amount in mmol.items())
    return run(
        f"SOLUTION 1\n    units mmol/kgw\nREACTION 1\n{lines}\n    1 mmol\nSAVE solution 2\nEND\n"
        "PHASES\nFix_H+\n    H+ = H+\n    log_k 0\n"
        f"USE solution 2\nEQUILIBRIUM_PHASES 1\n    Fix_H+ -{ph} HCl 10"
    )
