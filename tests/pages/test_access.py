"""Who may open a page, what the page lets happen, and what is left of its key."""

import re
from datetime import timedelta
from typing import Any

import pytest

from pages.house import PageHouse, plain
from wortwright.store.clock import now
from wortwright.usecases import keys

PAGES = ("sheet", "log", "calibration")


@pytest.fixture
def opened(request: pytest.FixtureRequest, page_house: PageHouse) -> Any:
    """A link to one page, minted anew."""
    thing, thing_id = {
        "sheet": ("scalings", page_house.bare["id"]),
        "log": ("sessions", page_house.session()["id"]),
        "calibration": ("setups", page_house.setup["id"]),
    }[request.param]
    return page_house.link(thing, thing_id)


every_page = pytest.mark.parametrize("opened", PAGES, indirect=True)


@every_page
def test_a_link_opens_its_page_for_a_browser(page_house: PageHouse, opened: Any) -> None:
    answer = page_house.open(opened["page"])
    assert answer.status_code == 200
    assert answer.content_type == "text/html; charset=utf-8"


@every_page
def test_a_page_is_kept_by_nobody_and_named_to_nobody(page_house: PageHouse, opened: Any) -> None:
    headers = page_house.open(opened["page"]).headers
    assert headers["Cache-Control"] == "no-store"
    assert headers["Referrer-Policy"] == "no-referrer"
    assert headers["X-Content-Type-Options"] == "nosniff"


@every_page
def test_the_policy_lets_in_nothing_but_what_the_page_has(
    page_house: PageHouse, opened: Any
) -> None:
    answer = page_house.open(opened["page"])
    policy = dict(
        part.strip().split(" ", 1) for part in answer.headers["Content-Security-Policy"].split(";")
    )
    assert policy["default-src"] == "'none'"
    assert policy["frame-ancestors"] == "'none'"
    nonce = re.findall(r'nonce="([^"]+)"', answer.text)
    assert policy["style-src"] == f"'nonce-{nonce[0]}'"
    assert "style=" not in answer.text
    assert "unsafe" not in str(policy)
    scripts = re.findall(r"<script[^>]*>", answer.text)
    assert scripts == (
        ['<script src="/pages/kettle-log.js" defer>'] if "script-src" in policy else []
    )


def test_the_sheet_and_the_calibration_have_no_script(page_house: PageHouse) -> None:
    for path in (
        f"/v1/scalings/{page_house.bare['id']}/sheet",
        f"/v1/setups/{page_house.setup['id']}/calibration/page",
    ):
        answer = page_house.ask("GET", path)
        assert "script-src" not in answer.headers["Content-Security-Policy"]
        assert "<script" not in answer.text


def test_no_two_answers_share_a_nonce(page_house: PageHouse) -> None:
    path = f"/v1/scalings/{page_house.bare['id']}/sheet"
    policies = {page_house.ask("GET", path).headers["Content-Security-Policy"] for _ in range(3)}
    assert len(policies) == 3


@every_page
@pytest.mark.parametrize(
    "spoilt",
    [
        lambda address: address.partition("?")[0],
        lambda address: address[:-4] + "0000",
        lambda address: address.replace("ww_link_", "ww_club_"),
        lambda address: address[:-1],
    ],
)
def test_without_the_right_key_a_page_says_what_to_do_and_nothing_else(
    page_house: PageHouse, opened: Any, spoilt: Any
) -> None:
    answer = page_house.open(spoilt(opened["page"]))
    assert answer.status_code == 401
    assert answer.headers["WWW-Authenticate"].startswith("Bearer")
    assert answer.headers["Cache-Control"] == "no-store"
    text = plain(answer.text)
    assert "Ask whoever gave it to you for a new one." in text
    assert page_house.recipe["name"] not in text
    assert page_house.setup["name"] not in text


@every_page
def test_a_link_that_ran_out_or_was_revoked_opens_nothing(
    page_house: PageHouse, opened: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    later = now() + timedelta(days=30, minutes=1)
    with monkeypatch.context() as patched:
        patched.setattr(keys, "now", lambda: later)
        assert page_house.open(opened["page"]).status_code == 401
    assert page_house.open(opened["page"]).status_code == 200
    assert page_house.ask("DELETE", f"/v1/keys/{opened['id']}").status_code == 204
    assert page_house.open(opened["page"]).status_code == 401


def test_a_link_opens_no_other_page(page_house: PageHouse) -> None:
    token = page_house.link("scalings", page_house.bare["id"])["text"]
    for path in (
        f"/v1/scalings/{page_house.full['id']}/sheet",
        f"/v1/sessions/{page_house.session()['id']}/log",
        f"/v1/setups/{page_house.setup['id']}/calibration/page",
        f"/v1/setups/{page_house.setup['id']}/calibration/chart.svg",
    ):
        answer = page_house.open(f"{path}?key={token}")
        assert answer.status_code == 404
        assert "There is nothing here" in plain(answer.text)


def test_a_link_to_the_calibration_reads_nothing_of_the_interface(page_house: PageHouse) -> None:
    token = page_house.link("setups", page_house.setup["id"])["text"]
    path = f"/v1/setups/{page_house.setup['id']}"
    for below in ("", "/calibration", "/calibration/report"):
        answer = page_house.client.get(f"{path}{below}?key={token}")
        assert answer.status_code == 401


def test_a_program_is_refused_with_a_problem(page_house: PageHouse) -> None:
    answer = page_house.client.get(f"/v1/scalings/{page_house.bare['id']}/sheet")
    assert answer.status_code == 401
    assert answer.content_type == "application/problem+json"


@every_page
def test_the_key_of_a_page_is_in_no_log_line(
    page_house: PageHouse, opened: Any, capfd: pytest.CaptureFixture[str]
) -> None:
    page_house.open(opened["page"])
    page_house.open(opened["page"].replace("/v1/", "/v1/nowhere/"))
    page_house.client.post(opened["page"], data={"stage": "pre_boil", "gravity": "1.050"})
    logged = "".join(capfd.readouterr())
    assert logged.count('"answered"') == 3
    assert opened["text"].rpartition("_")[2] not in logged


def test_the_script_is_served_under_its_own_type(page_house: PageHouse) -> None:
    answer = page_house.client.get("/pages/kettle-log.js")
    assert answer.status_code == 200
    assert answer.content_type == "text/javascript; charset=utf-8"
    assert "ww_link" not in answer.text
