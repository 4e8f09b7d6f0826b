"""The house: what stands at the top, and that the doors open one way."""

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


def test_nothing_but_units_knows_pint() -> None:
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
    assert knows == ["units.py"]


def test_serving_does_not_load_the_fitting_library_before_it_is_needed() -> None:
    code = "import sys, wortwright.cli; sys.exit('sklearn' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
