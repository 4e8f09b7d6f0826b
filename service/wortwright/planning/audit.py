"""A recipe held against itself: what its own numbers give, and where they contradict."""

from collections.abc import Iterator
from dataclasses import dataclass

from wortwright.brewing.alcohol import alcohol_by_volume, apparent_attenuation, final_gravity
from wortwright.brewing.gravity import gravity_of_wort, points_from_gravity
from wortwright.brewing.hops import UtilisationModel
from wortwright.brewing.tables.styles import Range, Style, style_by_id
from wortwright.calibration.priors import BOIL_OFF_L_PER_H
from wortwright.planning.forecasting import attenuation_of, colour_ebc
from wortwright.planning.hopping import hop_bill
from wortwright.planning.plan import Asked, Finding
from wortwright.planning.recipe import (
    CONTRADICTION_POINTS,
    ReadRecipe,
    potential_kg,
    read_recipe,
)
from wortwright.planning.volumes import Volumes
from wortwright.records.dimension import Dimension
from wortwright.records.grist import AddedTo
from wortwright.records.recipe import Recipe
from wortwright.records.sentence import Amount, Said, in_percent, say

# Less than this is rounding or another author's convention; common practice, no source.
NEAR_IBU, NEAR_IBU_SHARE = 3.0, 0.10
NEAR_EBC, NEAR_EBC_SHARE = 4.0, 0.20
NEAR_EFFICIENCY = 0.03
NEAR_FINAL_POINTS = 3.0
MOST_EFFICIENCY = 0.97


@dataclass(frozen=True, slots=True)
class Contradiction:
    """Two figures for one thing: the stated one and the one that the rest of the recipe gives.

    ``by`` is stated less recomputed, in the figure's own unit.
    """

    code: str
    stated: float
    recomputed: float
    by: float
    detail: Said


@dataclass(frozen=True, slots=True)
class RangeCheck:
    """One figure against the range of a style; ``outside_by`` is 0 inside, below 0 if too low."""

    name: str
    value: float
    low: float | None
    high: float | None
    outside_by: float


@dataclass(frozen=True, slots=True)
class StyleAudit:
    """A recipe against a style of the 2021 guidelines, in numbers only."""

    id: str
    name: str
    checks: tuple[RangeCheck, ...]

    @property
    def inside(self) -> bool:
        """Whether every figure lies in its range."""
        return all(check.outside_by == 0.0 for check in self.checks)


@dataclass(frozen=True, slots=True)
class RecipeAudit:
    """What a recipe's own numbers give. ``gravity_at_stated_efficiency`` needs one stated."""

    original_gravity: float
    implied_efficiency: float
    stated_efficiency: float | None
    gravity_at_stated_efficiency: float | None
    apparent_attenuation: float
    final_gravity: float
    alcohol_by_volume: float
    bitterness_ibu: float
    bitterness_formula: UtilisationModel
    colour_ebc: float
    believed: str
    contradictions: tuple[Contradiction, ...]
    findings: tuple[Finding, ...]
    style: StyleAudit | None


def audit_recipe(
    recipe: Recipe, formula: UtilisationModel = UtilisationModel.TINSETH
) -> RecipeAudit:
    """Recompute a recipe from its own numbers.

    The stated volume is taken as the wort after the boil, and the boil-off as the usual one,
    since a recipe seldom tells them.

    Parameters
    ----------
    recipe : Recipe
        As its author wrote it.
    formula : UtilisationModel
        Whose bitterness.

    Returns
    -------
    RecipeAudit
        Efficiency, gravity, bitterness and colour; contradictions with their size; the ranges
        of the style, if the recipe names one by its id or name.

    Raises
    ------
    IncompleteRecipeError
        If the recipe's numbers do not give a beer.
    """
    read = read_recipe(recipe)
    usual = attenuation_of(recipe, read.grist, read.original_gravity).mean
    left = recipe.final_gravity or final_gravity(read.original_gravity, usual)
    left = min(left, read.original_gravity)
    figures = _Figures(
        original_gravity=read.original_gravity,
        final_gravity=left,
        alcohol_by_volume=alcohol_by_volume(read.original_gravity, left),
        bitterness_ibu=_bitterness_ibu(read, formula),
        colour_ebc=colour_ebc(read.grist, recipe.volume_l),
    )
    at_stated = _gravity_at_stated_efficiency(read)
    style = style_by_id(recipe.style) if recipe.style else None
    return RecipeAudit(
        original_gravity=figures.original_gravity,
        implied_efficiency=read.implied_efficiency,
        stated_efficiency=recipe.efficiency,
        gravity_at_stated_efficiency=at_stated,
        apparent_attenuation=apparent_attenuation(read.original_gravity, left),
        final_gravity=left,
        alcohol_by_volume=figures.alcohol_by_volume,
        bitterness_ibu=figures.bitterness_ibu,
        bitterness_formula=formula,
        colour_ebc=figures.colour_ebc,
        believed=read.believed,
        contradictions=tuple(_contradictions(read, figures, at_stated)),
        findings=(*read.findings, *_style_unknown(recipe, style)),
        style=None if style is None else _held_against(style, figures),
    )


@dataclass(frozen=True, slots=True)
class _Figures:
    """The figures that a style has ranges for."""

    original_gravity: float
    final_gravity: float
    alcohol_by_volume: float
    bitterness_ibu: float
    colour_ebc: float


def _bitterness_ibu(read: ReadRecipe, formula: UtilisationModel) -> float:
    """Bitterness of the hop bill in the recipe's own volume and gravity. [IBU]"""
    recipe = read.recipe
    volume_l = recipe.volume_l
    boiled_off_l = BOIL_OFF_L_PER_H[0] * recipe.boil_time_min / 60.0
    volumes = Volumes(volume_l + boiled_off_l, boiled_off_l, volume_l, 0.0, volume_l, 0.0, volume_l)
    asked = Asked(volume_l, read.volume_at, read.original_gravity, None)
    return hop_bill(read, asked, formula, 1.0, volumes).as_written_ibu


def _gravity_at_stated_efficiency(read: ReadRecipe) -> float | None:
    efficiency = read.recipe.efficiency
    if efficiency is None:
        return None
    from_mash_kg = efficiency * potential_kg(read.grist, AddedTo.MASH)
    from_kettle_kg = potential_kg(read.grist, AddedTo.KETTLE)
    return gravity_of_wort(from_mash_kg + from_kettle_kg, read.recipe.volume_l)


def _contradictions(
    read: ReadRecipe, figures: _Figures, at_stated: float | None
) -> Iterator[Contradiction]:
    yield from _of_gravity(read, at_stated)
    yield from _of_efficiency(read)
    yield from _of_bitterness(read.recipe, figures)
    yield from _of_colour(read.recipe, figures)
    yield from _of_attenuation(read)


def _of_gravity(read: ReadRecipe, at_stated: float | None) -> Iterator[Contradiction]:
    stated = read.recipe.original_gravity
    if stated is None or at_stated is None:
        return
    points = points_from_gravity(stated) - points_from_gravity(at_stated)
    if abs(points) >= CONTRADICTION_POINTS:
        yield Contradiction(
            "gravity",
            stated,
            at_stated,
            stated - at_stated,
            f"The grist at the stated efficiency gives {at_stated:.3f}, not {stated:.3f}: "
            f"{abs(points):.0f} points {'less' if points > 0 else 'more'}.",
        )


def _of_efficiency(read: ReadRecipe) -> Iterator[Contradiction]:
    stated, implied = read.recipe.efficiency, read.implied_efficiency
    if implied > MOST_EFFICIENCY:
        yield Contradiction(
            "efficiency_impossible",
            implied,
            MOST_EFFICIENCY,
            implied - MOST_EFFICIENCY,
            f"The stated gravity would take {in_percent(implied)} of the extract out of the "
            "grist; no mash gives that.",
        )
    elif stated is not None and abs(stated - implied) > NEAR_EFFICIENCY:
        yield Contradiction(
            "efficiency",
            stated,
            implied,
            stated - implied,
            f"Grist, volume and gravity imply an efficiency of {in_percent(implied, 1)}, "
            f"not {in_percent(stated)}.",
        )


def _of_bitterness(recipe: Recipe, figures: _Figures) -> Iterator[Contradiction]:
    stated, counted = recipe.bitterness_ibu, figures.bitterness_ibu
    if stated is not None and abs(stated - counted) > max(NEAR_IBU, NEAR_IBU_SHARE * stated):
        yield Contradiction(
            "bitterness",
            stated,
            counted,
            stated - counted,
            f"The hop bill gives {counted:.0f} IBU, not {stated:.0f}.",
        )


def _of_colour(recipe: Recipe, figures: _Figures) -> Iterator[Contradiction]:
    stated, counted = recipe.colour_ebc, figures.colour_ebc
    if stated is not None and abs(stated - counted) > max(NEAR_EBC, NEAR_EBC_SHARE * stated):
        yield Contradiction(
            "colour",
            stated,
            counted,
            stated - counted,
            say(
                "The grist gives {counted}, not {stated}.",
                counted=Amount(counted, Dimension.COLOUR),
                stated=Amount(stated, Dimension.COLOUR),
            ),
        )


def _of_attenuation(read: ReadRecipe) -> Iterator[Contradiction]:
    recipe, yeast = read.recipe, read.recipe.yeast
    if recipe.final_gravity is None or yeast is None or yeast.apparent_attenuation is None:
        return
    by_yeast = final_gravity(read.original_gravity, yeast.apparent_attenuation)
    points = points_from_gravity(recipe.final_gravity) - points_from_gravity(by_yeast)
    if abs(points) >= NEAR_FINAL_POINTS:
        yield Contradiction(
            "final_gravity",
            recipe.final_gravity,
            by_yeast,
            recipe.final_gravity - by_yeast,
            f"By its stated attenuation {yeast.name} leaves {by_yeast:.3f}, not "
            f"{recipe.final_gravity:.3f}.",
        )


def _style_unknown(recipe: Recipe, style: Style | None) -> list[Finding]:
    if recipe.style is None or style is not None:
        return []
    return [
        Finding(
            "style_unknown", f"No ranges are known for the style {recipe.style!r}; give its id."
        )
    ]


def _held_against(style: Style, figures: _Figures) -> StyleAudit:
    return StyleAudit(
        style.id,
        style.name,
        tuple(
            _check(name, getattr(figures, name), getattr(style, name))
            for name in _Figures.__dataclass_fields__
        ),
    )


def _check(name: str, value: float, allowed: Range) -> RangeCheck:
    return RangeCheck(name, value, allowed.low, allowed.high, allowed.outside_by(value))
