"""Read a recipe honestly: what it claims, what its own numbers imply, and what is believed."""

from dataclasses import dataclass, replace

from wortwright.brewing.gravity import extract_kg, gravity_of_wort
from wortwright.brewing.grist import implied_mash_efficiency
from wortwright.planning.plan import Finding
from wortwright.records.grist import AddedTo, Fermentable, ShareOf
from wortwright.records.recipe import EfficiencyKind, Recipe, VolumeAt
from wortwright.records.sentence import in_percent, litres, say

# Common practice, no source: what a recipe in shares is taken to have been brewed at when it
# does not say. The ratio of sugar to malt and the character malt per volume depend on it.
UNSTATED_EFFICIENCY = 0.75
# A difference smaller than this is rounding in the recipe, not a contradiction.
CONTRADICTION_POINTS = 2.0
# Common practice, no source: at least this share of the wort goes on to the next vessel.
LEAST_TRANSFER = 0.85


class IncompleteRecipeError(ValueError):
    """A recipe that cannot be read: ``field`` names what is missing or wrong."""

    def __init__(self, field: str, detail: str) -> None:
        super().__init__(detail)
        self.field = field
        self.detail = detail


@dataclass(frozen=True, slots=True)
class ReadRecipe:
    """A recipe with a mass on every line and a gravity, and what was noticed on the way."""

    recipe: Recipe
    volume_at: VolumeAt
    original_gravity: float
    grist: tuple[Fermentable, ...]
    implied_efficiency: float
    believed: str
    findings: tuple[Finding, ...]

    def lines(self, added_to: AddedTo) -> tuple[Fermentable, ...]:
        """Return the fermentables that go in there."""
        return tuple(line for line in self.grist if line.added_to is added_to)


def potential_kg(grist: tuple[Fermentable, ...], added_to: AddedTo) -> float:
    """Laboratory extract of what is added there. [kg]"""
    return sum(
        (line.mass_kg or 0.0) * line.as_is_yield for line in grist if line.added_to is added_to
    )


def read_recipe(recipe: Recipe) -> ReadRecipe:
    """Complete a recipe from its own numbers.

    Parameters
    ----------
    recipe : Recipe
        As its author wrote it.

    Returns
    -------
    ReadRecipe
        Masses, gravity, the efficiency implied, findings.

    Raises
    ------
    IncompleteRecipeError
        Without mashed malt, or without the numbers that give a gravity.
    """
    if not any(line.added_to is AddedTo.MASH for line in recipe.grist):
        raise IncompleteRecipeError("grist", "nothing is mashed: give at least one malt")
    grist = _with_masses(recipe)
    gravity, believed = _gravity(recipe, grist)
    implied = _implied_efficiency(recipe.volume_l, grist, gravity)
    volume_at = VolumeAt.FERMENTER if recipe.volume_at is VolumeAt.UNKNOWN else recipe.volume_at
    return ReadRecipe(
        recipe,
        volume_at,
        gravity,
        grist,
        implied,
        believed,
        tuple(_findings(recipe, grist, gravity, implied)),
    )


def _with_masses(recipe: Recipe) -> tuple[Fermentable, ...]:
    if all(line.mass_kg is not None for line in recipe.grist):
        return recipe.grist
    if any(line.share is None for line in recipe.grist):
        raise IncompleteRecipeError("grist", "give every line a mass, or every line a share")
    if recipe.original_gravity is None:
        raise IncompleteRecipeError(
            "original_gravity", "a grist in shares needs the recipe's original_gravity"
        )
    wort_kg = extract_kg(recipe.volume_l, recipe.original_gravity)
    efficiency = recipe.efficiency or UNSTATED_EFFICIENCY
    parts = [_mass_per_share(line, recipe.share_of, efficiency) for line in recipe.grist]
    masses = [(line.share or 0.0) * part for line, part in zip(recipe.grist, parts, strict=True)]
    in_wort_kg = sum(
        mass * _yield_in_wort(line, efficiency)
        for line, mass in zip(recipe.grist, masses, strict=True)
        if line.added_to is not AddedTo.FERMENTER
    )
    if in_wort_kg <= 0.0:
        raise IncompleteRecipeError("grist", "the shares of the grist add up to no extract")
    return tuple(
        replace(line, mass_kg=mass * wort_kg / in_wort_kg, share=None)
        for line, mass in zip(recipe.grist, masses, strict=True)
    )


def _mass_per_share(line: Fermentable, share_of: ShareOf, efficiency: float) -> float:
    """Mass that stands for a share of 1, in any unit that all lines have in common."""
    if share_of is ShareOf.MASS:
        return 1.0
    gives = _yield_in_wort(line, efficiency)
    if gives <= 0.0 and line.share:
        raise IncompleteRecipeError("grist", f"{line.name} gives no extract to have a share of")
    return 1.0 / gives if gives > 0.0 else 0.0


def _yield_in_wort(line: Fermentable, efficiency: float) -> float:
    """Extract in the wort per kilogram: only what is mashed is subject to efficiency."""
    mashed = line.added_to is AddedTo.MASH
    return line.as_is_yield * (efficiency if mashed else 1.0)


def _gravity(recipe: Recipe, grist: tuple[Fermentable, ...]) -> tuple[float, str]:
    if recipe.original_gravity is not None:
        return recipe.original_gravity, "the stated original gravity and the shares of the grist"
    if recipe.efficiency is None:
        raise IncompleteRecipeError(
            "original_gravity", "give original_gravity, or efficiency with masses in the grist"
        )
    wort_kg = recipe.efficiency * potential_kg(grist, AddedTo.MASH) + potential_kg(
        grist, AddedTo.KETTLE
    )
    gravity = gravity_of_wort(wort_kg, recipe.volume_l)
    return gravity, "the grist at the stated efficiency, which give the original gravity"


def _implied_efficiency(
    volume_l: float, grist: tuple[Fermentable, ...], original_gravity: float
) -> float:
    potential = potential_kg(grist, AddedTo.MASH)
    if potential <= 0.0:
        raise IncompleteRecipeError("grist", "what is mashed gives no extract")
    bypassing = potential_kg(grist, AddedTo.KETTLE)
    implied = implied_mash_efficiency(volume_l, original_gravity, potential, bypassing)
    if implied <= 0.0:
        raise IncompleteRecipeError(
            "grist",
            "what is added to the kettle alone gives more than the stated original_gravity",
        )
    return implied


def _findings(
    recipe: Recipe, grist: tuple[Fermentable, ...], gravity: float, implied: float
) -> list[Finding]:
    found = []
    if recipe.volume_at is VolumeAt.UNKNOWN:
        found.append(
            Finding(
                "volume_at_unknown",
                "The recipe does not say where its volume is counted; it was read as the volume "
                "in the fermenter.",
            )
        )
    if implied > 0.97:
        found.append(
            Finding(
                "grist_too_small",
                say(
                    "The grist would have to give {implied} of its laboratory extract to "
                    "reach {gravity:.3f} in {volume}, which no mash does.",
                    implied=in_percent(implied),
                    gravity=gravity,
                    volume=litres(recipe.volume_l),
                ),
            )
        )
    if recipe.efficiency is not None and recipe.original_gravity is not None:
        found += _contradiction(recipe, grist, gravity, implied)
    if recipe.efficiency is None and any(line.mass_kg is None for line in recipe.grist):
        found.append(
            Finding(
                "efficiency_assumed",
                "The grist is in shares and no efficiency is stated: it was read as brewed at "
                f"{in_percent(UNSTATED_EFFICIENCY)}, which decides how much character malt the "
                "beer gets.",
            )
        )
    assumed = [line.name for line in recipe.grist if "extract_yield" in line.assumed]
    if assumed:
        found.append(
            Finding(
                "yield_assumed",
                "Typical yields were used for " + ", ".join(assumed) + "; the figures on your own "
                "malt sheets are better.",
            )
        )
    return found


def _contradiction(
    recipe: Recipe, grist: tuple[Fermentable, ...], gravity: float, implied: float
) -> list[Finding]:
    stated = recipe.efficiency or implied
    claimed_kg = stated * potential_kg(grist, AddedTo.MASH) + potential_kg(grist, AddedTo.KETTLE)
    claimed = gravity_of_wort(claimed_kg, recipe.volume_l)
    points = (gravity - claimed) * 1000.0
    if abs(points) < CONTRADICTION_POINTS or _losses_explain(recipe, implied / stated):
        return []
    return [
        Finding(
            "recipe_contradicts_itself",
            f"At its stated efficiency of {in_percent(stated)} the grist gives {claimed:.3f}, "
            f"{abs(points):.0f} points {'below' if points > 0 else 'above'} the stated "
            f"{gravity:.3f}, which implies {in_percent(implied, 1)}. The stated gravity was "
            "believed.",
        )
    ]


def _losses_explain(recipe: Recipe, implied_of_stated: float) -> bool:
    """Whether wort left behind accounts for it: volume and efficiency counted at two places."""
    way = {VolumeAt.KETTLE: 0, VolumeAt.FERMENTER: 1, VolumeAt.PACKAGE: 2}
    counted = {EfficiencyKind.MASH: 0, EfficiencyKind.BREWHOUSE: 1}
    if recipe.volume_at not in way or recipe.efficiency_kind not in counted:
        return False
    later = way[recipe.volume_at] - counted[recipe.efficiency_kind]
    low, high = sorted((1.0, LEAST_TRANSFER**later))
    return low <= implied_of_stated <= high


def stated_mash_efficiency(read: ReadRecipe, postboil_per_fermenter: float) -> float:
    """Return the recipe's efficiency as one into the kettle, or the implied one if not stated.

    Print is ambiguous: an efficiency of unknown kind is taken to hold for the stated volume.
    """
    recipe = read.recipe
    efficiency = read.implied_efficiency if recipe.efficiency is None else recipe.efficiency
    counted_at_kettle = recipe.efficiency_kind is EfficiencyKind.MASH or (
        recipe.efficiency_kind is EfficiencyKind.UNKNOWN and read.volume_at is VolumeAt.KETTLE
    )
    return efficiency if counted_at_kettle else efficiency * postboil_per_fermenter
