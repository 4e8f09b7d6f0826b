"""The guide: what a person reads about the service, from Markdown to pages that need no network.

The same bytes are served and written into a folder: every address in them is relative.
"""

import re
from collections.abc import Sequence
from importlib.resources import files
from importlib.resources.abc import Traversable
from itertools import pairwise

from markdown_it import MarkdownIt
from markdown_it.token import Token
from markupsafe import Markup

from wortwright.pages.rendering import write_template

CHAPTERS = {
    "tour": "A tour: the first brew, the strong beer, the pair",
    "forecast": "How the forecast is made",
    "science": "The science, with its sources",
    "checks": "How every formula is checked",
}
"""The chapters by the name of their source, in the order in which they are read."""

STYLE = "guide.css"
FIRST = "index.html"
PICTURES = "pictures"
_TYPES = {"html": "text/html", "css": "text/css", "svg": "image/svg+xml"}

_ELSEWHERE = re.compile(r"[a-z]+:|#")


def names() -> list[str]:
    """Give the names of all files of the guide."""
    pictures = sorted(one.name for one in (_folder() / PICTURES).iterdir())
    pages = (f"{name}.html" for name in CHAPTERS)
    return [FIRST, *pages, STYLE, *(f"{PICTURES}/{name}" for name in pictures)]


def content_type(name: str) -> str:
    """Give the type of a file of the guide."""
    return f"{_TYPES[name.rpartition('.')[2]]}; charset=utf-8"


def written(name: str) -> str:
    """Write a file of the guide.

    Parameters
    ----------
    name : str
        One of `names`.

    Returns
    -------
    str
        HTML, CSS or SVG.
    """
    if name == FIRST:
        return write_template("guide_index.html", chapters=CHAPTERS, style=STYLE)
    chapter = name.removesuffix(".html")
    if chapter in CHAPTERS:
        return _page(chapter)
    return (_folder() / name).read_text(encoding="utf-8")


def _folder() -> Traversable:
    return files("wortwright") / "docs"


def _page(chapter: str) -> str:
    tokens = _markdown().parse((_folder() / f"{chapter}.md").read_text(encoding="utf-8"))
    sections = _sections(tokens)
    for token in tokens:
        _prepare(token)
    html = _markdown().renderer.render(tokens, _markdown().options, {})
    return write_template(
        "guide.html",
        title=CHAPTERS[chapter],
        chapter=chapter,
        chapters=CHAPTERS,
        sections=sections,
        style=STYLE,
        # Our own words, by a renderer that escapes what it is given.
        text=Markup(html),
    )


def _markdown() -> MarkdownIt:
    return MarkdownIt("commonmark").enable("table")


def _sections(tokens: Sequence[Token]) -> list[tuple[str, str]]:
    """Give the second headings an address, and list them."""
    found = []
    for heading, words in pairwise(tokens):
        if heading.type == "heading_open" and heading.tag == "h2":
            address = "-".join(re.findall(r"[a-z0-9]+", words.content.lower()))
            heading.attrSet("id", address)
            found.append((address, words.content))
    return found


def _prepare(token: Token) -> None:
    """Lead links to pages instead of sources; let the keyboard reach what may be too wide."""
    if token.type == "link_open":
        address = str(token.attrs["href"])
        if not _ELSEWHERE.match(address):
            token.attrSet("href", re.sub(r"\.md(?=#|$)", ".html", address))
    if token.type == "fence":
        token.type = "code_block"
        token.attrSet("tabindex", "0")
    for child in token.children or ():
        _prepare(child)
