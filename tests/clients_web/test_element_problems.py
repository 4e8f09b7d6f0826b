"""What the element does and says when something is in the way."""

from typing import Any

from clients_web.club_site import ClubSite
from clients_web.element import headed, opened
from clients_web.test_example_server import as_club


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
