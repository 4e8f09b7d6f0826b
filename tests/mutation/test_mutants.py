import ast

import pytest

from mutation import run
from mutation.mutants import mutants


def changes(source):
    return [mutant.change for mutant in mutants(source)]


@pytest.mark.parametrize(
    ("source", "changed"),
    [
        ("a = 2.0", ["2.0 -> 2.1"]),
        ("a = 0.0", ["0.0 -> 1.0"]),
        ("a = 3", ["3 -> 4"]),
        ("a = True", ["True -> False"]),
        ("a = b + c", ["b + c -> b - c"]),
        ("a = b * c", ["b * c -> b / c"]),
        ("a = b ** c", ["b ** c -> b * c"]),
        ("a = -b", ["-b -> b"]),
        ("a = b < c", ["b < c -> b <= c", "b < c -> b >= c"]),
        ("a = b is None", ["b is None -> b is not None"]),
        ("a = b and c", ["b and c -> b or c"]),
        ("a = b if c else d", ["b if c else d -> d if c else b"]),
        ("a = min(b, c)", ["min -> max"]),
        ("check(b)", ["check(b) -> pass"]),
    ],
)
def test_a_small_change_is_made(source, changed):
    assert changes(source) == changed


@pytest.mark.parametrize(
    "source",
    [
        "a = 'text'",
        "'''What it is, 3 kg.'''",
        "import b",
        "def f(a: float = 2.0) -> float:\n    return a",
        "raise ValueError(f'{b + 2.0}')",
        "class A:\n    b: float = 2.0",
        "@cache(3)\ndef f():\n    return b",
    ],
)
def test_names_messages_and_defaults_are_left_alone(source):
    assert changes(source) == []


def test_a_mutant_differs_in_one_place_and_says_where():
    source = "def f(a):\n    return 2.0 * a + 1.0\n"
    for mutant in mutants(source):
        assert mutant.scope == "f"
        assert mutant.line == 2
        assert ast.unparse(mutant.tree) != ast.unparse(ast.parse(source))
    assert ast.unparse(next(mutants("a = 2.0")).tree) == "a = 2.1"


def test_a_module_is_asked_about_by_its_own_tests():
    asked = {path.name for path in run.tests_of("hops")}
    assert {"test_hops.py", "test_published_hops.py", "test_ranges.py"} <= asked
    assert "test_practice.py" not in asked


def test_the_code_of_a_module_is_known_again_whatever_its_words():
    told = '"""One."""\n\nA = 2.0\n"""Two,\nof kg."""\n'
    source = f'{told}\n# three\ndef f():\n    """Four."""\n    return A\n'
    other = "A = 2.0\ndef f():\n    return A\n"
    assert run.code_of(source) == run.code_of(other)
    assert run.code_of(source) != run.code_of(source.replace("2.0", "2.1"))
    assert run.code_of(source) != run.code_of(source.replace("return A", "return -A"))


def test_every_module_is_in_the_record_as_it_stands_and_every_survivor_has_its_reason():
    assert run.judge() == 0
