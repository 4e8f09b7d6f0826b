"""The element for everyone: by keyboard, by ear, on a small screen, without motion."""

from typing import Any

import pytest

from clients_web.club_site import RECIPES, WEB, WIDTHS, ClubSite
from clients_web.element import STICK, headed, opened

AXE = WEB / "node_modules" / "axe-core" / "axe.min.js"


def test_works_by_keyboard_alone(page: Any, club: ClubSite) -> None:
    opened(page, club)
    focused = """() => {
        const at = document.activeElement.shadowRoot?.activeElement ?? document.activeElement;
        return at.getAttribute("aria-label") ?? at.labels?.[0]?.textContent ?? at.textContent;
    }"""

    def tab_to(name: str) -> None:
        for _ in range(40):
            page.keyboard.press("Tab")
            if name in page.evaluate(focused):
                return
        raise AssertionError(f"{name} is not reached")

    element = page.locator("wortwright-recipe")
    tab_to("Your setup")
    tab_to(STICK)
    page.keyboard.press("ArrowRight")
    headed(element, "20.5 L in the kettle at 1.108")
    assert STICK in page.evaluate(focused)
    tab_to("or write it")
    page.keyboard.press("Control+A")
    page.keyboard.type("20")
    headed(element, "20.0 L in the kettle at 1.108")
    tab_to("counted")
    tab_to("Show this way")
    page.keyboard.press("Enter")
    assert page.evaluate(focused) == element.get_by_role("heading", level=3).inner_text()
    tab_to("Back to")
    page.keyboard.press("Enter")
    assert page.evaluate(focused).replace("\u00a0", " ") == "20.0 L in the kettle at 1.108"
    tab_to("Make the brew sheet")
    page.keyboard.press("Enter")
    element.get_by_role("link", name="Open the brew sheet").wait_for()
    assert page.evaluate(focused) == "Open the brew sheet"


def test_what_changes_is_said_to_who_cannot_see_it(page: Any, club: ClubSite) -> None:
    element = opened(page, club)
    element.get_by_label("or write it").fill("10")
    headed(element, "10.0 L in the kettle at 1.108")
    said = element.get_by_role("status").inner_text().replace("\u00a0", " ")
    assert said.startswith("10.0 L in the kettle at 1.108: ")
    assert said.endswith("of grain. Fits every vessel.")
    assert element.get_by_label(STICK).get_attribute("aria-valuetext") == "10.0\u00a0L"


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("recipe", RECIPES)
def test_nothing_is_wider_than_the_page(page: Any, club: ClubSite, recipe: str, width: int) -> None:
    page.set_viewport_size({"width": width, "height": 800})
    element = opened(page, club, recipe)
    wide = "() => document.documentElement.scrollWidth"
    assert page.evaluate(wide) <= width
    box = element.locator(".panel").bounding_box()
    assert box["x"] >= 0
    assert box["x"] + box["width"] <= width


@pytest.mark.parametrize(("motion", "moves"), [("reduce", False), ("no-preference", True)])
def test_moves_only_for_who_does_not_mind(
    page: Any, club: ClubSite, motion: str, moves: bool
) -> None:
    page.emulate_media(reduced_motion=motion)
    plan = opened(page, club).locator(".plan")
    took = plan.evaluate("at => getComputedStyle(at).transitionDuration")
    assert (took != "0s") == moves


@pytest.mark.parametrize("width", [WIDTHS[0], WIDTHS[-1]])
def test_axe_finds_nothing(page: Any, club: ClubSite, width: int) -> None:
    if not AXE.exists():
        pytest.skip("axe-core is not installed: npm ci in clients/web")
    page.set_viewport_size({"width": width, "height": 800})
    element = opened(page, club)
    page.evaluate(AXE.read_text(encoding="utf-8"))
    assert violations(page) == []
    element.get_by_label("Your setup", exact=True).select_option(label="another, described here")
    element.get_by_role("button", name="Refit to this setup").click()
    element.get_by_label("Kettle, to the brim").fill("20")
    element.get_by_label("Mash tun").fill("x")
    element.get_by_role("button", name="Refit to this setup").click()
    assert violations(page) == []


def violations(page: Any) -> list[Any]:
    found = page.evaluate("() => axe.run(document, { resultTypes: ['violations'] })")
    assert len(found["passes"]) > 20
    return [(one["id"], [node["html"] for node in one["nodes"]]) for one in found["violations"]]
