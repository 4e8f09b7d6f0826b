"""Where a brew will end from here, with or without something done about it."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from wortwright.brewing.colour import beer_colour_ebc
from wortwright.brewing.gravity import (
    extract_kg_per_l,
    gravity_from_extract_kg_per_l,
    gravity_of_wort,
)
from wortwright.brewing.hops import bitterness_ibu, mean_boil_gravity
from wortwright.brewing.mash_water import EXTRACT_VOLUME_L_PER_KG
from wortwright.planning.forecasting import DRY_EXTRACT_YIELD, SCORE, Fermentation
from wortwright.planning.hopping import longest_stand_min, utilisation_of
from wortwright.planning.kettle.course import Course
from wortwright.planning.kettle.wort import BREW_DAY, Wort
from wortwright.planning.plan import Forecast
from wortwright.planning.spread import spread
from wortwright.records.grist import HopAddition, Moment
from wortwright.records.session import Stage

_STANDARD = Forecast(0.0, -SCORE, SCORE)


@dataclass(frozen=True, slots=True)
class Action:
    """What is done from here on: the boil still to come, water and dry extract added, hops.

    Water goes in after the boil. ``hops`` is the whole bill with its masses and times.
    """

    boil_min: float
    hops: tuple[HopAddition, ...]
    top_up_l: float = 0.0
    dry_extract_kg: float = 0.0

    @property
    def added_extract_kg(self) -> float:
        """Extract that the dry extract brings. [kg]"""
        return self.dry_extract_kg * DRY_EXTRACT_YIELD


@dataclass(frozen=True, slots=True)
class Outlook:
    """The beer that a brew under way will become.

    ``postboil_l`` is None once the wort has left the kettle.
    """

    original_gravity: Forecast
    final_gravity: Forecast
    alcohol_by_volume: Forecast
    postboil_l: Forecast | None
    fermenter_l: Forecast
    bitterness_ibu: float
    colour_ebc: float


def planned_action(wort: Wort, course: Course) -> Action:
    """Return the rest of the brew as planned: nothing added, the boil boiled to its end."""
    if is_over(wort, Stage.POST_BOIL):
        return Action(0.0, course.hops)
    return Action(max(0.0, course.boil_min - wort.boiled_min), course.hops)


def is_over(wort: Wort, stage: Stage) -> bool:
    """Whether that stage of the day has been reached."""
    return BREW_DAY.index(wort.stage) >= BREW_DAY.index(stage)


def outlook(wort: Wort, course: Course, action: Action) -> Outlook:
    """Look ahead.

    Parameters
    ----------
    wort : Wort
        The wort now.
    course : Course
        The plan.
    action : Action
        What is done from here on.

    Returns
    -------
    Outlook
        Means and 80 % intervals of what the readings left open.
    """
    sources = [_STANDARD, _STANDARD, wort.boil_off.forecast(), _kettle_loss(wort, course)]

    def end(values: Sequence[float]) -> End:
        return end_of(moved(wort, values[0], values[1], values[2]), course, action, values[3])

    def figure(name: str) -> Forecast:
        return spread(lambda values: getattr(end(values), name), sources)

    def beer(values: Sequence[float], of: str) -> float:
        state = end(values[:4])
        yeast = Fermentation(state.fermenter_l, course.fermenter_extract_kg)
        figure_of = yeast.final_gravity if of == "final_gravity" else yeast.alcohol_by_volume
        return figure_of(state.gravity, values[4])

    whole = [*sources, course.attenuation.forecast()]
    state = end([source.mean for source in sources])
    in_kettle = not is_over(wort, Stage.FERMENTER)
    return Outlook(
        original_gravity=figure("gravity"),
        final_gravity=spread(lambda values: beer(values, "final_gravity"), whole),
        alcohol_by_volume=spread(lambda values: beer(values, "alcohol"), whole),
        postboil_l=figure("total_l") if in_kettle else None,
        fermenter_l=figure("fermenter_l"),
        bitterness_ibu=bitterness_of(wort, course, action, state),
        colour_ebc=_colour(wort, course, state),
    )


@dataclass(frozen=True, slots=True)
class End:
    """All the wort at the end of the day, and as it stood before water went in.

    Before the fermenter that is the kettle after the boil; there it is what the fermenter
    holds.
    """

    total_l: float
    fermenter_l: float
    extract_kg: float
    before_water_l: float

    @property
    def gravity(self) -> float:
        """Original gravity. [SG]"""
        return gravity_of_wort(self.extract_kg, self.total_l)


def moved(wort: Wort, by_volume: float, by_extract: float, boil_off_l_per_h: float) -> Wort:
    """Return the wort as it is if its volume and extract are off by so many deviations."""
    volume_l = wort.volume.mean + by_volume * wort.volume.sd
    exponent = wort.extract_by_volume * by_volume + wort.extract_log_sd * by_extract
    return replace(
        wort,
        volume=replace(wort.volume, mean=volume_l),
        extract_kg=wort.extract_kg * math.exp(exponent),
        boil_off=replace(wort.boil_off, mean=max(0.0, boil_off_l_per_h)),
    )


def end_of(wort: Wort, course: Course, action: Action, kettle_loss_l: float) -> End:
    """Mass balance from the wort now to the fermenter.

    Parameters
    ----------
    wort : Wort
        The wort now; only its means count.
    course : Course
        For what is still to be added to the kettle.
    action : Action
        What is done from here on.
    kettle_loss_l : float
        Wort that stays in the kettle, 0 once it has left it. [L]

    Returns
    -------
    End
        Volumes and strength.
    """
    pending_kg = 0.0 if is_over(wort, Stage.POST_BOIL) else course.kettle_extract_kg
    dissolved_kg = pending_kg + action.added_extract_kg
    boiled_l = wort.boil_off.mean * action.boil_min / 60.0
    before_water_l = wort.volume.mean - boiled_l + EXTRACT_VOLUME_L_PER_KG * dissolved_kg
    total_l = before_water_l + action.top_up_l
    return End(total_l, total_l - kettle_loss_l, wort.extract_kg + dissolved_kg, before_water_l)


def bitterness_of(wort: Wort, course: Course, action: Action, state: End) -> float:
    """Bitterness of the beer. [IBU]"""
    return sum(ibu for _, ibu in bitterness_by_hop(wort, course, action, state))


def bitterness_by_hop(
    wort: Wort, course: Course, action: Action, state: End
) -> list[tuple[HopAddition, float]]:
    """Bitterness that each addition of the bill brings to the beer. [IBU]

    Once in the fermenter it is what the kettle gave, thinned by the water added since.
    """
    if is_over(wort, Stage.FERMENTER):
        kettle_l, after, thinned = wort.postboil_l, wort.gravity, wort.volume.mean / state.total_l
    else:
        kettle_l = state.before_water_l
        after = gravity_of_wort(state.extract_kg, kettle_l)
        thinned = kettle_l / state.total_l
    before = gravity_from_extract_kg_per_l(extract_kg_per_l(after) * kettle_l / wort.preboil_l)
    mean = mean_boil_gravity(before, after)
    whole_min = wort.boiled_min + action.boil_min
    stand_min = longest_stand_min(action.hops)
    return [
        (
            hop,
            thinned
            * bitterness_ibu(
                hop.mass_kg or 0.0,
                hop.alpha,
                utilisation_of(hop, mean, whole_min, stand_min, course.model),
                kettle_l,
            ),
        )
        for hop in action.hops
    ]


def hops_with_boil(wort: Wort, course: Course, boil_min: float) -> tuple[HopAddition, ...]:
    """The bill when the boil goes on for so long from now.

    Hops that are in boil along; those still to come keep their distance to the end, as far as
    the boil is long enough.
    """
    more_min = wort.boiled_min + boil_min - course.boil_min
    return tuple(
        replace(
            hop,
            time_min=hop.time_min + more_min
            if is_in(wort, course, hop)
            else min(hop.time_min, boil_min),
        )
        if hop.moment is Moment.BOIL
        else hop
        for hop in course.hops
    )


def is_in(wort: Wort, course: Course, hop: HopAddition) -> bool:
    """Whether an addition has gone in already, if the day went by the plan."""
    if hop.moment is Moment.MASH:
        return is_over(wort, Stage.MASH_END)
    if hop.moment is Moment.FIRST_WORT:
        return is_over(wort, Stage.PRE_BOIL)
    if hop.moment is Moment.BOIL:
        in_boil = (
            is_over(wort, Stage.MID_BOIL) and wort.boiled_min >= course.boil_min - hop.time_min
        )
        return in_boil or is_over(wort, Stage.POST_BOIL)
    return hop.moment is Moment.STAND and is_over(wort, Stage.FERMENTER)


def _kettle_loss(wort: Wort, course: Course) -> Forecast:
    if is_over(wort, Stage.FERMENTER):
        return Forecast(0.0, 0.0, 0.0)
    return course.kettle_loss.forecast()


def _colour(wort: Wort, course: Course, state: End) -> float:
    """Colour of the plan in another volume; the malt is what it was. [EBC]"""
    in_kettle_l = state.total_l
    if is_over(wort, Stage.FERMENTER):
        in_kettle_l *= wort.postboil_l / wort.volume.mean
    thinner = beer_colour_ebc(course.postboil_l / in_kettle_l) / beer_colour_ebc(1.0)
    return course.colour_ebc * thinner
