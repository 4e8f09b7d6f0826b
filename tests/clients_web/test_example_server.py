"""The example site's server: what it gives, and to whom not."""

import ast
import json
from typing import Any
from urllib.error import HTTPError
from urllib.request import Request, urlopen

import pytest

from clients_web.club_site import WEB, ClubSite, server


def ask(address: str, body: Any = None, **headers: str) -> tuple[int, Any, Any]:
    data = None if body is None else json.dumps(body).encode()
    sent = Request(address, data, {"Content-Type": "application/json"} | headers)
    try:
        with urlopen(sent, timeout=20) as answer:
            return answer.status, json.load(answer), answer.headers
    except HTTPError as error:
        with error:
            return error.code, None, error.headers


def as_club(club: ClubSite, path: str, body: Any = None) -> Any:
    status, answer, _ = ask(club.service + path, body, Authorization=f"Bearer {club.key}")
    assert status in (200, 201)
    return answer


def test_page_key_is_for_one_brewer_from_this_site_for_hours(club: ClubSite) -> None:
    status, given, headers = ask(f"{club.site}/page-key", {}, Origin=club.site)
    assert status == 200
    assert headers["Cache-Control"] == "no-store"
    minted = as_club(club, "/v1/keys")["items"][0]
    assert given["text"].startswith("ww_page_")
    assert (minted["kind"], minted["origins"]) == ("page", [club.site])
    assert minted["brewer_id"] == as_club(club, "/v1/brewers")["items"][0]["id"]
    assert minted["expires_at"] is not None


@pytest.mark.parametrize("path", ["/page-key", "/sheet"])
@pytest.mark.parametrize("headers", [{}, {"Origin": "http://elsewhere.example"}])
def test_pages_of_other_sites_get_nothing(
    club: ClubSite, path: str, headers: dict[str, str]
) -> None:
    before = as_club(club, "/v1/keys")["items"]
    assert ask(club.site + path, {}, **headers)[0] == 403
    assert as_club(club, "/v1/keys")["items"] == before


@pytest.fixture
def plan(club: ClubSite) -> Any:
    ids = {
        f"{thing}_id": as_club(club, f"/v1/{thing}s")["items"][0]["id"]
        for thing in ("setup", "recipe")
    }
    return as_club(club, "/v1/scalings", ids | {"target": {"volume": "10 L"}})


def test_sheet_opens_for_whoever_has_its_address(club: ClubSite, plan: Any) -> None:
    status, given, _ = ask(f"{club.site}/sheet", {"scaling_id": plan["id"]}, Origin=club.site)
    assert status == 200
    with urlopen(given["address"]) as answer:
        assert "Long Night Barley Wine" in answer.read().decode()


def test_sheet_of_another_brewers_plan_is_not_given(
    club: ClubSite, plan: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(server, "member", lambda: "somebody else")
    status, given, _ = ask(f"{club.site}/sheet", {"scaling_id": plan["id"]}, Origin=club.site)
    assert (status, given) == (403, None)


def test_a_club_has_fifty_lines_of_code_to_copy_and_no_more() -> None:
    source = (WEB / "example" / "server.py").read_text(encoding="utf-8")
    tree = ast.parse(source)
    documented = [tree, *(one for one in tree.body if isinstance(one, ast.FunctionDef))]
    words = {
        number
        for node in documented
        for number in range(node.body[0].lineno, (node.body[0].end_lineno or 0) + 1)
    }
    lines = enumerate(source.splitlines(), start=1)
    code = [line for number, line in lines if number not in words and line.strip()]
    assert len([line for line in code if not line.lstrip().startswith("#")]) <= 50


def test_the_club_key_is_on_no_page(club: ClubSite) -> None:
    for path in ("/recipes/lock-keepers-bitter", "/recipes/long-night", "/wortwright-recipe.js"):
        with urlopen(club.site + path) as answer:
            assert club.key.encode() not in answer.read()
