"""Pages are words, numbers and lines: right in grey, no swatches, no icons, no bars of ranges."""

import re
import unicodedata
from typing import Any

import pytest

from pages.house import PageHouse
from wortwright.pages import guide

COLOUR = re.compile(r"[\s:\"(]#([0-9a-fA-F]{3}|[0-9a-fA-F]{6})\b")
PAINTED = re.compile(r"\b(?:fill|stroke|color|background(?:-color)?)\s*[=:]\s*\"?([^\";}]+)")
PLAIN = re.compile(r"#[0-9a-fA-F]{3,6}|none|inherit|url\(#seen-so-far\)|(?:#\w+ )?solid.*")


@pytest.fixture(scope="module")
def shown(page_house: PageHouse, full: Any) -> dict[str, str]:
    session = page_house.session()
    reading = {"stage": "pre_boil", "volume": "17.9 L", "gravity": 1.069}
    page_house.made(f"/v1/sessions/{session['id']}/readings", reading)
    calibration = page_house.link("setups", page_house.setup["id"])["page"]
    return {
        "sheet": page_house.page(page_house.link("scalings", full["id"])["page"]),
        "calibration": page_house.page(f"{calibration}&scaling_id={full['id']}"),
        "log": page_house.page(page_house.log_of(session)),
        **{name: guide.written(name) for name in guide.names()},
    }


def is_grey(colour: str) -> bool:
    digits = colour if len(colour) == 6 else "".join(2 * one for one in colour)
    return len({digits[place : place + 2].lower() for place in (0, 2, 4)}) == 1


def test_every_colour_is_a_grey(shown: dict[str, str]) -> None:
    assert all(COLOUR.search(shown[name]) for name in ("sheet", "calibration", "log", guide.STYLE))
    for name, text in shown.items():
        colours = COLOUR.findall(text)
        assert all(is_grey(one) for one in colours), (name, colours)
        painted = {one.strip() for one in PAINTED.findall(text)}
        assert all(PLAIN.fullmatch(one) for one in painted), (name, painted)


def test_nothing_is_said_by_an_icon(shown: dict[str, str]) -> None:
    for name, text in shown.items():
        # "So": symbols that stand for things; the degree sign is the one in use.
        signs = {one for one in text if unicodedata.category(one) in ("So", "Co")} - {"°"}
        assert not signs, (name, signs)


def test_pictures_are_charts_with_numbers_alone(shown: dict[str, str]) -> None:
    for name in ("sheet", "log"):
        assert not re.search(r"<(svg|img|canvas|meter|progress)\b", shown[name]), name
    assert "<img" not in shown["calibration"]
    assert not re.search(r"<(meter|progress|canvas)\b", shown["calibration"])
