"""Planning is pure: same inputs, same plan; no clock, no database, no web."""

import ast
import importlib.util
from pathlib import Path

import pytest

import wortwright.planning

ROOM = Path(next(iter(wortwright.planning.__path__)))
FORBIDDEN = {
    "flask",
    "flask_smorest",
    "marshmallow",
    "os",
    "pathlib",
    "pint",
    "random",
    "secrets",
    "socket",
    "sqlalchemy",
    "time",
    "uuid",
}
READS_A_CLOCK = {"now", "utcnow", "today", "time", "monotonic", "perf_counter"}
ABOVE = ("wortwright.store", "wortwright.usecases", "wortwright.api", "wortwright.pages")


def imported_by(path: Path) -> set[str]:
    """Every module that a file imports, by its full name."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path.name} imports by a relative name"
            found.add(node.module or "")
    return found


def asks_the_clock(path: Path) -> set[str]:
    """Calls on a date or time that answer with the present one."""
    return {
        node.func.attr
        for node in ast.walk(ast.parse(path.read_text()))
        if isinstance(node, ast.Call)
        and isinstance(node.func, ast.Attribute)
        and node.func.attr in READS_A_CLOCK
    }


def reached_from(start: Path) -> list[Path]:
    """A file and every file of the project that it reaches."""
    seen: list[Path] = []
    waiting = [start]
    while waiting:
        path = waiting.pop()
        seen.append(path)
        for module in imported_by(path):
            if module.partition(".")[0] == "wortwright":
                spec = importlib.util.find_spec(module)
                assert spec is not None
                assert spec.origin is not None
                if Path(spec.origin) not in [*seen, *waiting]:
                    waiting.append(Path(spec.origin))
    return seen


@pytest.mark.parametrize("path", sorted(ROOM.rglob("*.py")), ids=lambda path: path.stem)
def test_a_planning_module_reaches_no_clock_no_database_and_no_web(path: Path) -> None:
    for reached in reached_from(path):
        imports = imported_by(reached)
        tops = {name.partition(".")[0] for name in imports}
        assert not tops & FORBIDDEN, f"{reached.name} imports {sorted(tops & FORBIDDEN)}"
        assert not any(name.startswith(ABOVE) for name in imports), reached.name
        assert not asks_the_clock(reached), reached.name


def test_the_search_for_imports_finds_what_is_there() -> None:
    reached = reached_from(ROOM / "refit.py")
    assert {"gravity.py", "posterior.py", "recipe.py"} <= {path.name for path in reached}
    assert "dataclasses" in imported_by(ROOM / "refit.py")


def test_a_call_for_the_present_time_is_noticed(tmp_path: Path) -> None:
    path = tmp_path / "late.py"
    path.write_text("from datetime import datetime\nSTARTED = datetime.now()\n")
    assert asks_the_clock(path) == {"now"}
