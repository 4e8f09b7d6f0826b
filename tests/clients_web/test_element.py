"""The element on the example site, in a real browser: what it shows and what it asks for."""

from typing import Any
from urllib.parse import urlsplit

from clients_web.club_site import ClubSite
from clients_web.element import STICK, headed, opened
from clients_web.test_example_server import as_club


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


def scalings_asked(page: Any) -> list[Any]:
    """Keep a list of the scalings that the page asks for from now on."""
    asked: list[Any] = []
    page.on(
        "request",
        lambda one: asked.append(one) if one.method == "POST" and "/scalings" in one.url else None,
    )
    return asked


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


def test_units_of_the_attribute_are_those_of_all_it_shows(page: Any, club: ClubSite) -> None:
    element = opened(page, club)
    element.evaluate("at => at.setAttribute('units', 'us')")
    headed(element, "5.28 US gal in the kettle at 1.108")
    grist = element.get_by_role("table").nth(0).inner_text()
    assert "lb" in grist
    assert "kg" not in grist
    assert element.locator(".unit").last.inner_text() == "US gal"


def test_a_club_themes_it_by_custom_properties(page: Any, club: ClubSite) -> None:
    element = opened(page, club)
    element.evaluate("at => at.style.setProperty('--wortwright-accent', 'rgb(90, 0, 90)')")
    button = element.get_by_role("button", name="Make the brew sheet")
    assert button.evaluate("at => getComputedStyle(at).color") == "rgb(90, 0, 90)"
