"""The house: what stands at the top, and that the doors open one way."""

import ast
import subprocess
import sys
from pathlib import Path

from importlinter.cli import lint_imports

ROOT = Path(__file__).parents[1]


def tracked() -> list[str]:
    listed = subprocess.run(
        ["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, text=True, check=True
    )
    return [name for name in listed.stdout.split("\0") if name]


def test_top_level_holds_what_it_should_and_nothing_else() -> None:
    top = {name.split("/")[0] for name in tracked()}
    assert {name for name in top if not name.startswith(".")} == {
        "README.md",
        "DEVELOPERS.md",
        "LICENSE",
        "pyproject.toml",
        "openapi.yaml",
        "service",
        "tests",
        "fixtures",
        "docker",
        "clients",
    }


def test_imports_run_one_way() -> None:
    assert lint_imports(config_filename=str(ROOT / "pyproject.toml")) == 0


def test_nothing_but_the_unit_scales_knows_pint() -> None:
    knows = [
        path.name
        for path in (ROOT / "service").rglob("*.py")
        if "pint"
        in {
            word
            for line in path.read_text().splitlines()
            for word in line.split()
            if line.lstrip().startswith(("import ", "from "))
        }
    ]
    assert knows == ["unit_scales.py"]


def imports_of(path: Path) -> set[str]:
    """Every module that a file imports, wherever in it."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {name.name for name in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            found |= {node.module, *(f"{node.module}.{name.name}" for name in node.names)}
    return found


def test_the_service_calls_nobody() -> None:
    """No address that a caller sends can be fetched: there is nothing to fetch it with."""
    clients = {"urllib.request", "http.client", "socket", "ftplib", "smtplib", "telnetlib"}
    clients |= {"requests", "httpx", "aiohttp", "urllib3", "websockets", "paramiko"}
    found = {
        str(path.relative_to(ROOT)): imports_of(path) & clients
        for path in (ROOT / "service").rglob("*.py")
    }
    assert {path: names for path, names in found.items() if names} == {}
    assert "socket" in imports_of(ROOT / "tests" / "ports.py"), "the search finds what is there"


def test_serving_does_not_load_the_fitting_library_before_it_is_needed() -> None:
    code = "import sys, wortwright.cli; sys.exit('sklearn' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
