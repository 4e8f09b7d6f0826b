"""Which functions of the science a number came from, for the report.

Once installed, every public function of ``wortwright.brewing`` that a test calls hands out
numbers that remember the function, also through arithmetic and inside data classes and tuples.
A comparison with a published number thus shows whose output it was.
"""

import importlib
import inspect
import operator
import pkgutil
from collections.abc import Callable, Iterator
from copy import copy
from dataclasses import fields, is_dataclass
from functools import wraps
from typing import Any

from wortwright import brewing

PACKAGE = "wortwright.brewing."


class Traced(float):
    """A float with the names of the functions it came from."""

    origins: frozenset[str]

    def __new__(cls, value: float, origins: frozenset[str]) -> "Traced":
        made = super().__new__(cls, value)
        made.origins = origins
        return made


def origins_of(found: object) -> frozenset[str]:
    return getattr(found, "origins", frozenset())


def public_functions() -> Iterator[tuple[Any, str]]:
    """Every public function of the science with its module, cached ones too."""
    for found in pkgutil.walk_packages(brewing.__path__, PACKAGE):
        module = importlib.import_module(found.name)
        for name, member in vars(module).items():
            is_function = callable(member) and not inspect.isclass(member)
            at_home = getattr(member, "__module__", None) == module.__name__
            if is_function and at_home and not name.startswith("_"):
                yield module, name


def name_of(module: Any, function: str) -> str:
    return f"{module.__name__.removeprefix(PACKAGE)}.{function}"


def install() -> None:
    """Trace every public function; call it before test modules are imported."""
    for module, name in list(public_functions()):
        setattr(module, name, _traced(getattr(module, name), name_of(module, name)))


def _traced(function: Callable[..., Any], name: str) -> Callable[..., Any]:
    @wraps(function)
    def call(*args: Any, **kwargs: Any) -> Any:
        if _inside:
            return function(*args, **kwargs)
        _inside.append(name)
        try:
            result = function(*args, **kwargs)
        finally:
            _inside.pop()
        given = (origins_of(value) for value in (*args, *kwargs.values()))
        return _marked(result, frozenset({name}).union(*given))

    return call


# Calls from one function of the science to another are its own business.
_inside: list[str] = []


def _marked(result: Any, origins: frozenset[str]) -> Any:
    if isinstance(result, bool | str | int) or result is None:
        return result
    if isinstance(result, float):
        return Traced(result, origins | origins_of(result))
    if isinstance(result, tuple):
        parts = (_marked(part, origins) for part in result)
        return result._make(parts) if hasattr(result, "_make") else tuple(parts)
    if is_dataclass(result) and not isinstance(result, type):
        marked = copy(result)
        for field in fields(result):
            value = _marked(getattr(result, field.name), origins)
            object.__setattr__(marked, field.name, value)
        return marked
    return result


def _remembering(operation: Callable[..., float], reflected: bool) -> Callable[..., Any]:
    def apply(self: Traced, *others: Any) -> Any:
        if not all(isinstance(other, int | float) for other in others):
            return NotImplemented
        origins = self.origins.union(*(origins_of(other) for other in others))
        plain = [float(self), *map(float, others)]
        return Traced(operation(*(reversed(plain) if reflected else plain)), origins)

    return apply


for _name in ("add", "sub", "mul", "truediv", "pow"):
    setattr(Traced, f"__{_name}__", _remembering(getattr(operator, _name), False))
    setattr(Traced, f"__r{_name}__", _remembering(getattr(operator, _name), True))
for _name in ("neg", "pos", "abs"):
    setattr(Traced, f"__{_name}__", _remembering(getattr(operator, _name), False))
