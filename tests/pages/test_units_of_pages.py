"""A page speaks in the brewer's units alone: no word of another system beside them."""

import re
from typing import Any

import pytest

from pages.house import PageHouse, plain

# Symbols that no page in customary units has; grams and millilitres are what small scales show.
METRIC = r"\d ?(?:L|L/h|L/kg|kg|kg per L|kg/L|°C|°C/h|mm|cm|bar)\b"
METRIC_WORDS = r"litre|kilogram|degC|Celsius|\d ?degrees\b|millimet|centimet"
CUSTOMARY = r"\d ?(?:US gal|imp gal|US qt|lb|oz|°F|in deep|psi)\b"


def without_names(text: str, page_house: PageHouse) -> str:
    """Leave out what the brewer named: "35 L electric kettle", "Crystal 60 L"."""
    grist = (line["name"] for line in page_house.recipe["grist"])
    for name in (page_house.setup["name"], page_house.recipe["name"], *grist):
        text = text.replace(name, "")
    return text


@pytest.fixture(scope="module")
def pages(page_house: PageHouse, full: Any) -> dict[str, str]:
    """The path of every page, with something on it that has a unit."""
    session = page_house.session()
    reading = {"stage": "pre_boil", "volume": "17.9 L", "gravity": 1.069}
    page_house.made(f"/v1/sessions/{session['id']}/readings", reading)
    ids = {"setup_id": page_house.setup["id"], "recipe_id": page_house.recipe["id"]}
    beyond = page_house.made("/v1/scalings", {**ids, "target": {"volume": "19 L"}})
    setup = f"/v1/setups/{page_house.setup['id']}/calibration"
    return {
        "sheet": f"/v1/scalings/{full['id']}/sheet",
        "sheet beyond the kettle": f"/v1/scalings/{beyond['id']}/sheet",
        "log": f"/v1/sessions/{session['id']}/log",
        "log not planned": f"/v1/sessions/{page_house.session(planned=False)['id']}/log",
        "calibration": f"{setup}/page?scaling_id={full['id']}",
        "chart": f"{setup}/chart.svg?scaling_id={full['id']}",
    }


PAGES = (
    "sheet",
    "sheet beyond the kettle",
    "log",
    "log not planned",
    "calibration",
    "chart",
)


def told(page_house: PageHouse, path: str, system: str) -> str:
    joint = "&" if "?" in path else "?"
    answer = page_house.ask("GET", f"{path}{joint}units={system}")
    assert answer.status_code == 200
    return without_names(plain(answer.text), page_house)


@pytest.mark.parametrize("system", ["us", "imperial"])
@pytest.mark.parametrize("page", PAGES)
def test_nothing_metric_stands_on_a_page_in_customary_units(
    page_house: PageHouse, pages: dict[str, str], page: str, system: str
) -> None:
    text = told(page_house, pages[page], system)
    metric = re.findall(rf".{{0,40}}(?:{METRIC}|{METRIC_WORDS}).{{0,20}}", text)
    assert metric == []


@pytest.mark.parametrize("page", PAGES)
def test_nothing_customary_stands_on_a_page_in_metric_units(
    page_house: PageHouse, pages: dict[str, str], page: str
) -> None:
    text = told(page_house, pages[page], "metric")
    assert re.findall(rf".{{0,40}}(?:{CUSTOMARY}).{{0,20}}", text) == []


def test_the_pages_have_units_to_be_wrong_in(page_house: PageHouse, pages: dict[str, str]) -> None:
    for page in ("sheet", "sheet beyond the kettle", "log", "calibration"):
        assert re.search(METRIC, told(page_house, pages[page], "metric")), page
        assert re.search(CUSTOMARY, told(page_house, pages[page], "us")), page
