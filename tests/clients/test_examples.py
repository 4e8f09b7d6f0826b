"""The examples of the client, run against the real service."""

import re
import runpy
from pathlib import Path

import pytest

EXAMPLES = Path(__file__).parents[2] / "clients" / "python" / "examples"


def test_the_strong_beer_is_planned_from_notes(
    address: str,
    club_key: str,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.setenv("WORTWRIGHT_ADDRESS", address)
    monkeypatch.setenv("WORTWRIGHT_KEY", club_key)
    runpy.run_path(str(EXAMPLES / "strong_beer_from_notes.py"), run_name="__main__")
    told = capsys.readouterr().out
    brews = (EXAMPLES / "brews.csv").read_text(encoding="utf-8").splitlines()[1:]
    assert len(re.findall(r"^Row \d+: stored$", told, re.MULTILINE)) == len(brews)
    assert f"Each of {len(brews)} brews forecast from the others" in told
    curve = re.findall(r"^ +(0\.\d\d) +(\d\d\.\d) %", told, re.MULTILINE)
    loads, means = ([float(one) for one in row] for row in zip(*curve, strict=True))
    assert len(curve) > 5
    # The wort that stays in the grain is a larger share of the extract, the more grain there is.
    assert (loads, means) == (sorted(loads), sorted(means, reverse=True))
    assert re.search(r"^Original gravity 1\.\d+ SG \(1\.\d+ to 1\.\d+\)$", told, re.MULTILINE)
    assert re.search(r"^  \d\.\d+ kg  Pale ale malt$", told, re.MULTILINE)
    assert re.search(r"^! ", told, re.MULTILINE)


def test_every_example_is_run_here() -> None:
    run = Path(__file__).read_text(encoding="utf-8")
    assert all(example.name in run for example in EXAMPLES.glob("*.py"))
