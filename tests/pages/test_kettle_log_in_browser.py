"""The kettle log in a real browser: with wet thumbs, by keyboard, without a connection."""

import re
from typing import Any

import pytest

from pages.browser import PHONE, Visit, visit
from pages.house import PageHouse

pytestmark = pytest.mark.slow


@pytest.fixture
def session(page_house: PageHouse) -> Any:
    return page_house.session()


@pytest.fixture
def log(page_house: PageHouse, session: Any, served_at: str) -> str:
    return served_at + page_house.log_of(session)


def readings(page_house: PageHouse, session: Any) -> list[float]:
    """The gravities that the service has."""
    found = page_house.got(f"/v1/sessions/{session['id']}")["readings"]
    return [one["gravity"]["value"] for one in found]


def open_stage(page: Any, stage: str) -> Any:
    """Unfold the form of a stage."""
    folded = page.locator(f'details.stage:has(input[value="{stage}"])')
    if folded.get_attribute("open") is None:
        folded.locator("summary").first.click()
    return folded


def write_down(page: Any, stage: str, **values: str) -> None:
    form = open_stage(page, stage)
    for name, value in values.items():
        form.locator(f'input[name="{name}"]').fill(value)
    form.get_by_role("button", name="Write it down").click()


def wait_for(page: Any, words: str) -> None:
    page.get_by_text(words, exact=False).first.wait_for(timeout=15000)


def test_a_reading_comes_back_with_its_corrections(
    page_house: PageHouse, session: Any, seen: Visit, log: str
) -> None:
    seen.page.goto(log)
    assert "As planned" in seen.page.inner_text("#stands")
    write_down(seen.page, "pre_boil", volume="17.9", volume_temperature="98", gravity="1.069")
    wait_for(seen.page, "What brings it back")
    assert "Boil" in seen.page.inner_text("#stands")
    assert "17.9 L at 98.0 °C" in seen.page.inner_text("#read")
    assert readings(page_house, session) == [1.069]
    assert seen.page.evaluate("document.activeElement.id") == "stands"
    assert seen.page.inner_text("#waiting") == ""


def test_the_next_stage_is_on_top_once_a_reading_is_written_down(seen: Visit, log: str) -> None:
    def stages() -> list[str]:
        found: list[str] = seen.page.eval_on_selector_all(
            "#forms input[name=stage]", "all => all.map((one) => one.value)"
        )
        return found

    seen.page.goto(log)
    in_order = stages()
    write_down(seen.page, "pre_boil", volume="17.9", volume_temperature="98", gravity="1.069")
    wait_for(seen.page, "What brings it back")
    others = [stage for stage in in_order if stage != "mid_boil"]
    assert stages() == ["mid_boil", *others]


def test_nothing_typed_is_lost_when_the_connection_drops(
    page_house: PageHouse, session: Any, seen: Visit, log: str
) -> None:
    page = seen.page
    page.goto(log)
    page.context.set_offline(True)
    write_down(page, "pre_boil", volume="17.9", gravity="1.070")
    wait_for(page, "1 reading is kept on this phone")
    write_down(page, "mid_boil", boiled="30", gravity="1.080")
    wait_for(page, "2 readings are kept on this phone")
    open_stage(page, "post_boil").locator('input[name="gravity"]').fill("1.09")
    assert readings(page_house, session) == []
    page.context.set_offline(False)
    wait_for(page, "in the boil:")
    assert page.inner_text("#waiting") == ""
    assert readings(page_house, session) == [1.07, 1.08]
    assert page.input_value("#post_boil-gravity") == "1.09"
    assert page.locator("#post_boil-gravity").is_visible()


def test_what_waits_outlives_the_page(
    page_house: PageHouse, session: Any, seen: Visit, log: str
) -> None:
    page = seen.page
    page.goto(log)
    page.context.set_offline(True)
    write_down(page, "pre_boil", volume="17.9", gravity="1.071")
    wait_for(page, "1 reading is kept")
    open_stage(page, "post_boil").locator('input[name="volume"]').fill("12,8")
    page.goto("about:blank")
    page.context.set_offline(False)
    page.goto(log)
    wait_for(page, "As of the last reading")
    assert readings(page_house, session) == [1.071]
    assert page.input_value("#post_boil-volume") == "12,8"


def test_two_tabs_of_one_log_keep_each_others_readings(
    page_house: PageHouse, session: Any, seen: Visit, log: str
) -> None:
    first, second = seen.page, seen.page.context.new_page()
    for page in (first, second):
        page.goto(log)
    first.context.set_offline(True)
    write_down(first, "pre_boil", volume="17.9", gravity="1.074")
    wait_for(second, "1 reading is kept")
    write_down(second, "mid_boil", boiled="30", gravity="1.084")
    wait_for(first, "2 readings are kept")
    first.context.set_offline(False)
    wait_for(first, "in the boil:")
    wait_for(second, "in the boil:")
    assert sorted(readings(page_house, session)) == [1.074, 1.084]


def test_an_answer_that_was_lost_makes_no_second_reading(
    page_house: PageHouse, session: Any, seen: Visit, log: str
) -> None:
    page, lost = seen.page, []

    def lose_first(route: Any) -> None:
        if route.request.method == "POST" and not lost:
            lost.append(
                page_house.app.test_client().post(
                    route.request.url.replace(log.partition("/v1/")[0], ""),
                    data=route.request.post_data,
                    headers={**route.request.headers},
                )
            )
            route.abort()
        else:
            route.continue_()

    page.goto(log)
    page.route("**/log?*", lose_first)
    write_down(page, "pre_boil", volume="17.9", gravity="1.072")
    wait_for(page, "There is no connection")
    assert [answer.status_code for answer in lost] == [303]
    assert readings(page_house, session) == [1.072]
    page.evaluate("dispatchEvent(new Event('online'))")
    wait_for(page, "As of the last reading")
    assert readings(page_house, session) == [1.072]


def test_after_the_phone_slept_the_page_is_as_the_brew_is(
    page_house: PageHouse, session: Any, seen: Visit, log: str
) -> None:
    seen.page.goto(log)
    reading = {"stage": "pre_boil", "volume": "17.9 L", "gravity": 1.068}
    page_house.made(f"/v1/sessions/{session['id']}/readings", reading)
    assert "Nothing yet." in seen.page.inner_text("#read")
    seen.page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
    wait_for(seen.page, "As of the last reading")
    assert "1.068" in seen.page.inner_text("#read")


def test_what_is_refused_waits_to_be_put_right(
    page_house: PageHouse, session: Any, seen: Visit, log: str
) -> None:
    page = seen.page
    page.goto(log)
    write_down(page, "pre_boil", volume="99", gravity="1.069")
    wait_for(page, "is more than the kettle's")
    assert page.locator("#waiting").bounding_box()["y"] < PHONE["height"]
    assert readings(page_house, session) == []
    page.get_by_role("button", name="Put it right").click()
    assert page.input_value("#pre_boil-gravity") == "1.069"
    assert page.input_value("#pre_boil-volume") == "99"
    page.fill("#pre_boil-volume", "17.9")
    page.locator("#pre_boil-volume").press("Enter")
    wait_for(page, "As of the last reading")
    assert readings(page_house, session) == [1.069]


def test_what_is_thrown_away_is_gone(
    page_house: PageHouse, session: Any, seen: Visit, log: str
) -> None:
    page = seen.page
    page.goto(log)
    write_down(page, "pre_boil", volume="99")
    page.get_by_role("button", name="Throw it away").click()
    assert page.inner_text("#waiting") == ""
    page.reload()
    assert page.inner_text("#waiting") == ""
    assert page.input_value("#pre_boil-volume") == ""
    assert readings(page_house, session) == []


def test_a_slip_of_the_thumb_is_seen_at_once_even_without_a_connection(
    seen: Visit, log: str
) -> None:
    page = seen.page
    page.goto(log)
    page.context.set_offline(True)
    write_down(page, "pre_boil", volume="17.9", gravity="1069")
    slip = page.locator("#pre_boil-gravity")
    assert slip.evaluate("one => one.validity.patternMismatch")
    assert slip.get_attribute("title") == "Write it as 1.045."
    assert page.inner_text("#waiting") == ""
    assert page.input_value("#pre_boil-volume") == "17.9"


def test_when_the_address_runs_out_what_waits_goes_out_by_a_new_one(
    page_house: PageHouse, session: Any, seen: Visit, served_at: str
) -> None:
    page = seen.page
    made = page_house.link("sessions", session["id"])
    page.goto(served_at + made["page"])
    assert page_house.ask("DELETE", f"/v1/keys/{made['id']}").status_code == 204
    write_down(page, "pre_boil", volume="17.9", gravity="1.073")
    wait_for(page, "This address has run out.")
    page.goto(served_at + page_house.log_of(session))
    wait_for(page, "As of the last reading")
    assert readings(page_house, session) == [1.073]


def test_the_log_works_by_keyboard_alone(
    page_house: PageHouse, session: Any, seen: Visit, log: str
) -> None:
    page = seen.page
    page.goto(log)
    for _ in range(30):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.textContent").strip() == "First wort":
            break
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    page.keyboard.type("1.088")
    page.keyboard.press("Enter")
    wait_for(page, "As of the last reading, first wort")
    assert readings(page_house, session) == [1.088]


def test_without_script_the_form_does_the_same(
    page_house: PageHouse, session: Any, started: Any, log: str
) -> None:
    with visit(started, java_script_enabled=False) as seen:
        seen.page.goto(log)
        write_down(seen.page, "mash_in", temperature="65.5")
        assert "As of the last reading" in seen.page.inner_text("#stands")
        write_down(seen.page, "mash_end", ph="54")
        assert seen.page.input_value("#mash_end-ph") == "54"
        assert "at most 9" in seen.page.inner_text("#mash_end-ph-more")
    assert len(page_house.got(f"/v1/sessions/{session['id']}")["readings"]) == 1


def test_big_fields_for_a_wet_thumb(seen: Visit, log: str) -> None:
    """At least 44 px to touch (WCAG 2.2, 2.5.5 target size, enhanced)."""
    seen.page.goto(log)
    form = open_stage(seen.page, "pre_boil")
    touched = [*form.locator("input[type=text]:visible").all(), form.get_by_role("button")]
    touched += seen.page.locator("details.stage > summary").all()
    assert len(touched) > 10
    for one in touched:
        assert one.bounding_box()["height"] >= 44


def test_the_key_is_kept_nowhere_on_the_phone(seen: Visit, log: str) -> None:
    seen.page.goto(log)
    seen.page.context.set_offline(True)
    write_down(seen.page, "pre_boil", gravity="1.070")
    wait_for(seen.page, "1 reading is kept")
    kept = seen.page.evaluate("JSON.stringify(localStorage)")
    (secret,) = re.findall(r"key=ww_link_\w{32}_(\w{64})", log)
    assert "1.070" in kept
    assert secret not in kept
