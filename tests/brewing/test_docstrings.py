import importlib
import inspect
import pkgutil
import re

import pytest

from wortwright import brewing


def functions():
    for module in pkgutil.walk_packages(brewing.__path__, "wortwright.brewing."):
        members = inspect.getmembers(importlib.import_module(module.name), inspect.isfunction)
        for name, function in members:
            if function.__module__ == module.name and not name.startswith("_"):
                yield pytest.param(function, id=f"{module.name.removeprefix('wortwright.')}.{name}")


FUNCTIONS = list(functions())


def section(function, title):
    doc = inspect.getdoc(function) or ""
    found = re.search(rf"^{title}\n-+\n(.*?)(?=^\S[^\n]*\n---|\Z)", doc, re.DOTALL | re.MULTILINE)
    return found.group(1) if found else ""


@pytest.mark.parametrize("function", FUNCTIONS)
def test_a_docstring_names_the_parameters_in_the_order_of_the_signature(function):
    named = [
        name.strip()
        for names in re.findall(r"^(\w[\w, ]*) : ", section(function, "Parameters"), re.MULTILINE)
        for name in names.split(",")
    ]
    assert named == list(inspect.signature(function).parameters)


@pytest.mark.parametrize("function", FUNCTIONS)
def test_a_docstring_says_what_is_returned(function):
    if inspect.signature(function).return_annotation is not None:
        assert section(function, "Returns")


@pytest.mark.parametrize("function", FUNCTIONS)
def test_a_number_is_given_its_unit(function):
    numbers = re.findall(
        r"^\w[\w, ]* : (?:iterable of )?float[^\n]*\n((?:    [^\n]*\n?)+)",
        section(function, "Parameters"),
        re.MULTILINE,
    )
    if function.__module__ != "wortwright.brewing.errors":
        assert all("[" in text for text in numbers)
