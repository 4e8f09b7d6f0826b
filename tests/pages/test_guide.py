"""The guide: served as it is written into files, links that lead somewhere, true pictures."""

import re
import runpy
from html.parser import HTMLParser
from pathlib import Path
from posixpath import join, normpath
from typing import Any

import pytest
from click.testing import CliRunner

from pages.house import PageHouse
from wortwright.cli import main
from wortwright.demo import pictures
from wortwright.pages import guide

SCIENCE = Path(__file__).parents[1] / "published" / "science.py"
PAGES = [name for name in guide.names() if name.endswith(".html")]
NUMBER = re.compile(r"-?\d+(?:\.\d+)?")


class Addresses(HTMLParser):
    """What a page leads to and what it is made of, and which places it has."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.found: list[str] = []
        self.places: set[str] = set()
        self.feed(html)

    def handle_starttag(self, tag: str, attributes: list[tuple[str, str | None]]) -> None:
        for name, value in attributes:
            if name in ("href", "src") and value:
                self.found.append(value)
            if name == "id" and value:
                self.places.add(value)


@pytest.mark.parametrize("name", guide.names())
def test_a_file_is_served_as_it_is_written(page_house: PageHouse, name: str) -> None:
    answer = page_house.client.get(f"/guide/{name}")
    assert answer.status_code == 200
    assert answer.text == guide.written(name)
    assert answer.content_type == guide.content_type(name)
    policy = answer.headers["Content-Security-Policy"]
    assert "default-src 'none'" in policy
    assert "unsafe" not in policy


def test_the_guide_opens_at_its_first_page_and_has_nothing_else(page_house: PageHouse) -> None:
    answer = page_house.client.get("/guide")
    assert (answer.status_code, answer.headers["Location"]) == (302, "/guide/index.html")
    for name in ("tour.md", "../cli.py", "%2e%2e/cli.py", "pictures/", "index.htm"):
        assert page_house.client.get(f"/guide/{name}").status_code == 404


@pytest.mark.parametrize("name", PAGES)
def test_every_link_leads_to_a_file_or_a_place_of_the_guide(name: str) -> None:
    page = Addresses(guide.written(name))
    assert page.found
    for address in page.found:
        file, _, place = address.partition("#")
        assert ":" not in file, address
        target = normpath(join("", file)) if file else name
        assert target in guide.names(), address
        if place:
            assert place in Addresses(guide.written(target)).places, address


@pytest.mark.parametrize("name", PAGES)
def test_no_markdown_is_left_and_no_word_is_markup(name: str) -> None:
    html = guide.written(name)
    words = re.sub(r"<pre.*?</pre>|<code.*?</code>|<!--.*?-->|<[^>]+>", " ", html, flags=re.DOTALL)
    assert not re.search(r"\*\*|\]\(|^#|\|---", words, re.MULTILINE)
    assert "<script" not in html
    assert "style=" not in html


def test_the_guide_is_written_into_a_folder(tmp_path: Path) -> None:
    answer = CliRunner().invoke(main, ["guide", str(tmp_path / "guide")])
    assert answer.exit_code == 0, answer.output
    assert "index.html in a browser" in answer.output
    written = {str(p.relative_to(tmp_path / "guide")) for p in tmp_path.rglob("*") if p.is_file()}
    assert written == set(guide.names())


def test_the_pictures_are_what_the_demo_says_now() -> None:
    drawn = pictures.drawn(pictures.brewed())
    assert drawn.keys() == {path.name for path in pictures.FOLDER.iterdir()}
    for name, picture in drawn.items():
        kept = (pictures.FOLDER / name).read_text(encoding="utf-8").rstrip("\n")
        assert NUMBER.sub("n", kept) == NUMBER.sub("n", picture), name
        # Pixels: another machine may round another way, and no more.
        assert numbers(kept) == pytest.approx(numbers(picture), abs=0.25), name


def numbers(picture: str) -> list[float]:
    return [float(one) for one in NUMBER.findall(picture)]


def test_the_pictures_have_words_for_who_cannot_see_them() -> None:
    for chapter in guide.CHAPTERS:
        for picture in re.findall(r"<img[^>]*>", guide.written(f"{chapter}.html")):
            assert len(re.findall(r'alt="([^"]+)"', picture)[0].split()) > 10


def test_where_the_formulas_come_from_is_what_the_code_says() -> None:
    science: dict[str, Any] = runpy.run_path(str(SCIENCE))
    page = science["PAGE"].read_text(encoding="utf-8")
    assert science["as_it_should_be"](page) == page
    assert page.count("\n### ") > 30
