"""Sentences for a person: words, and amounts that are written in the reader's own units."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import cache
from string import Formatter

from wortwright.brewing.errors import OutOfRangeError
from wortwright.records.dimension import Dimension


@dataclass(frozen=True, slots=True)
class Amount:
    """A number in the base unit of what it measures; a round one is a rule of thumb."""

    value: float
    measures: Dimension
    is_round: bool = False

    def __str__(self) -> str:
        """Write it for a log; `Sentence.written` writes it for a person."""
        return f"{self.value:g} ({self.measures} in base units)"


@dataclass(frozen=True, slots=True)
class Sentence:
    """Words and amounts in their order."""

    parts: tuple[str | Amount, ...]

    def written(self, write: Callable[[Amount], str]) -> str:
        """Write it out.

        Parameters
        ----------
        write : callable
            Writes an amount in the reader's unit.

        Returns
        -------
        str
            Text for a person.
        """
        return "".join(part if isinstance(part, str) else write(part) for part in self.parts)

    def __str__(self) -> str:
        """Write it for a log."""
        return self.written(str)


Said = str | Sentence
"""What is said to a person: plain text where there is no amount in it."""


def litres(volume_l: float) -> Amount:
    """Volume at 20 degC, or as hot as the sentence says. [L]"""
    return Amount(volume_l, Dimension.VOLUME)


def kilograms(mass_kg: float) -> Amount:
    """Mass of grain and of whatever else is weighed by the kilogram. [kg]"""
    return Amount(mass_kg, Dimension.MASS)


def grams(mass_kg: float) -> Amount:
    """Mass of hops, extract and whatever else is weighed by the gram. [kg]"""
    return Amount(mass_kg, Dimension.HOP_MASS)


def bar(pressure_bar: float) -> Amount:
    """Pressure above that of the air. [bar gauge]"""
    return Amount(pressure_bar, Dimension.PRESSURE)


def degrees(temperature_c: float) -> Amount:
    """Temperature. [degC]"""
    return Amount(temperature_c, Dimension.TEMPERATURE)


def rounded(amount: Amount) -> Amount:
    """Give a rule of thumb, which is written without decimals."""
    return replace(amount, is_round=True)


def say(template: str, **values: Said | Amount | float) -> Sentence:
    """Put a sentence together.

    Parameters
    ----------
    template : str
        Words with a named place for every value, as in `str.format`.
    **values : str, Sentence, Amount, float
        A text is taken as it is, a number is written as its place says.

    Returns
    -------
    Sentence
        In which neighbouring words are one part.
    """
    parts: list[str | Amount] = []
    for words, name, spec in _places(template):
        value = values[name] if name else ""
        for part in (words, *_parts_of(value, spec)):
            if isinstance(part, str) and parts and isinstance(parts[-1], str):
                parts[-1] += part
            elif part != "":
                parts.append(part)
    return Sentence(tuple(parts))


@cache
def _places(template: str) -> tuple[tuple[str, str, str], ...]:
    parsed = Formatter().parse(template)
    return tuple((words, name or "", spec or "") for words, name, spec, _ in parsed)


def _parts_of(value: Said | Amount | float, spec: str) -> Iterator[str | Amount]:
    if isinstance(value, Sentence):
        yield from value.parts
    elif isinstance(value, Amount):
        yield value
    else:
        yield format(value, spec)


def in_percent(fraction: float, decimals: int = 0, *, signed: bool = False) -> str:
    """Write a fraction in percent, the sign after a space as after any number."""
    return f"{100.0 * fraction:{'+' if signed else ''}.{decimals}f} %"


def in_a_row(said: tuple[Said | Amount, ...], joint: str) -> Sentence:
    """Join several."""
    places = joint.join(f"{{p{place}}}" for place in range(len(said)))
    return say(places, **{f"p{place}": one for place, one in enumerate(said)})


def capitalised(said: Said) -> Said:
    """Begin with a capital letter, as a sentence does."""
    if isinstance(said, Sentence):
        first, *others = said.parts
        return Sentence((_raised(first) if isinstance(first, str) else first, *others))
    return _raised(said)


def _raised(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}"


_MEASURED_IN = {
    "degC": Dimension.TEMPERATURE,
    "L": Dimension.VOLUME,
    "kg": Dimension.MASS,
    "SG": Dimension.GRAVITY,
    "L/h": Dimension.VOLUME_RATE,
}


def told_range(error: OutOfRangeError) -> tuple[Said, Said]:
    """Say what the science refuses, and what it would accept.

    Parameters
    ----------
    error : OutOfRangeError
        The refusal.

    Returns
    -------
    tuple of Sentence
        Half a sentence that says both, and the accepted range by itself.
    """
    measures = _MEASURED_IN.get(error.unit)
    if measures is None:
        return str(error), error.accepted
    ends = {f"end{place}": Amount(end, measures) for place, end in enumerate(error.ends)}
    accepted = say(error.range_words.format(*(f"{{{name}}}" for name in ends)), **ends)
    value = Amount(error.value, measures)
    said = "{quantity} {value} is outside {accepted}"
    return say(said, quantity=error.quantity, value=value, accepted=accepted), accepted
