"""Where a brew stands at a moment, and where it ends if nothing is done about it."""

from dataclasses import dataclass

from wortwright.brewing.gravity import extract_kg_per_l
from wortwright.planning.foam import usable_l
from wortwright.planning.kettle.course import Course
from wortwright.planning.kettle.outlook import Action, End, end_of, is_over, planned_action
from wortwright.planning.kettle.wort import Wort
from wortwright.planning.limits import Limits
from wortwright.records.session import Stage
from wortwright.records.setup import Vessels

# What is near enough to be left alone; common practice, no source.
NEAR_GRAVITY = 0.0005
NEAR_IBU = 1.0
NEAR_L = 0.1


@dataclass(frozen=True, slots=True)
class Position:
    """The brew at this moment, and where it ends if nothing is done.

    ``room_l`` is the most wort after the boil that the fermenters take, None if not known.
    """

    wort: Wort
    course: Course
    limits: Limits
    room_l: float | None
    base: Action
    end: End

    @property
    def kettle_loss_l(self) -> float:
        """Wort that will stay in the kettle. [L]"""
        return kettle_loss_l(self.wort, self.course)

    @property
    def off(self) -> float:
        """Gravity at the end less the gravity wanted. [SG]"""
        return self.end.gravity - self.course.gravity

    @property
    def wanted_kg_per_l(self) -> float:
        """Strength wanted. [kg/L]"""
        return extract_kg_per_l(self.course.gravity)

    @property
    def wanted_l(self) -> float:
        """Volume planned for the end: in the kettle or, later, in the fermenter. [L]"""
        in_fermenter = is_over(self.wort, Stage.FERMENTER)
        return self.course.fermenter_l if in_fermenter else self.course.postboil_l

    @property
    def needed_l(self) -> float:
        """Volume in which the extract at hand has the gravity wanted. [L]"""
        return self.end.extract_kg / self.wanted_kg_per_l

    @property
    def can_boil(self) -> bool:
        """Whether the wort is still in the kettle."""
        return not is_over(self.wort, Stage.FERMENTER) and self.wort.boil_off.mean > 0.0

    @property
    def most_boil_min(self) -> float:
        """Boil that may still come. [min]"""
        return max(self.limits.max_boil_min, self.course.boil_min) - self.wort.boiled_min

    def minutes_for(self, litres: float) -> float:
        """Boil that takes so much water away. [min]"""
        return 60.0 * litres / self.wort.boil_off.mean

    def has_room(self, total_l: float) -> bool:
        """Whether the fermenters take so much wort after the boil."""
        return self.room_l is None or total_l <= self.room_l


def position_of(wort: Wort, course: Course, limits: Limits, vessels: Vessels) -> Position:
    """Take stock of a brew.

    Parameters
    ----------
    wort : Wort
        The wort now.
    course : Course
        The plan.
    limits : Limits
        What the brewer will not do.
    vessels : Vessels
        Room for water that is added.

    Returns
    -------
    Position
        With the end that the plan leads to from here.
    """
    base, loss_l = planned_action(wort, course), kettle_loss_l(wort, course)
    end = end_of(wort, course, base, loss_l)
    return Position(wort, course, limits, _room_l(vessels, course.foam, loss_l), base, end)


def kettle_loss_l(wort: Wort, course: Course) -> float:
    """Wort that will stay in the kettle, none once it has left it. [L]"""
    return 0.0 if is_over(wort, Stage.FERMENTER) else course.kettle_loss.mean


def _room_l(vessels: Vessels, foam: float, kettle_loss_l: float) -> float | None:
    if not vessels.fermenters:
        return None
    return sum(usable_l(one, foam) for one in vessels.fermenters) + kettle_loss_l
