import subprocess
import sys
from inspect import cleandoc
from pathlib import Path

import pytest

from published import exceptions, report, tracing
from published.cases import Expected
from wortwright.brewing import gravity

ROOT = Path(__file__).parents[2]
CHECKED = "gravity.plato_from_gravity"


WITH_ONE_MORE_FORMULA = cleandoc(
    """
    import sys
    sys.path.insert(0, "tests")
    from published import report
    from wortwright.brewing import gravity

    def doubled(number):
        return 2.0 * number

    doubled.__module__ = gravity.__name__
    gravity.doubled = doubled
    sys.exit(report.main([]))
    """
)


def check(provenance="printed", table="nbs-440", row="1", file="a_file", of=CHECKED, value=0.4567):
    expected = Expected(value, 0.1, file, table, row, provenance)
    return report.Check(expected, frozenset({of}), 0.0)


def faults_of(*checks, functions=(CHECKED,)):
    return report.faults(checks, (*functions, *exceptions.EXCEPTIONS))


def python(*arguments):
    return subprocess.run(
        [sys.executable, *arguments],
        cwd=ROOT,
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )


def test_the_report_finds_a_counting_check_or_a_reason_for_every_formula():
    done = python("tests/published/report.py")
    assert done.returncode == 0, done.stdout[-2000:] + done.stderr[-2000:]
    assert "FAULT" not in done.stdout


def test_the_report_fails_for_a_formula_that_nothing_checks():
    done = python("-c", WITH_ONE_MORE_FORMULA)
    assert done.returncode == 1, done.stdout[-2000:] + done.stderr[-2000:]
    told = [line for line in done.stdout.splitlines() if line.startswith("FAULT")]
    assert told == [
        "FAULT: gravity.doubled has no counting check",
        "FAULT: the summary in checks.md is old; run with --write",
    ]


@pytest.mark.parametrize("provenance", ["printed", "library"])
def test_a_number_from_outside_counts(provenance):
    assert f"{CHECKED} has no counting check" not in faults_of(check(provenance))


@pytest.mark.parametrize("provenance", ["derived", "memory", "practice"])
def test_other_numbers_do_not_count(provenance):
    assert f"{CHECKED} has no counting check" in faults_of(check(provenance))


def test_numbers_copied_into_the_code_do_not_count():
    copied = check(file=min(exceptions.COPIED))
    assert f"{CHECKED} has no counting check" in faults_of(copied)


def test_a_printed_number_that_stands_in_the_code_of_its_formula_does_not_count():
    density = gravity.WATER_DENSITY_20_KG_PER_L
    assert f"{CHECKED} has no counting check" in faults_of(check(value=density))
    assert f"{CHECKED} has no counting check" not in faults_of(check(value=density + 1e-6))
    assert f"{CHECKED} has no counting check" not in faults_of(check("library", value=density))


def test_rows_of_styles_do_not_count():
    of_styles = {name for name in exceptions.EXCEPTIONS if name.startswith("tables.styles.")}
    public = {tracing.name_of(module, name) for module, name in tracing.public_functions()}
    assert {name for name in public if "style" in name} == of_styles


def test_a_number_compared_with_no_output_of_the_science_does_not_count():
    idle = report.Check(check().expected, frozenset(), 0.0)
    assert not report.counting_by_source([idle])


def test_an_exception_that_is_checked_or_gone_is_a_fault():
    excepted = min(exceptions.EXCEPTIONS)
    assert f"{excepted} is an exception and has a check" in faults_of(check(of=excepted))
    assert f"{excepted} is an exception but no function" in report.faults([check()], [CHECKED])


def test_a_table_without_source_is_a_fault():
    assert "no source for nowhere" in faults_of(check(table="nowhere"))


def test_one_source_cannot_carry_the_report():
    many = [check(row=str(number)) for number in range(1000)]
    told = faults_of(*many)
    assert (
        f"only {report.MOST_OF_ONE_SOURCE} values count, {report.LEAST_VALUES} are wanted" in told
    )
    assert f"only 1 sources count, {report.LEAST_SOURCES} are wanted" in told


def test_a_number_compared_twice_counts_once():
    assert report.counting_by_source([check(), check()]).total() == 1


def test_numbers_remember_their_function_through_arithmetic():
    traced = tracing.Traced(2.0, frozenset({"a"}))
    other = tracing.Traced(3.0, frozenset({"b"}))
    made = 1.0 - abs(-traced) * other / 4.0
    assert made == 1.0 - 2.0 * 3.0 / 4.0
    assert tracing.origins_of(made) == {"a", "b"}
    assert tracing.origins_of(5.0) == frozenset()


def test_the_summary_is_put_between_its_marks():
    page = f"before\n{report.FROM}\nold\n{report.TO}\nafter\n"
    written = report.written(page, "new")
    assert written == f"before\n{report.FROM}\n\nnew\n\n{report.TO}\nafter\n"
    assert report.written(written, "new") == written
