"""Hops after a time in store: what alpha acid is left, and what another hop would take."""

from dataclasses import dataclass, replace

from wortwright.brewing.hop_storage import (
    Packing,
    alpha_after_storage,
    loss_rate_per_day,
    lost_share_from_index,
    substitute_mass_kg,
)
from wortwright.brewing.tables import hop_by_name
from wortwright.planning.plan import Finding
from wortwright.records.grist import HopAddition, Moment, Purpose
from wortwright.records.recipe import Recipe
from wortwright.records.sentence import Said, degrees, grams, in_percent, say

TOO_OLD_LEFT = 0.5
"""With less alpha acid left, hops smell and taste of cheese (common practice)."""

USUAL_LOSS_IN_HALF_YEAR = 0.35
"""Of a variety that is not known: the middle of the table of varieties."""


@dataclass(frozen=True, slots=True)
class StoredHops:
    """Hops with their alpha acid at the date of analysis, and how they were kept since.

    ``storage_index`` is the hop storage index read now: with it age and store do not matter.
    Without ``lost_in_half_year`` the variety's figure is taken, if it is known.
    """

    name: str
    alpha: float
    age_days: float = 0.0
    temperature_c: float = 20.0
    packing: Packing = Packing.BARRIER
    lost_in_half_year: float | None = None
    storage_index: float | None = None


@dataclass(frozen=True, slots=True)
class AgedHops:
    """Alpha acid now."""

    name: str
    alpha_at_analysis: float
    alpha: float
    left_share: float
    summary: Said
    warnings: tuple[Finding, ...]


@dataclass(frozen=True, slots=True)
class Substitution:
    """Mass of the hop that is to stand for another."""

    mass_kg: float
    summary: Said
    warnings: tuple[Finding, ...]


def age_hops(stored: StoredHops) -> AgedHops:
    """Work out the alpha acid left.

    Parameters
    ----------
    stored : StoredHops
        Hops and how they were kept.

    Returns
    -------
    AgedHops
        Alpha acid now.

    Raises
    ------
    OutOfRangeError
        For values outside their range.
    """
    found = []
    if stored.storage_index is not None:
        alpha = stored.alpha * (1.0 - lost_share_from_index(stored.storage_index))
    else:
        rate, known = _rate_per_day(stored)
        if not known:
            found.append(
                Finding(
                    "storage_loss_assumed",
                    say(
                        "Nothing is known of how {name} keeps: {loss} in half a year at "
                        "{warm} was assumed.",
                        name=stored.name,
                        loss=in_percent(USUAL_LOSS_IN_HALF_YEAR),
                        warm=degrees(20.0),
                    ),
                )
            )
        alpha = alpha_after_storage(
            stored.alpha, rate, stored.age_days, stored.temperature_c, stored.packing
        )
    left = alpha / stored.alpha
    if left < TOO_OLD_LEFT:
        found.append(
            Finding(
                "hops_too_old",
                f"{stored.name} has lost {in_percent(1.0 - left)} of its alpha acid: smell it "
                "before use, and throw it away if it smells of cheese.",
            )
        )
    return AgedHops(
        name=stored.name,
        alpha_at_analysis=stored.alpha,
        alpha=alpha,
        left_share=left,
        summary=f"{stored.name} has {in_percent(alpha, 1)} of alpha acid left of "
        f"{in_percent(stored.alpha, 1)}.",
        warnings=tuple(found),
    )


def substitute_hops(
    mass_kg: float, alpha: float, other_alpha: float, purpose: Purpose
) -> Substitution:
    """Change one hop for another.

    Parameters
    ----------
    mass_kg : float
        Mass of the hop in the recipe. [kg]
    alpha, other_alpha : float
        Alpha acid of it and of the other. [fraction]
    purpose : Purpose
        For bitterness the alpha acid is kept, for aroma the mass.

    Returns
    -------
    Substitution
        Mass of the other.

    Raises
    ------
    OutOfRangeError
        For no alpha acid.
    """
    if purpose is Purpose.AROMA:
        change = other_alpha / alpha - 1.0
        found = Finding(
            "bitterness_follows",
            f"At the same mass the addition brings {in_percent(change, signed=True)} of "
            "bitterness; aroma itself differs from variety to variety.",
        )
        return Substitution(mass_kg, "Aroma keeps its mass.", (found,))
    other_kg = substitute_mass_kg(mass_kg, alpha, other_alpha)
    said = say("{mass} added at the same time gives the same bitterness.", mass=grams(other_kg))
    return Substitution(other_kg, said, ())


def with_aged_hops(recipe: Recipe, aged: tuple[AgedHops, ...]) -> Recipe:
    """Put the alpha acid of the hops at hand into a recipe's hop bill.

    A bittering addition keeps its alpha acid, so its mass grows as its alpha acid falls; aroma
    keeps its mass.

    Parameters
    ----------
    recipe : Recipe
        As its author wrote it.
    aged : tuple of AgedHops
        The hops at hand, found by name.

    Returns
    -------
    Recipe
        With the alpha acid of today where a hop is at hand.
    """
    at_hand = {_key(each.name): each.alpha for each in aged}
    bill = (
        _with_alpha(hop, at_hand[_key(hop.name)]) if _key(hop.name) in at_hand else hop
        for hop in recipe.hop_bill
    )
    return replace(recipe, hop_bill=tuple(bill))


def _with_alpha(hop: HopAddition, alpha: float) -> HopAddition:
    mass_kg = hop.mass_kg
    bitters = hop.purpose is Purpose.BITTERNESS and hop.moment is not Moment.DRY
    if mass_kg is not None and bitters:
        mass_kg = substitute_mass_kg(mass_kg, hop.alpha, alpha)
    return replace(hop, alpha=alpha, mass_kg=mass_kg)


def calls_for(recipe: Recipe, name: str) -> bool:
    """Whether a recipe calls for hops of a name, in any case."""
    return _key(name) in {_key(hop.name) for hop in recipe.hop_bill}


def _rate_per_day(stored: StoredHops) -> tuple[float, bool]:
    if stored.lost_in_half_year is not None:
        return loss_rate_per_day(stored.lost_in_half_year), True
    variety = hop_by_name(stored.name)
    if variety is not None:
        return variety.storage_loss_per_day, True
    return loss_rate_per_day(USUAL_LOSS_IN_HALF_YEAR), False


def _key(name: str) -> str:
    return " ".join(name.casefold().split())
