"""Do the tests notice a wrong constant or operator?

    python tests/mutation/run.py                    every module of brewing/
    python tests/mutation/run.py hops tables.yeast  these modules
    python tests/mutation/run.py --every 5 hops     every fifth mutant only, nothing is recorded
    python tests/mutation/run.py --again hops       only those that survived the last time, if the
                                                    code is still the same

Each mutant runs in a process of its own against those tests that call the changed function: of the
published values, of the unit tests of its module, of ranges and edges. One that survives meets all
of these, and the unit tests of the modules that use its own. Results stand in results.csv and
survivors.csv, beside a digest of the code they were found with; a survivor keeps the reason that
somebody wrote beside it, and every one needs one.
"""

import argparse
import ast
import csv
import hashlib
import re
import resource
import sys
import time
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

HERE = Path(__file__).parent
TESTS = HERE.parent
SCIENCE = TESTS.parent / "service" / "wortwright" / "brewing"
if __package__ != "mutation":
    sys.path.insert(0, str(TESTS))

from mutation import trial  # noqa: E402
from mutation.mutants import Mutant, mutants  # noqa: E402

RESULTS, SURVIVORS = HERE / "results.csv", HERE / "survivors.csv"
RESULT = ("module", "code", "mutants", "killed", "seconds")
SURVIVOR = ("module", "scope", "change", "reason")
LEAST_KILLED = 0.90
# Tests that prove no formula, run others again, or look at a library alone.
NOT_ASKED = {"test_practice.py", "test_report.py", "test_tables_of_libraries.py"}


def modules() -> dict[str, Path]:
    """Modules of the science by their name below brewing."""
    found = {}
    for path in sorted(SCIENCE.rglob("*.py")):
        parts = path.relative_to(SCIENCE).with_suffix("").parts
        name = ".".join(part for part in parts if part != "__init__")
        if name:
            found[name] = path
    return found


def code_of(source: str) -> str:
    """Short digest of a module's code without its docstrings, comments and blank lines."""
    told = {
        number
        for node in ast.walk(ast.parse(source))
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)
        for number in range(node.lineno, (node.end_lineno or node.lineno) + 1)
    }
    code = [
        line.rstrip()
        for number, line in enumerate(source.splitlines(), 1)
        if number not in told and line.strip() and not line.lstrip().startswith("#")
    ]
    return hashlib.sha256("\n".join(code).encode()).hexdigest()[:12]


def code_now(module: str) -> str:
    """Digest of a module as it stands."""
    return code_of(modules()[module].read_text(encoding="utf-8"))


def tests_of(module: str) -> list[Path]:
    """Published values that name the module, unit tests of the same name, ranges and edges."""
    named = re.compile(rf"\b{module.split('.')[-1]}\b")
    published = sorted((TESTS / "published").glob("test_*.py"))
    asked = [p for p in published if named.search(p.read_text(encoding="utf-8"))]
    rules = [
        p for name in ("ranges", "edges*") for p in (TESTS / "brewing").glob(f"test_{name}.py")
    ]
    own = [_unit_tests(module), *sorted(rules)]
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


def check(module: str, every: int, again: bool) -> tuple[int, list[Mutant]]:
    """Number of mutants that stand for the module, and those that survive."""
    path, name = modules()[module], f"wortwright.brewing.{module}"
    own, users = tests_of(module), tests_of_users(module)
    calls = trial.touched(name, path, own)
    if calls is None:
        sys.exit(f"{module}: its tests fail without any change")
    asked = list(mutants(path.read_text(encoding="utf-8")))[::every]
    known = {(row["scope"], row["change"]) for row in read(SURVIVORS) if row["module"] == module}
    left = [m for m in asked if not again or (m.scope, m.change) in known]
    left = [m for m in left if _passes_own(name, path, m, own, calls.of(m.scope))]
    return len(asked), [m for m in left if trial.passes(name, path, m.tree, {*own, *users})]


def _passes_own(
    name: str, path: Path, mutant: Mutant, own: Sequence[Path], asked: Sequence[str]
) -> bool:
    """Whether a mutant passes the tests asked; only their files are collected."""
    files = {TESTS.parent / test.partition("::")[0] for test in asked}
    return trial.passes(name, path, mutant.tree, files or own, asked)


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


def record(module: str, asked: int, left: Sequence[Mutant], seconds: float, again: bool) -> None:
    """Put a module's result in place of the last one; reasons of survivors are kept."""
    last = next((row for row in read(RESULTS) if row["module"] == module), None)
    results = [row for row in read(RESULTS) if row["module"] != module]
    if again and last:
        seconds += float(last["seconds"])
    figures = (module, code_now(module), asked, asked - len(left), round(seconds))
    row = dict(zip(RESULT, map(str, figures), strict=True))
    _write(RESULTS, RESULT, sorted([*results, row], key=lambda row: row["module"]))
    _record_survivors(module, left)


def _record_survivors(module: str, left: Sequence[Mutant]) -> None:
    before = read(SURVIVORS)
    reasons = {
        (row["scope"], row["change"]): row["reason"] for row in before if row["module"] == module
    }
    now = [
        dict(zip(SURVIVOR, (module, *what, reasons.get(what, "")), strict=True))
        for what in ((mutant.scope, mutant.change) for mutant in left)
    ]
    others = [row for row in before if row["module"] != module]
    _write(SURVIVORS, SURVIVOR, sorted([*others, *now], key=lambda row: row["module"]))


def is_current(module: str) -> bool:
    """Whether the record is of the module as it stands."""
    return any(row["module"] == module and row["code"] == code_now(module) for row in read(RESULTS))


def main(arguments: Sequence[str]) -> int:
    """Run the modules asked for, and judge the record of all."""
    parser = argparse.ArgumentParser()
    parser.add_argument("modules", nargs="*")
    parser.add_argument("--every", type=int, default=1)
    parser.add_argument("--again", action="store_true")
    asked_for = parser.parse_args(arguments)
    trial.prepare()
    for module in asked_for.modules or modules():
        began = time.process_time() + _of_children()
        again = asked_for.again and is_current(module)
        asked, left = check(module, asked_for.every, again)
        seconds = time.process_time() + _of_children() - began
        print(f"{module}: {asked - len(left)} of {asked} killed in {seconds:.0f} s", flush=True)
        for mutant in left:
            print(f"    line {mutant.line} {mutant.scope}: {mutant.change}", flush=True)
        if asked_for.every == 1:
            record(module, asked, left, seconds, again)
    return judge()


def _of_children() -> float:
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def judge() -> int:
    """Print the record and say whether it passes."""
    results, unexplained = read(RESULTS), [row for row in read(SURVIVORS) if not row["reason"]]
    asked = sum(int(row["mutants"]) for row in results)
    killed = sum(int(row["killed"]) for row in results)
    share = killed / asked if asked else 0.0
    seconds = sum(int(row["seconds"]) for row in results)
    missing = [module for module in modules() if not is_current(module)]
    gone = [row["module"] for row in results if row["module"] not in modules()]
    print(f"record: {killed} of {asked} mutants killed ({share:.1%}), {seconds} s on one core")
    print(f"modules not in the record as they stand: {', '.join(missing) or 'none'}")
    print(f"modules of the record that are gone: {', '.join(gone) or 'none'}")
    print(f"survivors without a reason: {len(unexplained)}")
    return 0 if share >= LEAST_KILLED and not (missing or gone or unexplained) else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
