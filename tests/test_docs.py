"""What the pages for operators say of the tests is true, and the pages can be found."""

import ast
import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
DOCS = ROOT / "service" / "wortwright" / "docs"
SECURITY, GROWING = (
    (DOCS / name).read_text(encoding="utf-8") for name in ("security.md", "growing.md")
)

_NAMED = re.compile(r"`(tests/[\w/]+\.py)::(\w+)`")
_RISK = re.compile(r"(?m)^\| \*\*(API\d+)\*\* [^|]+\|([^|]+)\|([^|]+)\|$")


def functions_of(path: str) -> set[str]:
    tree = ast.parse((ROOT / path).read_text(encoding="utf-8"))
    return {node.name for node in tree.body if isinstance(node, ast.FunctionDef)}


@pytest.mark.parametrize("page", [SECURITY, GROWING], ids=["security", "growing"])
def test_every_test_that_a_page_names_exists(page: str) -> None:
    named = _NAMED.findall(page)
    assert len(named) >= 3
    assert page.count("::") == len(named), "a name that is not written as the others"
    missing = [f"{path}::{name}" for path, name in named if name not in functions_of(path)]
    assert missing == []


def test_every_risk_of_the_ten_has_what_holds_it_and_a_test_that_shows_it() -> None:
    rows = {risk: (held, shown) for risk, held, shown in _RISK.findall(SECURITY)}
    assert list(rows) == [f"API{number}" for number in range(1, 11)]
    for risk, (held, shown) in rows.items():
        assert len(held.split()) >= 5, risk
        assert _NAMED.search(shown), risk


def test_what_was_measured_stands_apart_from_what_is_only_planned() -> None:
    heads = re.findall(r"(?m)^## (.+)$", GROWING)
    assert heads == ["Measured", "What gives way first", "Only planned"]
    planned = GROWING.partition("## Only planned")[2]
    assert "Nothing of this is built" in planned
    assert not re.search(r"\bms\b|\bMiB\b", planned), "a figure among the plans"


def test_commands_that_the_pages_name_are_there() -> None:
    for page in (SECURITY, GROWING):
        for script in re.findall(r"python (tests/[\w/]+\.py)", page):
            assert (ROOT / script).is_file(), script


@pytest.mark.parametrize("name", ["security.md", "growing.md"])
def test_the_pages_can_be_found(name: str) -> None:
    assert f"service/wortwright/docs/{name}" in (ROOT / "README.md").read_text(encoding="utf-8")
