import subprocess
import sys
from pathlib import Path

import pytest

from published import exceptions, report, tracing
from published.cases import Expected

ROOT = Path(__file__).parents[2]
CHECKED = "gravity.plato_from_gravity"


def check(provenance="printed", table="nbs-440", row="1", file="a_file", function=CHECKED):
    expected = Expected(1.0, 0.1, file, table, row, provenance)
    return report.Check(expected, frozenset({function}), 0.0)


def faults_of(*checks, functions=(CHECKED,)):
    return report.faults(checks, (*functions, *exceptions.EXCEPTIONS))


def test_the_report_finds_a_counting_check_or_a_reason_for_every_formula():
    done = subprocess.run(
        [sys.executable, "tests/published/report.py"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )
    assert done.returncode == 0, done.stdout[-2000:] + done.stderr[-2000:]
    assert "FAULT" not in done.stdout


@pytest.mark.parametrize("provenance", ["printed", "library"])
def test_a_number_from_outside_counts(provenance):
    assert f"{CHECKED} has no counting check" not in faults_of(check(provenance))


@pytest.mark.parametrize("provenance", ["derived", "memory", "practice"])
def test_other_numbers_do_not_count(provenance):
    assert f"{CHECKED} has no counting check" in faults_of(check(provenance))


def test_numbers_copied_into_the_code_do_not_count():
    copied = check(file=min(exceptions.COPIED))
    assert f"{CHECKED} has no counting check" in faults_of(copied)


def test_a_number_compared_with_no_output_of_the_science_does_not_count():
    idle = report.Check(check().expected, frozenset(), 0.0)
    assert not report.counting_by_source([idle])


def test_an_exception_that_is_checked_or_gone_is_a_fault():
    excepted = min(exceptions.EXCEPTIONS)
    assert f"{excepted} is an exception and has a check" in faults_of(check(function=excepted))
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
