import re
from pathlib import Path
from typing import Any

import pytest

README = Path(__file__).parents[2] / "clients" / "python" / "README.md"
BLOCKS = re.findall(r"```python\n(.*?)```", README.read_text(encoding="utf-8"), re.DOTALL)


def test_examples_run_one_after_the_other(
    address: str, club_key: str, capsys: pytest.CaptureFixture[str]
) -> None:
    told: list[str] = []
    names: dict[str, Any] = {"address": address, "key": club_key}
    for block in BLOCKS:
        exec(block, names)
        told.append(capsys.readouterr().out)
    plan, learnt, _, listed, refused = told
    assert re.fullmatch(
        r"Pale ale malt: [\d.]+ kg\nCrystal 60 L: [\d.]+ kg\n"
        r"Mash in [\d.]+ L at [\d.]+ degC\n"
        r"Original gravity 1\.\d+ SG \(1\.\d+ to 1\.\d+\)\n",
        plan,
    )
    assert re.search(r"^boil_off [\d.]+ L/h$", learnt, re.MULTILINE)
    assert listed == "Ada Millrace\n"
    assert refused.startswith("/units 'ells' is not accepted")


def test_first_example_is_ten_lines() -> None:
    lines = [line for line in BLOCKS[0].splitlines() if line.strip()]
    assert len(lines) <= 10
