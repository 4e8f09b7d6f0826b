"""From an ingredient as written to a complete one, telling what was assumed."""

from dataclasses import dataclass
from typing import Any

from wortwright.brewing.tables import (
    GenericFermentable,
    fermentable_by_name,
    hop_by_name,
    typical_of_kind,
)
from wortwright.records.grist import (
    AddedTo,
    Fermentable,
    HopAddition,
    HopForm,
    Kind,
    Moment,
    Purpose,
    Role,
)

# Common practice, no source: what boils less than this is there for its aroma.
SHORTEST_BITTERING_MIN = 15.0

_TO_KETTLE = frozenset({Kind.SUGAR, Kind.SYRUP, Kind.MALT_EXTRACT})
_GIVES_EXTRACT = frozenset({Kind.BASE_MALT, Kind.KILNED_MALT, Kind.UNMALTED}) | _TO_KETTLE
# Kilned malts darker than this (biscuit, amber, brown) are there for flavour; common practice.
DARKEST_BASE_EBC = 40.0


class IncompleteIngredientError(ValueError):
    """An ingredient that cannot be completed; ``field`` names what would have helped."""

    def __init__(self, field: str, detail: str, accepted: tuple[str, ...] = ()) -> None:
        super().__init__(detail)
        self.field = field
        self.accepted = accepted


@dataclass(frozen=True, slots=True)
class WrittenFermentable:
    """A fermentable as a recipe writes it; None where it says nothing."""

    name: str
    mass_kg: float | None = None
    share: float | None = None
    kind: Kind | None = None
    extract_yield: float | None = None
    moisture: float | None = None
    colour_ebc: float | None = None
    added_to: AddedTo | None = None
    role: Role | None = None


@dataclass(frozen=True, slots=True)
class WrittenHop:
    """A hop addition as a recipe writes it; None where it says nothing."""

    name: str
    moment: Moment
    mass_kg: float | None = None
    bitterness_ibu: float | None = None
    alpha: float | None = None
    form: HopForm | None = None
    time_min: float | None = None
    temperature_c: float | None = None
    purpose: Purpose | None = None


def complete_fermentable(written: WrittenFermentable) -> Fermentable:
    """Fill in what was left out, from the table of generic ingredients or by kind.

    Raises
    ------
    IncompleteIngredientError
        If neither name, kind nor yield tells what it is, or its amount is not said once.
    """
    if (written.mass_kg is None) == (written.share is None):
        raise IncompleteIngredientError("mass", "Give either a mass or a share.")
    generic = _generic_fermentable(written)
    kind = written.kind or Kind(generic.kind)
    defaults = {
        "kind": kind,
        "extract_yield": generic.extract_yield,
        "moisture": generic.moisture,
        "colour_ebc": generic.colour_ebc,
        "added_to": AddedTo.KETTLE if kind in _TO_KETTLE else AddedTo.MASH,
        "role": _role(
            kind, generic.colour_ebc if written.colour_ebc is None else written.colour_ebc
        ),
    }
    said, assumed = _split(written, defaults)
    return Fermentable(
        name=written.name,
        mass_kg=written.mass_kg,
        share=written.share,
        assumed=assumed,
        **said,
    )


def complete_hop(written: WrittenHop) -> HopAddition:
    """Fill in what was left out of a hop addition.

    Raises
    ------
    IncompleteIngredientError
        If its amount is not said once, its alpha acid is neither said nor known by name, or a
        boiled addition has no time.
    """
    _check_hop_amount(written)
    if written.moment is Moment.BOIL and written.time_min is None:
        raise IncompleteIngredientError("time", "Say how long it boils.", ("60 min",))
    time_min = written.time_min or 0.0
    defaults = {
        "alpha": _alpha(written),
        "form": HopForm.PELLET,
        "purpose": _purpose(written.moment, time_min),
    }
    said, assumed = _split(written, defaults)
    return HopAddition(
        name=written.name,
        moment=written.moment,
        time_min=time_min,
        temperature_c=written.temperature_c,
        mass_kg=written.mass_kg,
        bitterness_ibu=written.bitterness_ibu,
        assumed=assumed,
        **said,
    )


def _generic_fermentable(written: WrittenFermentable) -> GenericFermentable:
    """Find what to fill in from: the name's row, unless it is of another kind than was said."""
    named = fermentable_by_name(written.name)
    if named is not None and written.kind in (None, Kind(named.kind)):
        return named
    if written.kind is not None:
        return typical_of_kind(written.kind)
    if written.extract_yield is not None:
        return typical_of_kind(Kind.BASE_MALT)
    raise IncompleteIngredientError(
        "kind",
        f"Nothing is known of {written.name!r}; give its kind or its extract_yield.",
        (*Kind,),
    )


def _check_hop_amount(written: WrittenHop) -> None:
    if (written.mass_kg is None) == (written.bitterness_ibu is None):
        raise IncompleteIngredientError("mass", "Give either a mass or a bitterness.")
    if written.moment is Moment.DRY and written.mass_kg is None:
        raise IncompleteIngredientError(
            "mass", "Dry hops are given by mass: they add no bitterness."
        )


def _alpha(written: WrittenHop) -> float:
    if written.alpha is not None:
        return written.alpha
    variety = hop_by_name(written.name)
    if variety is None:
        raise IncompleteIngredientError(
            "alpha", f"No alpha acid is known for {written.name!r}; give it.", ("8.5 %",)
        )
    return variety.alpha


def _purpose(moment: Moment, time_min: float) -> Purpose:
    late = moment is Moment.BOIL and time_min < SHORTEST_BITTERING_MIN
    if late or moment in (Moment.STAND, Moment.DRY):
        return Purpose.AROMA
    return Purpose.BITTERNESS


def _role(kind: Kind, colour_ebc: float) -> Role:
    for_flavour = kind is Kind.KILNED_MALT and colour_ebc > DARKEST_BASE_EBC
    return Role.BASE if kind in _GIVES_EXTRACT and not for_flavour else Role.CHARACTER


def _split(
    written: WrittenFermentable | WrittenHop, defaults: dict[str, Any]
) -> tuple[dict[str, Any], tuple[str, ...]]:
    """Give every field as said or else by default, and the names of those by default."""
    assumed = tuple(name for name in defaults if getattr(written, name) is None)
    said = {
        name: default if name in assumed else getattr(written, name)
        for name, default in defaults.items()
    }
    return said, assumed
