"""The pages in a real browser: for every reader, from one host, at a phone's width, printed."""

import io
from typing import Any

import pytest

from pages.browser import Visit
from pages.house import PageHouse
from wortwright.pages import guide

pytestmark = pytest.mark.slow

WIDTHS = (320, 390, 768)
GUIDE = [name for name in guide.names() if name.endswith(".html")]


@pytest.fixture(scope="module")
def pages(page_house: PageHouse, full: Any, served_at: str) -> dict[str, str]:
    """The address of every page."""
    setup = page_house.link("setups", page_house.setup["id"])["page"]
    session = page_house.session()
    reading = {"stage": "pre_boil", "volume": "17.9 L", "gravity": 1.069}
    page_house.made(f"/v1/sessions/{session['id']}/readings", reading)
    return {
        "sheet": served_at + page_house.link("scalings", full["id"])["page"],
        "calibration": f"{served_at}{setup}&scaling_id={full['id']}",
        "log": served_at + page_house.log_of(session),
        "refusal": f"{served_at}/v1/scalings/{full['id']}/sheet",
        **{f"guide {name}": f"{served_at}/guide/{name}" for name in GUIDE},
    }


# --- what every page holds -------------------------------------------------------------------


def test_pages_are_without_violations_of_accessibility(seen: Visit, pages: dict[str, str]) -> None:
    reason = "accessibility is not tried: axe-playwright-python is not installed"
    axe = pytest.importorskip("axe_playwright_python.sync_playwright", reason=reason).Axe()
    for name, address in pages.items():
        seen.page.goto(address)
        for folded in seen.page.locator("details:not([name])").all():
            folded.evaluate("one => { one.open = true; }")
        found = axe.run(seen.page).response["violations"]
        told = [(one["id"], [node["html"] for node in one["nodes"]]) for one in found]
        assert told == [], name


def test_nothing_is_asked_of_another_host_and_nothing_complained_of(
    seen: Visit, pages: dict[str, str], served_at: str
) -> None:
    # A refusal is a complaint of the browser's by itself.
    for name in [*(name for name in pages if name != "refusal"), "contract"]:
        seen.page.goto(pages.get(name, f"{served_at}/docs"))
        seen.page.wait_for_load_state("networkidle")
    assert [url for url in seen.asked if not url.startswith(f"{served_at}/")] == []
    assert seen.complaints == []


@pytest.mark.parametrize("width", WIDTHS)
def test_pages_fit_the_width_of_a_phone(seen: Visit, pages: dict[str, str], width: int) -> None:
    seen.page.set_viewport_size({"width": width, "height": 800})
    for name, address in pages.items():
        seen.page.goto(address)
        beyond = "document.documentElement.scrollWidth - document.documentElement.clientWidth"
        assert seen.page.evaluate(beyond) == 0, name


# --- the sheet on paper ------------------------------------------------------------------------


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_fullest_sheet_prints_on_two_pages(
    seen: Visit, pages: dict[str, str], full: Any, paper: str
) -> None:
    pypdf = pytest.importorskip("pypdf", reason="the printed sheet is not read: no pypdf")
    seen.page.goto(pages["sheet"])
    printed = pypdf.PdfReader(io.BytesIO(seen.page.pdf(format=paper)))
    assert len(printed.pages) <= 2
    text = " ".join(" ".join(page.extract_text() for page in printed.pages).split())
    for line in full["plan"]["grist"]:
        assert f"{line['to_weigh']['value']:.2f} kg" in text
    assert f"{full['plan']['water']['preboil_hot']['value']:.1f} L" in text
    assert "before the boil is not" in text
    # The last line is on the paper too.
    last = full["pitch"]["warnings"][-1]["detail"].split()
    assert " ".join(last[-3:]) in text


def test_the_printed_sheet_has_room_to_write(seen: Visit, pages: dict[str, str]) -> None:
    seen.page.goto(pages["sheet"])
    seen.page.emulate_media(media="print")
    # 680 px are the width of A4 between the margins of the sheet, near enough.
    seen.page.set_viewport_size({"width": 700, "height": 1000})
    for cell in seen.page.locator("td.write").all():
        box = cell.bounding_box()
        assert box["width"] >= 60
        assert box["height"] >= 18
