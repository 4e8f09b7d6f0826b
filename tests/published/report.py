"""Report on how the formulas are checked against the outside.

    python tests/published/report.py            print the report, fail if something is unchecked
    python tests/published/report.py --write    also write the summary into the docs

A check *counts* if its number is printed in a source, or comes from an independent library or a
second derivation, and if it is compared with what a public function of the science returned. A
printed number that stands as a constant in the code of that function's module does not count.
"""

import ast
import contextlib
import importlib.util
import io
import sys
from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import pytest

HERE = Path(__file__).parent
if __package__ != "published":
    sys.path.insert(0, str(HERE.parent))

from published import cases, tracing  # noqa: E402
from published.exceptions import COPIED, EXCEPTIONS  # noqa: E402

COUNTING = ("printed", "library")
MOST_OF_ONE_SOURCE = 40
LEAST_VALUES, LEAST_SOURCES = 150, 15
PAGE = HERE.parents[1] / "service" / "wortwright" / "docs" / "checks.md"
FROM, TO = "<!-- report -->", "<!-- end of report -->"


@dataclass(frozen=True)
class Check:
    """One number of a source, the functions it was compared with, and the error in tolerances."""

    expected: cases.Expected
    functions: frozenset[str]
    error: float

    @property
    def is_copied(self) -> bool:
        """Whether the number stands in the code, so that it would prove nothing."""
        printed = self.expected.provenance == "printed"
        stands = any(self.expected.value in constants_of(name) for name in self.functions)
        return self.expected.file in COPIED or (printed and stands)

    @property
    def counts(self) -> bool:
        return self.expected.provenance in COUNTING and not self.is_copied

    @property
    def number(self) -> tuple[str, str, str]:
        return self.expected.file, self.expected.table, self.expected.row


@cache
def constants_of(function: str) -> frozenset[float]:
    """Numbers that stand in the module of a function of the science."""
    found = importlib.util.find_spec(tracing.PACKAGE + function.rpartition(".")[0])
    source = Path(found.origin).read_text(encoding="utf-8") if found and found.origin else ""
    values = (node.value for node in ast.walk(ast.parse(source)) if isinstance(node, ast.Constant))
    return frozenset(float(value) for value in values if isinstance(value, int | float))


class _Tracer:
    def pytest_sessionstart(self) -> None:
        tracing.install()


def run() -> list[Check]:
    """Run the tests of this folder and give every comparison they made."""
    cases.COMPARISONS.clear()
    printed = io.StringIO()
    arguments = ["-q", "-p", "no:cacheprovider", f"--ignore={HERE / 'test_report.py'}", str(HERE)]
    with contextlib.redirect_stdout(printed):
        code = pytest.main(arguments, plugins=[_Tracer()])
    if code != pytest.ExitCode.OK:
        sys.exit(f"{printed.getvalue()}\nThe checks themselves fail: there is nothing to report.")
    return [
        Check(expected, tracing.origins_of(found), _error(expected, found))
        for expected, found in cases.COMPARISONS
    ]


def _error(expected: cases.Expected, found: Any) -> float:
    miss = abs(found - expected.value)
    return float(miss / expected.tolerance) if expected.tolerance else float(miss > 0.0)


def sources() -> dict[str, str]:
    """Source behind each table that counts."""
    return {row["table"]: row["source"] for row in cases.rows("sources")}


def outside_sources() -> set[str]:
    """Sources that are a text or a library; the rest are second derivations in the tests."""
    return {row["source"] for row in cases.rows("sources") if row["kind"] == "outside"}


def counting_by_source(checks: Iterable[Check]) -> Counter[str]:
    """Different numbers that count, by source, however often each is compared."""
    by_table = sources()
    numbers = {check.number for check in checks if check.counts and check.functions}
    return Counter(by_table.get(table, f"no source for {table}") for _, table, _ in numbers)


def faults(checks: Sequence[Check], functions: Iterable[str]) -> list[str]:
    """What keeps the report from passing."""
    counted = {name for check in checks if check.counts for name in check.functions}
    names = set(functions)
    by_source = counting_by_source(checks)
    outside = _capped(by_source, outside_sources())
    found = [
        *(f"{name} has no counting check" for name in sorted(names - counted - set(EXCEPTIONS))),
        *(f"{name} is an exception and has a check" for name in sorted(counted & set(EXCEPTIONS))),
        *(f"{name} is an exception but no function" for name in sorted(set(EXCEPTIONS) - names)),
        *(source for source in sorted(by_source) if source.startswith("no source")),
    ]
    if sum(outside.values()) < LEAST_VALUES:
        found.append(f"only {sum(outside.values())} values count, {LEAST_VALUES} are wanted")
    if len(outside) < LEAST_SOURCES:
        found.append(f"only {len(outside)} sources count, {LEAST_SOURCES} are wanted")
    return found


def _capped(by_source: Counter[str], wanted: set[str]) -> dict[str, int]:
    return {
        source: min(count, MOST_OF_ONE_SOURCE)
        for source, count in sorted(by_source.items())
        if source in wanted
    }


def by_function(checks: Sequence[Check], functions: Sequence[str]) -> list[str]:
    """Lines for each function: checks by provenance, sources, largest error."""
    of: dict[str, list[Check]] = defaultdict(list)
    for check in checks:
        for name in check.functions:
            of[name].append(check)
    return [line for name in functions for line in _function(name, of[name])]


def _function(name: str, checks: Sequence[Check]) -> list[str]:
    if name in EXCEPTIONS:
        return [name, f"    exception: {EXCEPTIONS[name]}"]
    by_provenance = Counter(
        "copied" if check.is_copied else check.expected.provenance
        for check in {check.number: check for check in checks}.values()
    )
    known = sources()
    named = {known.get(check.expected.table, "") for check in checks if check.counts}
    worst = max((check.error for check in checks), default=0.0)
    told = ", ".join(f"{count} {provenance}" for provenance, count in by_provenance.most_common())
    return [
        f"{name}: {told or 'no check'}; largest error {100.0 * worst:.0f} % of its tolerance",
        *(f"    {source}" for source in sorted(named) if source),
    ]


def summary(checks: Sequence[Check], functions: Sequence[str]) -> str:
    """The report in short, for people to read."""
    by_source = counting_by_source(checks)
    outside = _capped(by_source, outside_sources())
    inside = _capped(by_source, set(by_source) - outside_sources())
    exceptions = sum(name in EXCEPTIONS for name in functions)
    copied = {check.number for check in checks if check.is_copied}
    return "\n".join(
        [
            f"{len(functions)} public functions: {len(functions) - exceptions} with a counting "
            f"check, {exceptions} exceptions. {sum(outside.values())} values count from "
            f"{len(outside)} published sources and libraries (none for more than "
            f"{MOST_OF_ONE_SOURCE}; {LEAST_VALUES} from {LEAST_SOURCES} are the least), and "
            f"{sum(inside.values())} more from {len(inside)} second derivations in the tests. "
            f"Numbers that stand in the code, {len(copied)} of those compared, and rows of styles "
            "are not among them.",
            "",
            *_table("published source or library", outside),
            "",
            *_table("second derivation", inside),
            "",
            "Functions without a counting check, and why:",
            "",
            *_exceptions(),
        ]
    )


def _table(heading: str, counts: dict[str, int]) -> list[str]:
    lines = (f"| {source} | {count} |" for source, count in counts.items())
    return [f"| {heading} | values |", "|---|---|", *lines]


def _exceptions() -> list[str]:
    by_reason: dict[str, list[str]] = defaultdict(list)
    for name, reason in EXCEPTIONS.items():
        by_reason[reason].append(f"`{name}`")
    return [f"- {', '.join(names)}: {reason}." for reason, names in by_reason.items()]


def written(text: str, made: str) -> str:
    """The page with the summary put between its marks."""
    before, rest = text.split(FROM)
    return f"{before}{FROM}\n\n{made}\n\n{TO}{rest.split(TO)[1]}"


def main(arguments: Sequence[str]) -> int:
    """Run, print, and judge."""
    functions = [tracing.name_of(module, name) for module, name in tracing.public_functions()]
    checks = run()
    made = summary(checks, functions)
    print("\n".join(by_function(checks, functions)), "", made, sep="\n")
    wrong = faults(checks, functions)
    page = PAGE.read_text(encoding="utf-8")
    if "--write" in arguments:
        PAGE.write_text(written(page, made), encoding="utf-8")
    elif written(page, made) != page:
        wrong.append(f"the summary in {PAGE.name} is old; run with --write")
    print(*(f"FAULT: {fault}" for fault in wrong), sep="\n")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
