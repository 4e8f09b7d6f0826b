"""The tour, line by line, against the real service."""

import re
from importlib import resources
from typing import Any

import pytest

TOUR = (resources.files("wortwright") / "docs" / "tour.md").read_text(encoding="utf-8")


def test_the_tour_runs_and_tells_what_it_says(
    address: str, club_key: str, capsys: pytest.CaptureFixture[str]
) -> None:
    names: dict[str, Any] = {"address": address, "key": club_key}
    for block in re.findall(r"```python\n(.*?)```", TOUR, re.DOTALL):
        exec(block, names)
    names["club"].close()
    told = capsys.readouterr().out
    assert re.search(r"^\d\.\d\d kg of Pale ale malt$", told, re.MULTILINE)
    assert re.search(r"^boil_off: 3\.20 L/h before, now \d\.\d\d L/h", told, re.MULTILINE)
    assert len(re.findall(r"^https?://\S+key=ww_link_\S+$", told, re.MULTILINE)) == 2
    assert re.search(r"^It implies 7\d(\.\d+)? %|^It implies 0\.7", told, re.MULTILINE)
    assert {way.kind for way in names["too_much"].plan.ways_out} >= {"several_brews"}
    assert names["answer"].log.corrections
    assert names["stored"].log.corrections == names["answer"].log.corrections
    assert re.search(r"^Long Night Barley Wine: \d+\.\d+ lb, fits: True$", told, re.MULTILINE)
    assert re.search(
        r"^English Barley Wine, original_gravity: 1\.080? SG to 1\.120? SG$", told, re.MULTILINE
    )
    assert "\nBEGIN:VCALENDAR\n" in told
    assert names["of_two"].to_brew == 1
    assert names["second"].reached
    assert names["blend"].original_gravity.mean.value == pytest.approx(1.094, abs=0.0005)
