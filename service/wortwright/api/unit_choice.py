"""In whose units an answer is written: asked for by ``?units=``, or the brewer's own choice."""

from contextvars import ContextVar

from flask import request

from wortwright.units import Dimension, UnitSystem, base_unit, preferred

_chosen: ContextVar[UnitSystem | None] = ContextVar("unit_choice", default=None)


def chosen() -> UnitSystem | None:
    """Give the system of units of the answer; None means base units."""
    return _chosen.get()


def choose(system: UnitSystem | str | None) -> None:
    """Set the system of units of this request's answer."""
    _chosen.set(None if system is None else UnitSystem(system))


def unit_of(dimension: Dimension) -> str:
    """Give the symbol in which this request's answer writes a dimension."""
    system = chosen()
    return base_unit(dimension) if system is None else preferred(dimension, system)


def prefer(system: str | None) -> None:
    """Take the caller's own choice unless the request asked for another."""
    if request.args.get("units") is None:
        choose(system)
