"""Blends of beers that are known or forecast, with intervals."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from wortwright.brewing.alcohol import apparent_attenuation, final_gravity
from wortwright.brewing.blending import (
    Blend,
    Lot,
    Miss,
    MixedVolumes,
    WantedBlend,
    blend,
    volumes_for,
)
from wortwright.brewing.gravity import extract_kg_per_l, gravity_of_wort
from wortwright.brewing.mash_water import EXTRACT_VOLUME_L_PER_KG
from wortwright.calibration.posterior import Calibration
from wortwright.calibration.priors import GRAVITY_SD
from wortwright.planning.kettle.course import course_of, fermenter_extract_kg
from wortwright.planning.kettle.kettle_reading import CorrectedReading, correct, kettle_reading
from wortwright.planning.kettle.outlook import outlook, planned_action
from wortwright.planning.kettle.wort import wort_as_read
from wortwright.planning.plan import Finding, Forecast, Plan
from wortwright.planning.spread import Uncertain, spread
from wortwright.records.session import Session, Stage
from wortwright.records.setup import Setup

# Yeast of the keener beer finds sugar in the other from here on; common practice, no source.
UNLIKE_ATTENUATION = 0.03


@dataclass(frozen=True, slots=True)
class BeerLot:
    """One beer with what is known of it; ``volume_l`` is what there is of it for blending."""

    name: str
    volume_l: float
    original_gravity: Forecast
    apparent_attenuation: Forecast
    bitterness_ibu: float
    colour_ebc: float

    @property
    def lot(self) -> Lot:
        """The lot at its means."""
        return self.at(self.original_gravity.mean, self.apparent_attenuation.mean)

    def at(self, original_gravity: float, attenuation: float) -> Lot:
        """The lot if its wort and its yeast were these."""
        left = final_gravity(original_gravity, attenuation)
        return Lot(self.volume_l, original_gravity, left, self.bitterness_ibu, self.colour_ebc)

    def of(self, volume_l: float) -> "BeerLot":
        """That much of the same beer."""
        return replace(self, volume_l=volume_l)


@dataclass(frozen=True, slots=True)
class BlendForecast:
    """What a blend will be, with 80 % intervals where its lots have them. It has no pH."""

    volume_l: float
    original_gravity: Forecast
    final_gravity: Forecast
    alcohol_by_volume: Forecast
    apparent_attenuation: Forecast
    real_attenuation: Forecast
    bitterness_ibu: float
    colour_ebc: float
    findings: tuple[Finding, ...]


@dataclass(frozen=True, slots=True)
class PlannedBlend:
    """How much of each lot, the blend, and every property that misses what was wanted."""

    volumes_l: tuple[float, ...]
    blend: BlendForecast
    misses: tuple[Miss, ...]


def lot_of_plan(plan: Plan) -> BeerLot:
    """Take the beer of a plan as it is forecast; sugar for the fermenter counts as wort."""
    beer, water = plan.forecast, plan.water
    sugar_kg = fermenter_extract_kg(plan)

    def with_sugar(gravity: float) -> float:
        volume_l = water.fermenter_l + EXTRACT_VOLUME_L_PER_KG * sugar_kg
        extract_kg = extract_kg_per_l(gravity) * water.fermenter_l + sugar_kg
        return gravity_of_wort(extract_kg, volume_l) if sugar_kg else gravity

    original = beer.original_gravity
    whole = Forecast(*map(with_sugar, (original.mean, original.low_80, original.high_80)))
    attenuation = apparent_attenuation(whole.mean, beer.final_gravity.mean)
    return BeerLot(
        plan.recipe_name,
        water.packaged_l,
        whole,
        Uncertain(attenuation, beer.attenuation_sd).forecast(),
        beer.bitterness_ibu,
        beer.colour_ebc,
    )


def lot_of_session(session: Session, plan: Plan, setup: Setup, calibration: Calibration) -> BeerLot:
    """Take the beer of a session as its readings tell it, the plan filling in what they leave.

    Parameters
    ----------
    session : Session
        The brew; a reading in the boil that does not tell its minute is left out.
    plan : Plan
        What it was brewed by.
    setup : Setup
        For the kettle.
    calibration : Calibration
        What the setup does.

    Returns
    -------
    BeerLot
        With the beer that is left after the fermenter loss.

    Raises
    ------
    ReadingError
        For readings that contradict the setup.
    """
    kettle = setup.vessels.kettle
    corrected = tuple(
        correct(kettle_reading(reading), kettle)
        for reading in session.readings
        if reading.stage is not Stage.MID_BOIL or reading.boiled_min is not None
    )
    course = course_of(plan, calibration)
    wort = wort_as_read(course, calibration, corrected)
    ahead = outlook(wort, course, planned_action(wort, course))
    return BeerLot(
        plan.recipe_name,
        max(0.0, ahead.fermenter_l.mean - plan.water.fermenter_loss_l),
        ahead.original_gravity,
        _attenuation(corrected, ahead.original_gravity.mean, plan),
        ahead.bitterness_ibu,
        ahead.colour_ebc,
    )


def _attenuation(
    corrected: tuple[CorrectedReading, ...], original_gravity: float, plan: Plan
) -> Forecast:
    final = [r.gravity for r in corrected if r.stage is Stage.FINAL and r.gravity is not None]
    if not final:
        beer = plan.forecast
        return Uncertain(beer.apparent_attenuation, beer.attenuation_sd).forecast()
    left = min(sum(final) / len(final), original_gravity)
    read = apparent_attenuation(original_gravity, left)
    return Uncertain(read, GRAVITY_SD / (original_gravity - 1.0)).forecast()


def blend_forecast(lots: Sequence[BeerLot]) -> BlendForecast:
    """Forecast a blend.

    Parameters
    ----------
    lots : sequence of BeerLot
        All of each goes in.

    Returns
    -------
    BlendForecast
        The wort and the yeast of each lot are taken as independent of one another.

    Raises
    ------
    OutOfRangeError
        Without beer.
    """
    sources = [
        source for one in lots for source in (one.original_gravity, one.apparent_attenuation)
    ]

    def made(values: Sequence[float]) -> Blend:
        pairs = zip(values[::2], values[1::2], strict=True)
        return blend([one.at(*pair) for one, pair in zip(lots, pairs, strict=True)])

    def figure(name: str) -> Forecast:
        return spread(lambda values: float(getattr(made(values), name)), sources)

    centre = blend([one.lot for one in lots])
    return BlendForecast(
        volume_l=centre.volume_l,
        original_gravity=figure("original_gravity"),
        final_gravity=figure("final_gravity"),
        alcohol_by_volume=figure("alcohol_by_volume"),
        apparent_attenuation=figure("apparent_attenuation"),
        real_attenuation=figure("real_attenuation"),
        bitterness_ibu=centre.bitterness_ibu,
        colour_ebc=centre.colour_ebc,
        findings=tuple(_findings(lots)),
    )


def lot_of_blend(name: str, made: BlendForecast) -> BeerLot:
    """Take a blend as one beer."""
    return BeerLot(
        name,
        made.volume_l,
        made.original_gravity,
        made.apparent_attenuation,
        made.bitterness_ibu,
        made.colour_ebc,
    )


def plan_blend(lots: Sequence[BeerLot], total_l: float, wanted: WantedBlend) -> PlannedBlend:
    """Find how much of each beer makes the blend wanted.

    Parameters
    ----------
    lots : sequence of BeerLot
        What there is of each.
    total_l : float
        Volume of the blend. [L]
    wanted : WantedBlend
        The properties wanted.

    Returns
    -------
    PlannedBlend
        The nearest blend; what it misses is said.

    Raises
    ------
    OutOfRangeError
        If there is not as much beer.
    """
    found: MixedVolumes = volumes_for([one.lot for one in lots], total_l, wanted)
    taken = [one.of(volume_l) for one, volume_l in zip(lots, found.volumes_l, strict=True)]
    return PlannedBlend(found.volumes_l, blend_forecast(taken), found.misses)


def _findings(lots: Sequence[BeerLot]) -> list[Finding]:
    several = [one for one in lots if one.volume_l > 0.0]
    if len(several) < 2:
        return []
    found = [
        Finding("ph_not_forecast", "The pH of a blend does not follow from that of its parts.")
    ]
    attained = [one.apparent_attenuation.mean for one in several]
    if max(attained) - min(attained) > UNLIKE_ATTENUATION:
        keen = max(several, key=lambda one: one.apparent_attenuation.mean)
        found.append(
            Finding(
                "may_ferment_again",
                f"The yeast of {keen.name!r} may take up what the other beer left: let the blend "
                "stand under an airlock until its gravity stays the same for days, then bottle.",
            )
        )
    return found
