"""The kettle log works as a plain form: what is typed is kept once, corrected, and looked ahead."""

import re
from typing import Any

import pytest
from werkzeug.test import TestResponse

from pages.house import BROWSER, PageHouse, plain

LOW = {"stage": "pre_boil", "volume": "17,9", "volume_temperature": "98", "gravity": "1.069"}


@pytest.fixture
def session(page_house: PageHouse) -> Any:
    return page_house.session()


@pytest.fixture
def address(page_house: PageHouse, session: Any) -> str:
    return page_house.log_of(session)


def send(page_house: PageHouse, address: str, form: dict[str, str], **headers: str) -> TestResponse:
    sent = {"Accept": BROWSER, **{name.replace("_", "-"): v for name, v in headers.items()}}
    return page_house.client.post(address, data=form, headers=sent)


def readings(page_house: PageHouse, session: Any) -> list[Any]:
    found: list[Any] = page_house.got(f"/v1/sessions/{session['id']}?units=metric")["readings"]
    return found


def test_a_reading_is_written_down_and_the_browser_led_back(
    page_house: PageHouse, session: Any, address: str
) -> None:
    answer = send(page_house, address, LOW)
    assert answer.status_code == 303
    assert answer.headers["Location"].partition("#")[0] == address
    (reading,) = readings(page_house, session)
    assert reading["volume"] == {"value": 17.9, "unit": "L"}
    assert reading["volume_temperature"] == {"value": 98.0, "unit": "degC"}
    assert reading["gravity"]["value"] == 1.069


def test_the_page_says_what_the_outlook_says(
    page_house: PageHouse, session: Any, address: str
) -> None:
    send(page_house, address, LOW)
    log = page_house.got(f"/v1/sessions/{session['id']}/outlook?units=metric")["log"]
    text = plain(page_house.page(address))
    end = log["outlook"]["original_gravity"]
    assert f"{end['mean']['value']:.3f} original gravity" in text
    low, high = (end["interval_80"][name]["value"] for name in ("low", "high"))
    assert f"({low:.3f} to {high:.3f})" in text
    offered = {one["kind"]: one for one in log["corrections"]}
    assert f"oil {offered['boil_longer']['boil']['value']:.0f} min in all" in text
    extract = offered["dry_extract"]["dry_extract"]["value"]
    assert f"issolve {extract:.2f} kg of dry malt extract" in text
    for change in offered["boil_longer"]["hop_changes"]:
        assert f"{change['mass']['value']:.0f} g of {change['name']} instead of" in text
    assert text.count("It then ends at") == len(log["corrections"])


def test_before_any_reading_it_stands_as_planned(page_house: PageHouse, address: str) -> None:
    text = plain(page_house.page(address))
    assert "As planned, before any reading" in text
    gravity = page_house.bare["plan"]["forecast"]["original_gravity"]["mean"]["value"]
    assert f"{gravity:.3f} original gravity" in text
    assert "Nothing yet." in text


def test_a_brew_on_target_is_left_alone(page_house: PageHouse, address: str) -> None:
    plan = page_house.bare["plan"]
    form = {
        "stage": "pre_boil",
        "volume": f"{plan['water']['preboil']['value']:.2f}",
        "volume_temperature": "20",
        "gravity": f"{plan['forecast']['preboil_gravity']['mean']['value']:.4f}",
    }
    assert send(page_house, address, form).status_code == 303
    text = plain(page_house.page(address))
    assert "That is on target: nothing needs to be done." in text
    assert "What brings it back" not in text


@pytest.mark.parametrize("by_header", [True, False])
def test_a_reading_sent_twice_is_written_once(
    page_house: PageHouse, session: Any, address: str, by_header: bool
) -> None:
    word = "a-word-of-its-own"
    headers = {"Idempotency_Key": word} if by_header else {}
    form = LOW if by_header else {**LOW, "once": word}
    answers = [send(page_house, address, form, **headers) for _ in range(2)]
    assert [answer.status_code for answer in answers] == [303, 303]
    assert len(readings(page_house, session)) == 1


def test_a_form_put_right_is_another_reading(
    page_house: PageHouse, session: Any, address: str
) -> None:
    send(page_house, address, {**LOW, "once": "same"})
    send(page_house, address, {**LOW, "gravity": "1.070", "once": "same"})
    assert [one["gravity"]["value"] for one in readings(page_house, session)] == [1.069, 1.07]


def test_the_same_word_in_another_brew_is_another_reading(page_house: PageHouse) -> None:
    for brew in (page_house.session(), page_house.session()):
        address = page_house.log_of(brew)
        assert send(page_house, address, {**LOW, "once": "same-word"}).status_code == 303
        assert len(readings(page_house, brew)) == 1


@pytest.mark.parametrize(
    ("form", "field", "said"),
    [
        ({"stage": "pre_boil", "volume": "lots"}, "pre_boil-volume", "Write a plain number"),
        ({"stage": "pre_boil", "gravity": "1045"}, "pre_boil-gravity", "Write it as 1.045."),
        ({"stage": "pre_boil", "volume": "99"}, "pre_boil-volume", "kettle"),
        ({"stage": "mash_in", "ph": "54"}, "mash_in-ph", "at most 9"),
        ({"stage": "post_boil", "depth": "100", "volume": "12"}, "post_boil-depth", "not both"),
    ],
)
def test_what_is_refused_is_said_at_its_field_and_nothing_typed_is_lost(
    page_house: PageHouse,
    session: Any,
    address: str,
    form: dict[str, str],
    field: str,
    said: str,
) -> None:
    answer = send(page_house, address, form)
    assert answer.status_code == 422
    (wrong,) = re.findall(r'<p id="([\w-]+)-more" class="wrong">([^<]*)</p>', answer.text)
    assert wrong[0] == field
    assert said in plain(wrong[1])
    for name, value in form.items():
        if name != "stage":
            assert re.search(rf'id="{form["stage"]}-{name}"[^>]* value="{value}"', answer.text)
    assert readings(page_house, session) == []


@pytest.mark.parametrize("form", [{}, {"stage": "pre_boil"}, {"stage": "noon", "volume": "3"}])
def test_a_form_that_says_nothing_is_refused(
    page_house: PageHouse, session: Any, address: str, form: dict[str, str]
) -> None:
    answer = send(page_house, address, form)
    assert answer.status_code == 422
    assert 'class="wrong"' in answer.text
    assert readings(page_house, session) == []


def test_the_form_of_the_next_stage_is_open(page_house: PageHouse, address: str) -> None:
    def open_stages() -> list[str]:
        opened = r'<details class="stage" name="stage" open>\s*<summary>([^<]*)'
        return re.findall(opened, page_house.page(address))

    assert open_stages() == ["Strike water"]
    send(page_house, address, LOW)
    assert open_stages() == ["In the boil"]


def test_the_form_of_the_next_stage_comes_first_and_the_others_in_the_order_of_the_day(
    page_house: PageHouse, address: str
) -> None:
    def stages() -> list[str]:
        return re.findall(r'name="stage" value="(\w+)"', page_house.page(address))

    in_order = stages()
    send(page_house, address, LOW)
    others = [stage for stage in in_order if stage != "mid_boil"]
    assert stages() == ["mid_boil", *others]


def test_every_form_has_a_word_of_its_own(page_house: PageHouse, address: str) -> None:
    words = re.findall(r'name="once" value="(\w+)"', page_house.page(address))
    assert len(set(words)) == len(words) == 10


def test_a_brew_without_a_plan_is_still_written_down(page_house: PageHouse) -> None:
    session = page_house.session(planned=False)
    address = page_house.log_of(session)
    assert send(page_house, address, LOW).status_code == 303
    text = plain(page_house.page(address))
    assert "Nothing was planned for this brew" in text
    assert "17.9 L at 98.0 °C; 1.069" in text


def test_a_closed_session_takes_no_more(page_house: PageHouse, session: Any, address: str) -> None:
    page_house.ask("POST", f"/v1/sessions/{session['id']}/closing")
    page = page_house.page(address)
    assert "no reading is added here any more" in plain(page)
    assert "<form" not in page
    answer = send(page_house, address, LOW)
    assert answer.status_code == 409
    assert readings(page_house, session) == []


def test_a_depth_is_asked_for_only_where_the_diameter_is_known(page_house: PageHouse) -> None:
    vessels = {"kettle": {"capacity": "35 L"}, "fermenters": [{"capacity": "27 L"}]}
    body = {"name": "No diameter", "lauter_method": "no_sparge", "vessels": vessels}
    setup = page_house.made("/v1/setups", {"brewer_id": page_house.brewer_id, **body})
    bare = page_house.session(planned=False, setup_id=setup["id"])
    assert "Depth in the kettle" not in page_house.page(page_house.log_of(bare))
    assert "Depth in the kettle" in page_house.page(page_house.log_of(page_house.session()))


def test_numbers_are_taken_in_the_units_they_are_shown_in(
    page_house: PageHouse, session: Any, address: str
) -> None:
    in_us = f"{address}&units=us"
    page = page_house.page(in_us)
    assert "Volume, as the kettle shows it, US gal" in plain(page)
    action = re.findall(r'<form method="post" action="([^"]*)"', page)[0].replace("&amp;", "&")
    assert action == in_us
    send(page_house, action, {"stage": "pre_boil", "volume": "4.7", "gravity": "1.070"})
    (reading,) = readings(page_house, session)
    # A US gallon is 3.785411784 L exactly.
    assert reading["volume"]["value"] == pytest.approx(4.7 * 3.785411784)


def test_a_link_to_another_brew_writes_nothing(
    page_house: PageHouse, session: Any, address: str
) -> None:
    other = page_house.session()
    spoilt = address.replace(session["id"], other["id"])
    assert send(page_house, spoilt, LOW).status_code == 404
    assert readings(page_house, other) == []
