"""Quantities as brewers write them, to and from base units: a strict grammar of our own."""

import math
import re
from collections.abc import Callable, Mapping

from wortwright.brewing.errors import OutOfRangeError
from wortwright.records.brewer import UnitSystem as UnitSystem
from wortwright.records.dimension import Dimension as Dimension
from wortwright.unit_scales import PREFERRED, SCALES, Scale

LONGEST_TEXT = 64


class QuantityError(ValueError):
    """A quantity that cannot be read; the message names what was found and what is accepted."""

    def __init__(self, message: str, accepted: tuple[str, ...] = ()) -> None:
        super().__init__(message)
        self.accepted = accepted


# What brewers write and what it may mean.
_AMBIGUOUS: Mapping[str, tuple[str, ...]] = {
    "gal": ("US gal", "imp gal"),
    "qt": ("US qt", "imp qt"),
    "pt": ("US pt", "imp pt"),
    "fl oz": ("US fl oz", "imp fl oz"),
    "gal/h": ("US gal/h", "imp gal/h"),
    "qt/lb": ("US qt/lb", "imp qt/lb"),
    "C": ("degC",),
    "F": ("degF",),
}

# A number as JSON writes it; ASCII digits only.
_NUMBER = re.compile(r"-?(?:0|[1-9][0-9]*)(?:\.[0-9]+)?(?:[eE][+-]?[0-9]+)?")


def symbols(dimension: Dimension) -> tuple[str, ...]:
    """List the unit symbols accepted for a dimension, the base unit first.

    Parameters
    ----------
    dimension : Dimension
        What is measured.

    Returns
    -------
    tuple of str
        Every accepted symbol.
    """
    return tuple(SCALES[dimension])


def base_unit(dimension: Dimension) -> str:
    """Symbol of the unit in which a dimension is kept and computed."""
    return next(iter(SCALES[dimension]))


def preferred(dimension: Dimension, system: UnitSystem) -> str:
    """Symbol of the unit in which a system of units shows a dimension.

    Parameters
    ----------
    dimension : Dimension
        What is measured.
    system : UnitSystem
        Metric, US or imperial.

    Returns
    -------
    str
        A symbol out of `symbols`.
    """
    chosen = PREFERRED.get(dimension)
    if chosen is None:
        return base_unit(dimension)
    return chosen[tuple(UnitSystem).index(system)]


def to_base(value: float, unit: str, dimension: Dimension) -> float:
    """Convert a value in one of the accepted units to the base unit.

    Parameters
    ----------
    value : float
        The number as given, finite.
    unit : str
        One of `symbols` of the dimension.
    dimension : Dimension
        What is measured.

    Returns
    -------
    float
        The value in the base unit.

    Raises
    ------
    QuantityError
        For another unit, a number that is not finite or becomes so, or a gravity beyond the
        range of its conversion.
    """
    return _apply(_scale(unit, dimension).to_base, value, unit)


def from_base(value: float, unit: str, dimension: Dimension) -> float:
    """Convert a value in the base unit to one of the accepted units.

    Parameters
    ----------
    value : float
        The number in the base unit, finite.
    unit : str
        One of `symbols` of the dimension.
    dimension : Dimension
        What is measured.

    Returns
    -------
    float
        The value in the unit asked for.

    Raises
    ------
    QuantityError
        As `to_base`.
    """
    return converter(unit, dimension)(value)


def converter(unit: str, dimension: Dimension) -> Callable[[float], float]:
    """What `from_base` does with every value, looked up once for many.

    Parameters
    ----------
    unit : str
        One of `symbols` of the dimension.
    dimension : Dimension
        What is measured.

    Returns
    -------
    callable
        Takes a value in the base unit and gives it in the unit asked for.
    """
    conversion, base = _scale(unit, dimension).from_base, base_unit(dimension)
    return lambda value: _apply(conversion, value, base)


def number_and_unit(text: str, dimension: Dimension) -> tuple[float, str]:
    """Read a quantity such as ``"4.5 kg"``: a number, one space, a symbol.

    The number is written as in JSON (no decimal comma, no leading ``+`` or zero). A gravity may
    also be a bare specific gravity such as ``"1.065"``.

    Parameters
    ----------
    text : str
        The quantity, at most 64 characters.
    dimension : Dimension
        What it must measure.

    Returns
    -------
    tuple of float and str
        The number and its unit, as they are written.

    Raises
    ------
    QuantityError
        For anything else, naming what was found and what would be accepted.
    """
    if len(text) > LONGEST_TEXT:
        raise QuantityError(
            f"a quantity of {len(text)} characters; at most {LONGEST_TEXT} are accepted"
        )
    number, space, unit = text.partition(" ")
    if _NUMBER.fullmatch(number) is None:
        raise _unreadable(text, number, dimension)
    if space:
        _scale(unit, dimension)
        return float(number), unit
    if dimension is Dimension.GRAVITY:
        return float(number), "SG"
    accepted = symbols(dimension)
    raise QuantityError(
        f"{text!r} has no unit; write the number, one space and one of {_listed(accepted)}",
        accepted,
    )


def _scale(unit: str, dimension: Dimension) -> Scale:
    scale = SCALES[dimension].get(unit)
    if scale is None:
        raise _wrong_unit(unit, dimension)
    return scale


def _apply(conversion: Callable[[float], float], value: float, unit: str) -> float:
    if not math.isfinite(value):
        raise QuantityError(f"{value:g} {unit} is not a finite quantity")
    try:
        result = conversion(value)
    except OutOfRangeError as error:
        raise QuantityError(f"{value:g} {unit} cannot be converted: {error}") from error
    if not math.isfinite(result):
        raise QuantityError(f"{value:g} {unit} is too large a number to be converted")
    return result


def _unreadable(text: str, number: str, dimension: Dimension) -> QuantityError:
    accepted = symbols(dimension)
    if "," in number:
        return QuantityError(
            f"{text!r} has a comma in its number; write a decimal point and no separators", accepted
        )
    return QuantityError(
        f"{text!r} does not begin with a plain number; "
        f"write for example {_example(dimension)!r}, with one of {_listed(accepted)}",
        accepted,
    )


def _wrong_unit(unit: str, dimension: Dimension) -> QuantityError:
    accepted = symbols(dimension)
    shown = unit if len(unit) <= LONGEST_TEXT else unit[:LONGEST_TEXT] + "..."
    meant = tuple(symbol for symbol in _AMBIGUOUS.get(unit, ()) if symbol in accepted)
    if meant:
        return QuantityError(f"unit {shown!r} is ambiguous; write {_listed(meant, 'or')}", meant)
    others = [str(other).replace("_", " ") for other, scales in SCALES.items() if unit in scales]
    found = f"unit {shown!r} measures {others[0]}" if others else f"unit {shown!r} is not known"
    return QuantityError(
        f"{found}; for {str(dimension).replace('_', ' ')} write one of {_listed(accepted)}",
        accepted,
    )


def _listed(accepted: tuple[str, ...], joint: str = "") -> str:
    return (f" {joint} " if joint else ", ").join(accepted)


def _example(dimension: Dimension) -> str:
    return f"4.5 {base_unit(dimension)}" if dimension is not Dimension.GRAVITY else "1.065 SG"
