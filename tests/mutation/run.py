"""Do the tests notice a wrong constant or operator?

    python tests/mutation/run.py                    every module of brewing/
    python tests/mutation/run.py hops tables.yeast  these modules
    python tests/mutation/run.py --every 5 hops     every fifth mutant only, nothing is recorded

Each mutant runs in a process of its own against the tests of its module: the published values that
name the module, the unit tests of the same name, and the tests of ranges. A mutant that survives
them meets the unit tests of the modules that use it. Results stand in results.csv and
survivors.csv; a survivor keeps the reason that somebody wrote beside it.
"""

import argparse
import ast
import contextlib
import csv
import importlib.util
import io
import os
import re
import signal
import sys
import time
from collections.abc import Iterable, Sequence
from importlib.abc import MetaPathFinder
from importlib.machinery import ModuleSpec, SourceFileLoader
from pathlib import Path
from types import CodeType
from typing import Any

HERE = Path(__file__).parent
TESTS = HERE.parent
SCIENCE = TESTS.parent / "service" / "wortwright" / "brewing"
if __package__ != "mutation":
    sys.path.insert(0, str(TESTS))

from mutation.mutants import Mutant, mutants  # noqa: E402

RESULTS, SURVIVORS = HERE / "results.csv", HERE / "survivors.csv"
LONGEST_S = 120
LEAST_KILLED = 0.90
# Tests that prove no formula, run others again, or look at a library alone.
NOT_ASKED = {"test_practice.py", "test_report.py", "test_tables_of_libraries.py"}
OF_A_LIBRARY = "not (those_of or that_of_the or that_of_phreeqc)"
HEAVY = ("scipy.optimize", "scipy.integrate", "periodictable", "pint", "phreeqpython",
         "chemicals", "CoolProp.CoolProp")  # fmt: skip


class _Loader(SourceFileLoader):
    def __init__(self, name: str, path: str, tree: ast.Module) -> None:
        super().__init__(name, path)
        self._tree = tree

    def get_code(self, fullname: str) -> CodeType:
        return compile(self._tree, self.path, "exec")


class _Finder(MetaPathFinder):
    def __init__(self, name: str, path: Path, tree: ast.Module) -> None:
        self._name, self._path, self._tree = name, str(path), tree

    def find_spec(self, fullname: str, path: Any, target: Any = None) -> ModuleSpec | None:
        if fullname != self._name:
            return None
        inside = [str(Path(self._path).parent)] if self._path.endswith("__init__.py") else None
        loader = _Loader(fullname, self._path, self._tree)
        return importlib.util.spec_from_file_location(
            fullname, self._path, loader=loader, submodule_search_locations=inside
        )


def modules() -> dict[str, Path]:
    """Modules of the science by their name below brewing."""
    found = {}
    for path in sorted(SCIENCE.rglob("*.py")):
        parts = path.relative_to(SCIENCE).with_suffix("").parts
        name = ".".join(part for part in parts if part != "__init__")
        if name:
            found[name] = path
    return found


def tests_of(module: str) -> list[Path]:
    """Published values that name the module, unit tests of the same name, tests of ranges."""
    named = re.compile(rf"\b{module.split('.')[-1]}\b")
    published = sorted((TESTS / "published").glob("test_*.py"))
    asked = [p for p in published if named.search(p.read_text(encoding="utf-8"))]
    own = [_unit_tests(module), TESTS / "brewing" / "test_ranges.py"]
    return [p for p in [*asked, *own] if p.exists() and p.name not in NOT_ASKED]


def tests_of_users(module: str) -> list[Path]:
    """Unit tests of the modules that import a module."""
    named = re.compile(rf"^from wortwright\.brewing\.{re.escape(module)} import", re.MULTILINE)
    users = [
        user for user, path in modules().items() if named.search(path.read_text(encoding="utf-8"))
    ]
    return [path for user in users if (path := _unit_tests(user)).exists()]


def _unit_tests(module: str) -> Path:
    short = "tables" if module.startswith("tables") else module
    return TESTS / "brewing" / f"test_{short}.py"


def survives(mutant: Mutant, module: str, path: Path, tests: Sequence[Path]) -> bool:
    """Run tests on a mutant in a process of its own."""
    child = os.fork()
    if child == 0:
        signal.alarm(LONGEST_S)
        os._exit(_run(mutant, f"wortwright.brewing.{module}", path, tests))
    return os.waitpid(child, 0)[1] == 0


def _run(mutant: Mutant, name: str, path: Path, tests: Sequence[Path]) -> int:
    import pytest

    sys.meta_path.insert(0, _Finder(name, path, mutant.tree))
    options = ["-x", "-q", "--noconftest", "--assert=plain", "-p", "no:cacheprovider"]
    options += ["-k", OF_A_LIBRARY, *map(str, tests)]
    with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(io.StringIO()):
        return int(pytest.main(options))


def prepare() -> None:
    """Import what every run needs, and make property tests short and repeatable."""
    import hypothesis
    import numpy  # noqa: F401
    import pytest  # noqa: F401

    for heavy in HEAVY:
        with contextlib.suppress(ImportError):
            importlib.import_module(heavy)
    hypothesis.settings.register_profile(
        "mutation", max_examples=10, derandomize=True, database=None, deadline=None
    )
    hypothesis.settings.load_profile("mutation")


def check(module: str, every: int) -> tuple[int, list[Mutant]]:
    """Number of mutants run, and those that survived all tests."""
    path = modules()[module]
    source = path.read_text(encoding="utf-8")
    unchanged = Mutant("", 0, "none", ast.parse(source))
    own = tests_of(module)
    if not survives(unchanged, module, path, own):
        sys.exit(f"{module}: its tests fail without any change")
    asked = list(mutants(source))[::every]
    left = [mutant for mutant in asked if survives(mutant, module, path, own)]
    if others := tests_of_users(module):
        left = [mutant for mutant in left if survives(mutant, module, path, others)]
    return len(asked), left


def read(path: Path) -> list[dict[str, str]]:
    """Rows of one of the records."""
    if not path.exists():
        return []
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def _write(path: Path, names: Sequence[str], rows: Iterable[dict[str, Any]]) -> None:
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, names, lineterminator="\n")
        writer.writeheader()
        writer.writerows(rows)


def record(module: str, asked: int, left: Sequence[Mutant], seconds: float) -> None:
    """Put a module's result in place of the last one; reasons of survivors are kept."""
    results = [row for row in read(RESULTS) if row["module"] != module]
    killed = asked - len(left)
    row = {"module": module, "mutants": asked, "killed": killed, "seconds": round(seconds)}
    names = ["module", "mutants", "killed", "seconds"]
    _write(RESULTS, names, sorted([*results, row], key=lambda row: str(row["module"])))
    before = read(SURVIVORS)
    reasons = {
        (row["scope"], row["change"]): row["reason"] for row in before if row["module"] == module
    }
    now = [
        {
            "module": module,
            "scope": mutant.scope,
            "change": mutant.change,
            "reason": reasons.get((mutant.scope, mutant.change), ""),
        }
        for mutant in left
    ]
    others = [row for row in before if row["module"] != module]
    rows = sorted([*others, *now], key=lambda row: row["module"])
    _write(SURVIVORS, ["module", "scope", "change", "reason"], rows)


def main(arguments: Sequence[str]) -> int:
    """Run the modules asked for, and judge the record of all."""
    parser = argparse.ArgumentParser()
    parser.add_argument("modules", nargs="*")
    parser.add_argument("--every", type=int, default=1)
    asked_for = parser.parse_args(arguments)
    prepare()
    for module in asked_for.modules or modules():
        began = time.monotonic()
        asked, left = check(module, asked_for.every)
        if not asked:
            continue
        seconds = time.monotonic() - began
        print(f"{module}: {asked - len(left)} of {asked} killed in {seconds:.0f} s", flush=True)
        for mutant in left:
            print(f"    line {mutant.line} {mutant.scope}: {mutant.change}", flush=True)
        if asked_for.every == 1:
            record(module, asked, left, seconds)
    return judge()


def judge() -> int:
    """Print the record and say whether it passes."""
    results, unexplained = read(RESULTS), [row for row in read(SURVIVORS) if not row["reason"]]
    asked = sum(int(row["mutants"]) for row in results)
    killed = sum(int(row["killed"]) for row in results)
    share = killed / asked if asked else 0.0
    seconds = sum(int(row["seconds"]) for row in results)
    print(f"record: {killed} of {asked} mutants killed ({share:.1%}), {seconds} s on one core")
    print(f"survivors without a reason: {len(unexplained)}")
    return 0 if share >= LEAST_KILLED and not unexplained else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
