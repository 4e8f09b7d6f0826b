"""The brew sheets that the element makes, and the ways out that it shows."""

import re
from typing import Any

from clients_web.club_site import ClubSite
from clients_web.element import STICK, headed, opened
from clients_web.test_example_server import as_club


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
