"""The form of a reading: which fields each stage has, and what was typed into them."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from wortwright.pages.amounts import amount
from wortwright.units import Dimension, UnitSystem, preferred

NUMBER = "[0-9]{1,6}([.,][0-9]{1,6})?"
"""A number as it is typed; on many phones the decimal key is a comma. Browsers read it too."""

GRAVITY = "[01][.,][0-9]{1,6}"


@dataclass(frozen=True, slots=True)
class Field:
    """One number to type. ``dimension`` is None for a plain number; ``name`` is the API's."""

    name: str
    label: str
    dimension: Dimension | None
    hint: str = ""

    def unit(self, system: UnitSystem) -> str | None:
        """Give the unit it is typed in."""
        if self.dimension is None:
            return None
        return preferred(self.dimension, system)

    @property
    def pattern(self) -> str:
        """What it looks like, as a regular expression."""
        return GRAVITY if self.dimension is Dimension.GRAVITY else NUMBER

    @property
    def to_write(self) -> str:
        """How it is to be written."""
        if self.dimension is Dimension.GRAVITY:
            return "Write it as 1.045."
        return "Write a plain number, such as 27.5."


@dataclass(frozen=True, slots=True)
class Typed:
    """What was typed at a stage: the document for the API, and what could not be read."""

    stage: str
    values: Mapping[str, str]
    document: dict[str, Any] = field(default_factory=dict)
    wrong: Mapping[str, str] = field(default_factory=dict)


_STRIKE = Field("temperature", "Temperature before it meets grain or tun", Dimension.TEMPERATURE)
_MASH = Field("temperature", "Temperature of the mash", Dimension.TEMPERATURE)
_PH = Field("ph", "pH of a cooled sample", None)
_GRAVITY = Field("gravity", "Gravity", Dimension.GRAVITY, hint="as the hydrometer shows it")
_SAMPLE = Field(
    "gravity_temperature", "Temperature of that sample", Dimension.TEMPERATURE, hint="cooled"
)
_VOLUME = Field("volume", "Volume, as the kettle shows it", Dimension.VOLUME)
_WORT = Field(
    "volume_temperature", "Temperature of the wort then", Dimension.TEMPERATURE, hint="hot"
)
_BOILED = Field("boiled", "Boiled so far", Dimension.TIME)
_DEPTH = Field("depth", "Depth in the kettle, instead of a volume", Dimension.LENGTH)
_BRIX = Field("brix", "Refractometer, instead of a gravity", Dimension.REFRACTION)
_FERMENTER = Field("volume", "Volume in the fermenter", Dimension.VOLUME)
_PACKAGED = Field("volume", "Volume in bottles and kegs together", Dimension.VOLUME)

FIELDS: Mapping[str, tuple[Field, ...]] = {
    "strike_water": (_STRIKE,),
    "mash_in": (_MASH, _PH),
    "mash_end": (_MASH, _PH),
    "first_wort": (_GRAVITY, _SAMPLE),
    "pre_boil": (_VOLUME, _WORT, _GRAVITY, _SAMPLE),
    "mid_boil": (_BOILED, _VOLUME, _WORT, _GRAVITY, _SAMPLE),
    "post_boil": (_VOLUME, _WORT, _GRAVITY, _SAMPLE),
    "fermenter": (_FERMENTER, _GRAVITY, _SAMPLE),
    "final": (_GRAVITY, _SAMPLE),
    "packaged": (_PACKAGED,),
}
OTHER_WAYS: Mapping[str, tuple[Field, ...]] = {
    "first_wort": (_BRIX,),
    "pre_boil": (_DEPTH, _BRIX),
    "mid_boil": (_DEPTH, _BRIX),
    "post_boil": (_DEPTH, _BRIX),
}


def fields_of(stage: str) -> tuple[Field, ...]:
    """Give every field that a stage may have."""
    return (*FIELDS[stage], *OTHER_WAYS.get(stage, ()))


def read_form(form: Mapping[str, str], stage: str, system: UnitSystem) -> Typed:
    """Read what was typed.

    Parameters
    ----------
    form : mapping
        The fields as the browser sent them.
    stage : str
        The stage that was read.
    system : UnitSystem
        The units that the form was shown in.

    Returns
    -------
    Typed
        A document that the API takes; numbers that cannot be read are told in ``wrong``.
    """
    values = {one.name: form.get(one.name, "").strip() for one in fields_of(stage)}
    typed = {one: values[one.name] for one in fields_of(stage) if values[one.name]}
    wrong = {
        one.name: one.to_write for one, text in typed.items() if not re.fullmatch(one.pattern, text)
    }
    document: dict[str, Any] = {"stage": stage}
    for one, text in typed.items():
        if one.name not in wrong:
            number, unit = float(text.replace(",", ".")), one.unit(system)
            document[one.name] = number if unit is None else {"value": number, "unit": unit}
    return Typed(stage, values, document, wrong)


def as_typed(reading: Mapping[str, Any]) -> str:
    """Write a reading as it was read: ``24.5 L at 96.0 °C; 1.045``."""
    parts = [
        _with_temperature(reading, name, f"{name}_temperature")
        for name in ("volume", "gravity")
        if reading[name] is not None
    ]
    parts += [f"{amount(reading['depth'])} deep"] if reading["depth"] is not None else []
    parts += [amount(reading["brix"])] if reading["brix"] is not None else []
    parts += [amount(reading["temperature"])] if reading["temperature"] is not None else []
    parts += [f"pH {reading['ph']:.2f}"] if reading["ph"] is not None else []
    return "; ".join(parts)


def _with_temperature(reading: Mapping[str, Any], name: str, temperature: str) -> str:
    said = amount(reading[name])
    return said if reading[temperature] is None else f"{said} at {amount(reading[temperature])}"
