"""Every page is valid HTML, tells its structure to a screen reader, and is right in grey."""

import re
from collections import Counter
from itertools import pairwise
from typing import Any
from xml.etree.ElementTree import Element

import html5lib
import pytest

from pages.house import BROWSER, PageHouse, plain

HEADINGS = {f"h{level}": level for level in range(1, 7)}


@pytest.fixture(scope="module")
def under_way(page_house: PageHouse) -> str:
    """The log of a brew with a reading that calls for corrections."""
    session = page_house.session()
    reading = {"stage": "pre_boil", "volume": "17.9 L", "gravity": 1.069}
    page_house.made(f"/v1/sessions/{session['id']}/readings", reading)
    return page_house.log_of(session)


@pytest.fixture(scope="module")
def written(page_house: PageHouse, full: Any, under_way: str) -> dict[str, str]:
    """Every page in every shape that it comes in."""
    setup = f"/v1/setups/{page_house.setup['id']}"
    scaling = f"/v1/scalings/{full['id']}"

    def got(path: str) -> str:
        answer = page_house.ask("GET", path)
        assert answer.status_code == 200
        return answer.text

    refused = page_house.client.post(
        under_way, data={"stage": "post_boil", "gravity": "abc"}, headers={"Accept": BROWSER}
    )
    return {
        "sheet": got(f"{scaling}/sheet"),
        "sheet in US units": got(f"{scaling}/sheet?units=us"),
        "bare sheet": got(f"/v1/scalings/{page_house.bare['id']}/sheet"),
        "calibration": got(f"{setup}/calibration/page?scaling_id={full['id']}"),
        "log under way": page_house.page(under_way),
        "log without a plan": page_house.page(page_house.log_of(page_house.session(planned=False))),
        "refused reading": refused.text,
        "nothing here": page_house.open(f"{scaling}/sheet").text,
    }


SHAPES = (
    "sheet",
    "sheet in US units",
    "bare sheet",
    "calibration",
    "log under way",
    "log without a plan",
    "refused reading",
    "nothing here",
)
every_shape = pytest.mark.parametrize("shape", SHAPES)


def tree(html: str) -> Element:
    parsed: Element = html5lib.HTMLParser(namespaceHTMLElements=False).parse(html)
    return parsed


def test_every_shape_is_tried(written: dict[str, str]) -> None:
    assert written.keys() == set(SHAPES)


@every_shape
def test_a_page_is_valid_html(written: dict[str, str], shape: str) -> None:
    html5lib.HTMLParser(strict=True).parse(written[shape])


@every_shape
def test_a_page_has_a_language_a_title_and_one_main(written: dict[str, str], shape: str) -> None:
    root = tree(written[shape])
    assert root.get("lang") == "en"
    assert root.findtext("head/title")
    assert len(root.findall(".//main")) == 1
    assert len(root.findall(".//h1")) == 1


@every_shape
def test_headings_go_down_by_one(written: dict[str, str], shape: str) -> None:
    levels = [HEADINGS[one.tag] for one in tree(written[shape]).iter() if one.tag in HEADINGS]
    assert levels[0] == 1
    assert all(below - above <= 1 for above, below in pairwise(levels))


@every_shape
def test_ids_are_unique_and_what_is_named_is_there(written: dict[str, str], shape: str) -> None:
    everything = list(tree(written[shape]).iter())
    ids = Counter(one.get("id") for one in everything if one.get("id"))
    assert [name for name, times in ids.items() if times > 1] == []
    for attribute in ("for", "aria-labelledby", "aria-describedby"):
        named = [name for one in everything for name in (one.get(attribute) or "").split()]
        assert set(named) <= ids.keys(), attribute


@every_shape
def test_every_table_names_itself_its_columns_and_its_rows(
    written: dict[str, str], shape: str
) -> None:
    for table in tree(written[shape]).iter("table"):
        heads = table.findall("thead/tr/th")
        assert heads
        assert all(head.get("scope") == "col" for head in heads)
        for row in table.findall("tbody/tr"):
            assert len(list(row)) == len(heads)
            assert all(head.get("scope") == "row" for head in row.findall("th"))


@every_shape
def test_every_field_has_a_label(written: dict[str, str], shape: str) -> None:
    root = tree(written[shape])
    labelled = {label.get("for") for label in root.iter("label")}
    for one in root.iter("input"):
        if one.get("type") != "hidden":
            assert one.get("id") in labelled


@every_shape
def test_a_page_is_right_in_grey(written: dict[str, str], shape: str) -> None:
    colours = re.findall(r"#([0-9a-f]{6}|[0-9a-f]{3})\b", written[shape])
    assert colours
    for colour in colours:
        step = len(colour) // 3
        parts = {colour[start : start + step] for start in range(0, len(colour), step)}
        assert len(parts) == 1, colour


@every_shape
def test_a_page_needs_nothing_from_elsewhere(written: dict[str, str], shape: str) -> None:
    html = written[shape].replace("http://www.w3.org/2000/svg", "")
    assert "http" not in html
    assert "url(" not in html.replace("url(#", "")
    assert re.findall(r'(?:src|href)="(?!/pages/|#)[^"]*"', html) == []


@every_shape
def test_no_word_of_the_program_is_left_on_a_page(written: dict[str, str], shape: str) -> None:
    words = set(re.findall(r"\w+", plain(written[shape])))
    assert not {"None", "nan", "inf", "undefined", "degC", "degF", "degP", "True"} & words
    assert [word for word in words if "_" in word] == []
