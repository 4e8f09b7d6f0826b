"""The element on the example site, in a real browser."""

import re
from typing import Any
from urllib.parse import urlsplit

import pytest

from clients_web.club_site import RECIPES, WEB, WIDTHS, ClubSite
from clients_web.test_example_server import as_club

STICK = "Slide to a volume"
AXE = WEB / "node_modules" / "axe-core" / "axe.min.js"


def opened(page: Any, club: ClubSite, recipe: str = "long-night") -> Any:
    """Open a recipe's page and give its element, once it shows a plan."""
    page.goto(club.recipe(recipe))
    element = page.locator("wortwright-recipe")
    element.locator(".verdict").wait_for()
    return element


def headed(element: Any, text: str) -> None:
    """Wait until the plan shown is this one."""
    element.get_by_role("heading", name=text, exact=True).wait_for()


def scalings_asked(page: Any) -> list[Any]:
    """Keep a list of the scalings that the page asks for from now on."""
    asked: list[Any] = []
    page.on(
        "request",
        lambda one: asked.append(one) if one.method == "POST" and "/scalings" in one.url else None,
    )
    return asked


def test_shows_what_the_service_answers(page: Any, club: ClubSite) -> None:
    with page.expect_response(
        lambda one: "/scalings" in one.url and one.request.method == "POST"
    ) as found:
        element = opened(page, club)
    plan = found.value.json()["plan"]
    pale = element.get_by_role("row", name="Pale ale malt")
    weighed = plan["grist"][0]["to_weigh"]["value"]
    assert f"{weighed:.2f}\u00a0kg" in pale.inner_text()
    range_80 = plan["forecast"]["original_gravity"]["interval_80"]
    ends = [f"{range_80[end]['value']:.3f}" for end in ("low", "high")]
    assert f"start between {ends[0]} and {ends[1]}" in element.locator(".expectation").inner_text()
    text = element.locator(".panel").inner_text()
    shown = [one["detail"] for one in plan["warnings"]] + [
        one["detail"] for one in plan["ways_out"]
    ]
    shown += [one["hazard"] for one in plan["cautions"]]
    assert len(shown) >= 6
    for sentence in shown:
        assert sentence in text
    assert plan["fit"]["fits"] is False
    assert element.locator(".verdict").inner_text() == "Does not fit this setup."


def test_asks_the_club_and_the_service_and_nobody_else(page: Any, club: ClubSite) -> None:
    hosts: set[str] = set()
    page.on("request", lambda one: hosts.add(urlsplit(one.url).netloc))
    element = opened(page, club)
    element.get_by_label(STICK).press("ArrowLeft")
    headed(element, "19.5 L in the kettle at 1.108")
    own = {urlsplit(address).netloc for address in (club.site, club.service)}
    assert hosts - {""} == own  # data: has no host


def test_sliding_asks_once_it_rests_and_stores_nothing(page: Any, club: ClubSite) -> None:
    element = opened(page, club)
    before = as_club(club, "/v1/scalings")["items"]
    asked = scalings_asked(page)
    stick = element.get_by_label(STICK)
    for _ in range(20):
        stick.press("ArrowLeft")
    headed(element, "10.0 L in the kettle at 1.108")
    assert element.locator(".verdict").inner_text() == "Fits every vessel."
    assert 1 <= len(asked) < 10
    assert all("store=false" in one.url for one in asked)
    assert as_club(club, "/v1/scalings")["items"] == before


def test_last_wish_wins_even_if_an_older_answer_comes_later(page: Any, club: ClubSite) -> None:
    element = opened(page, club)
    held: list[Any] = []

    def hold_the_first(route: Any) -> None:
        if held:
            route.continue_()
        else:
            held.append(route)

    page.route("**/v1/scalings?*", hold_the_first)
    typed = element.get_by_label("or write it")
    with page.expect_request("**/v1/scalings?*"):
        typed.fill("12")
    # Well before the element would give the older one up by itself.
    with page.expect_event("requestfailed", timeout=10_000) as broken_off:
        typed.fill("14")
    assert "12" in broken_off.value.post_data
    headed(element, "14.0 L in the kettle at 1.108")
    assert typed.input_value() == "14"


def test_sheet_of_the_plan_shown_is_made_and_opens(page: Any, club: ClubSite) -> None:
    element = opened(page, club)
    element.get_by_label("counted").select_option(label="to package")
    element.get_by_label("or write it").fill("10")
    headed(element, "10.0 L to package at 1.108")
    element.get_by_role("button", name="Make the brew sheet").click()
    link = element.get_by_role("link", name="Open the brew sheet")
    link.wait_for()
    newest = as_club(club, "/v1/scalings")["items"][0]["id"]
    assert f"/v1/scalings/{newest}/sheet?key=ww_link_" in link.get_attribute("href")
    with page.context.expect_page() as sheet:
        link.click()
    sheet.value.wait_for_load_state()
    assert "10.0 L to package at 1.108" in sheet.value.inner_text("body").replace("\u00a0", " ")


def test_sheet_of_another_volume_is_no_longer_offered(page: Any, club: ClubSite) -> None:
    element = opened(page, club)
    element.get_by_role("button", name="Make the brew sheet").click()
    link = element.get_by_role("link", name="Open the brew sheet")
    link.wait_for()
    held: list[Any] = []
    page.route("**/v1/scalings?*", lambda route: held.append(route))
    element.get_by_label(STICK).press("ArrowLeft")
    link.wait_for(state="detached")
    headed(element, "20.0 L in the kettle at 1.108")
    page.unroute_all()


def test_making_a_sheet_again_after_a_broken_line_keeps_one_plan(page: Any, club: ClubSite) -> None:
    element = opened(page, club)
    before = len(as_club(club, "/v1/scalings")["items"])
    page.route("**/sheet", lambda route: route.abort(), times=1)
    element.get_by_role("button", name="Make the brew sheet").click()
    again = element.get_by_role("alert").get_by_role("button", name="Try again")
    again.click()
    element.get_by_role("link", name="Open the brew sheet").wait_for()
    assert len(as_club(club, "/v1/scalings")["items"]) == before + 1


def test_every_way_out_is_shown_whole_with_a_way_back(page: Any, club: ClubSite) -> None:
    element = opened(page, club)
    ways = element.get_by_role("button", name=re.compile("^Show this way"))
    assert ways.count() >= 3
    for index in range(ways.count()):
        ways.nth(index).click()
        assert element.locator(".verdict").inner_text() == "Fits every vessel."
        element.get_by_role("button", name="Back to 20.0 L as asked").click()
        assert element.locator(".verdict").inner_text() == "Does not fit this setup."


def test_sheet_of_a_way_out_says_what_the_page_says(page: Any, club: ClubSite) -> None:
    element = opened(page, club)
    element.get_by_role("button", name=re.compile("Show this way: .*malt extract")).click()
    element.get_by_role("button", name="Make the brew sheet").click()
    link = element.get_by_role("link", name="Open the brew sheet")
    link.wait_for()
    pale = element.get_by_role("row", name="Pale ale malt").locator(".number").inner_text()
    page.goto(link.get_attribute("href"))
    sheet = page.inner_text("body").replace("\u00a0", " ")
    assert re.search(rf"{re.escape(pale.replace(chr(160), ' '))}\s+Pale ale malt", sheet)
    assert "Dry malt extract" in sheet


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


def test_page_key_that_is_no_longer_good_is_renewed(page: Any, club: ClubSite) -> None:
    fetched: list[str] = []
    page.on("request", lambda one: fetched.append(one.url) if "page-key" in one.url else None)
    element = opened(page, club)
    revoke_newest_page_key(page, club)
    element.get_by_label("or write it").fill("10")
    headed(element, "10.0 L in the kettle at 1.108")
    assert len(fetched) == 2


def revoke_newest_page_key(page: Any, club: ClubSite) -> None:
    key_id = as_club(club, "/v1/keys")["items"][0]["id"]
    headers = {"Authorization": f"Bearer {club.key}"}
    answer = page.request.delete(f"{club.service}/v1/keys/{key_id}", headers=headers)
    assert answer.status == 204


def test_setup_described_is_refitted_to_and_remembered(page: Any, club: ClubSite) -> None:
    element = opened(page, club, "lock-keepers-bitter")
    element.get_by_label("Your setup", exact=True).select_option(label="another, described here")
    assert not element.get_by_label(STICK).is_visible()
    refit = element.get_by_role("button", name="Refit to this setup")
    refit.click()
    kettle = element.get_by_label("Kettle, to the brim")
    assert kettle.get_attribute("aria-invalid") == "true"
    assert kettle.evaluate("at => at.getRootNode().activeElement === at")
    kettle.fill("60")
    element.get_by_label("Boiled off in an hour").fill("4,5")
    with page.expect_request("**/v1/scalings?*") as asked:
        refit.click()
    setup = asked.value.post_data_json["setup"]
    assert setup["vessels"]["kettle"]["capacity"] == {"value": 60, "unit": "L"}
    assert setup["constants"]["boil_off"] == {"value": 4.5, "unit": "L/h"}
    headed(element, "23.0 L in the fermenter at 1.044")
    assert element.locator(".verdict").inner_text() == "Fits every vessel."
    page.reload()
    element.get_by_label("Your setup", exact=True).select_option(label="another, described here")
    assert kettle.input_value() == "60"


def test_refusal_names_the_place_in_plain_words(page: Any, club: ClubSite) -> None:
    element = opened(page, club, "lock-keepers-bitter")
    element.get_by_label("or write it").fill("9000")
    alert = element.get_by_role("alert")
    alert.get_by_text("Volume:").wait_for()
    assert "The plan that stands below is from before." in alert.inner_text()
    element.get_by_label("or write it").fill("23")
    alert.wait_for(state="hidden")


def test_page_without_a_recipe_or_an_address_says_so(page: Any, club: ClubSite) -> None:
    element = opened(page, club, "lock-keepers-bitter")
    element.evaluate("at => at.querySelector('script[type=\"application/json\"]').remove()")
    element.evaluate("at => at.setAttribute('units', 'us')")
    element.get_by_text("its element holds no recipe").wait_for()
    element.evaluate("at => at.removeAttribute('key-url')")
    element.get_by_text('its element needs key-url="..."').wait_for()


def test_service_out_of_reach_is_told_and_tried_again(page: Any, club: ClubSite) -> None:
    element = opened(page, club)
    page.route("**/v1/scalings?*", lambda route: route.abort(), times=1)
    element.get_by_label("or write it").fill("10")
    alert = element.get_by_role("alert")
    alert.get_by_text("The brewing service cannot be reached.").wait_for()
    alert.get_by_role("button", name="Try again").click()
    headed(element, "10.0 L in the kettle at 1.108")
    assert alert.inner_text() == ""


def test_visitor_who_is_not_signed_in_is_told_to(page: Any, club: ClubSite) -> None:
    page.route("**/page-key", lambda route: route.fulfill(status=401, body=""))
    page.goto(club.recipe("long-night"))
    page.get_by_text("Sign in to the club's site").wait_for()
    assert page.get_by_role("heading", name="As its author brews it").is_visible()


def test_units_of_the_attribute_are_those_of_all_it_shows(page: Any, club: ClubSite) -> None:
    element = opened(page, club)
    element.evaluate("at => at.setAttribute('units', 'us')")
    headed(element, "5.28 US gal in the kettle at 1.108")
    grist = element.get_by_role("table").nth(0).inner_text()
    assert "lb" in grist
    assert "kg" not in grist
    assert element.locator(".unit").last.inner_text() == "US gal"


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


def test_a_club_themes_it_by_custom_properties(page: Any, club: ClubSite) -> None:
    element = opened(page, club)
    element.evaluate("at => at.style.setProperty('--wortwright-accent', 'rgb(90, 0, 90)')")
    button = element.get_by_role("button", name="Make the brew sheet")
    assert button.evaluate("at => getComputedStyle(at).color") == "rgb(90, 0, 90)"
