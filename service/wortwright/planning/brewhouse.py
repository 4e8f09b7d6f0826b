"""A recipe on a setup, and what may be changed about either: boil, rinse, grist."""

from dataclasses import dataclass, replace

from wortwright.calibration.posterior import Calibration
from wortwright.planning.assembling import assemble_plan
from wortwright.planning.forecasting import colour_ebc
from wortwright.planning.plan import Asked, Plan
from wortwright.planning.recipe import ReadRecipe, read_recipe
from wortwright.planning.sizing import size_brew
from wortwright.planning.target import Preferences
from wortwright.planning.ways_out import room_to_spare
from wortwright.records.recipe import Recipe
from wortwright.records.setup import LauterMethod, Setup

MOST_RUNNINGS = 3


@dataclass(frozen=True, slots=True)
class Brewhouse:
    """Everything that a plan is made from, but for its target."""

    read: ReadRecipe
    setup: Setup
    calibration: Calibration
    preferences: Preferences

    def with_recipe(self, recipe: Recipe) -> "Brewhouse":
        """Return it with another recipe."""
        return replace(self, read=read_recipe(recipe))

    def with_boil(self, boil_min: float) -> "Brewhouse":
        """Return it with a boil of that length; the hops keep their distance to its end."""
        recipe = replace(self.read.recipe, boil_time_min=boil_min)
        return replace(self, read=replace(self.read, recipe=recipe))

    def rinsed(self) -> "Brewhouse | None":
        """Return it with one more running: part of the water goes over the drained grain.

        The same constants carry over, since a run-off of stirred grain follows from how much
        wort the grain holds. None where the grain is sparged as much as it may be.
        """
        runnings = 1 if self.setup.lauter_method is LauterMethod.NO_SPARGE else self.setup.runnings
        continuous = self.setup.lauter_method is LauterMethod.CONTINUOUS_SPARGE
        if continuous or runnings >= MOST_RUNNINGS:
            return None
        method, runnings = LauterMethod.BATCH_SPARGE, runnings + 1
        known = replace(self.calibration.efficiency, method=method, runnings=runnings)
        return replace(
            self,
            setup=replace(self.setup, lauter_method=method, runnings=runnings),
            calibration=replace(self.calibration, efficiency=known),
        )

    def margin(self, asked: Asked) -> float:
        """Smallest room to spare, below 0 where the target does not fit or is not reached."""
        return room_to_spare(self.read, self.setup, self.calibration, asked, self.preferences)

    def plan(self, asked: Asked) -> Plan:
        """Plan one brew, whether it fits or not."""
        return assemble_plan(self.read, self.setup, self.calibration, asked, self.preferences)

    def colour_ebc(self, asked: Asked) -> float:
        """Colour of a brew before its grist is rounded to what a scale shows. [EBC]"""
        sizing = size_brew(self.read, self.calibration, asked, self.preferences)
        mashed = zip(sizing.mashed.lines, sizing.grain.masses_kg, strict=True)
        grist = tuple(replace(line, mass_kg=mass_kg) for line, mass_kg in mashed)
        return colour_ebc((*grist, *sizing.parts.added), sizing.volumes.postboil_l)
