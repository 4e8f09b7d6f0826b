"""The plan: what a scaling answers with. Data only; the rooms beside it fill it in.

Masses carry two values: ``exact`` is what the laws hold for, ``to_weigh`` what a scale can do.
The forecast is of what is weighed. Volumes are at 20 degC unless the name says hot.
"""

from dataclasses import dataclass

from wortwright.calibration.attenuation import UNTOLD_SD
from wortwright.planning.cautions import Caution
from wortwright.planning.limits import WayKind
from wortwright.records.grist import AddedTo, HopForm, Kind, Moment, Purpose, Role
from wortwright.records.recipe import Recipe, VolumeAt
from wortwright.records.sentence import Said
from wortwright.records.setup import Setup


@dataclass(frozen=True, slots=True)
class Interval:
    """The range of an interval."""

    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Forecast:
    """A number that is not known yet: its mean and its 80 % interval."""

    mean: float
    low_80: float
    high_80: float

    @property
    def interval_80(self) -> Interval:
        """The interval as one thing, as the wire has it."""
        return Interval(self.low_80, self.high_80)


@dataclass(frozen=True, slots=True)
class Finding:
    """A doubt about a number. ``code`` is stable, ``detail`` is a sentence for a person."""

    code: str
    detail: Said


@dataclass(frozen=True, slots=True)
class PlannedFermentable:
    """One line of the grist to weigh."""

    name: str
    kind: Kind
    added_to: AddedTo
    role: Role
    exact_kg: float
    to_weigh_kg: float
    share_of_extract: float


@dataclass(frozen=True, slots=True)
class PlannedHop:
    """One hop addition to weigh."""

    name: str
    form: HopForm
    moment: Moment
    purpose: Purpose
    alpha: float
    time_min: float
    temperature_c: float | None
    exact_kg: float
    to_weigh_kg: float
    bitterness_ibu: float


@dataclass(frozen=True, slots=True)
class WaterPlan:
    """Water in and wort out; ``sparge_l`` has one entry a sparge."""

    strike_l: float
    sparge_l: tuple[float, ...]
    total_l: float
    absorbed_l: float
    dead_space_l: float
    preboil_l: float
    preboil_hot_l: float
    boiled_off_l: float
    postboil_l: float
    postboil_hot_l: float
    kettle_loss_l: float
    fermenter_l: float
    fermenter_loss_l: float
    packaged_l: float


@dataclass(frozen=True, slots=True)
class TimedTemperature:
    """One rest of the mash as planned."""

    temperature_c: float
    time_min: float


@dataclass(frozen=True, slots=True)
class TemperaturePlan:
    """Temperatures to reach."""

    strike_water_c: float
    grain_c: float
    mash: tuple[TimedTemperature, ...]
    boil_time_min: float
    first_rest_ends_c: float | None = None  # None where it was planned before that was told


@dataclass(frozen=True, slots=True)
class BeerForecast:
    """What this setup will make of what is weighed."""

    mash_efficiency: Forecast
    brewhouse_efficiency: Forecast
    preboil_gravity: Forecast
    original_gravity: Forecast
    final_gravity: Forecast
    alcohol_by_volume: Forecast
    apparent_attenuation: float
    postboil_l: Forecast
    bitterness_ibu: float
    bitterness_formula: str
    colour_ebc: float
    grain_load_kg_per_l: float
    potential_gravity: float | None  # None beyond the end of the scale of gravity
    outside_seen_range: float | None
    attenuation_sd: float = UNTOLD_SD


@dataclass(frozen=True, slots=True)
class VesselFit:
    """One check of a volume against a vessel, as hot as it will be."""

    vessel: str
    at: str
    needed_l: float
    usable_l: float
    capacity_l: float
    fits: bool
    detail: Said


@dataclass(frozen=True, slots=True)
class Fit:
    """Whether it all goes in.

    ``foam`` is how high it ferments, as a multiple of an ordinary beer.
    """

    fits: bool
    reaches_gravity: bool
    checks: tuple[VesselFit, ...]
    largest_grain_bill_kg: float
    ceiling_gravity: float | None
    wet_bag_drained_kg: float | None
    wet_bag_lifted_kg: float | None
    foam: float = 1.0


@dataclass(frozen=True, slots=True)
class InReserve:
    """What to have at hand: for the low end of the interval and for the high end."""

    dry_extract_kg: float
    top_up_l: float


@dataclass(frozen=True, slots=True)
class Alternative:
    """What would have come out of the grain that another rule asks for."""

    efficiency: float
    grain_kg: float
    original_gravity: Forecast


@dataclass(frozen=True, slots=True)
class ComparedWith:
    """The plan beside the two rules in common use."""

    stated_efficiency: Alternative | None
    average_efficiency: Alternative | None


@dataclass(frozen=True, slots=True)
class RecipeReading:
    """How the recipe was read."""

    volume_l: float
    volume_at: VolumeAt
    original_gravity: float
    implied_efficiency: float
    stated_efficiency: float | None
    bitterness_ibu: float
    colour_ebc: float
    believed: str


@dataclass(frozen=True, slots=True)
class Asked:
    """The target with every default filled in."""

    volume_l: float
    volume_at: VolumeAt
    gravity: float
    bitterness_ibu: float | None


@dataclass(frozen=True, slots=True)
class Plan:
    """A recipe refitted to a setup."""

    recipe_name: str
    setup_name: str
    asked: Asked
    recipe_reading: RecipeReading
    grist: tuple[PlannedFermentable, ...]
    grain_kg: float
    hop_bill: tuple[PlannedHop, ...]
    water: WaterPlan
    temperatures: TemperaturePlan
    forecast: BeerForecast
    fit: Fit
    in_reserve: InReserve
    compared_with: ComparedWith
    warnings: tuple[Finding, ...]
    cautions: tuple[Caution, ...]
    ways_out: "tuple[WayOut, ...]" = ()


@dataclass(frozen=True, slots=True)
class WayOut:
    """One alternative when the asked-for plan does not fit: a whole plan, and its price.

    ``plan`` is of one brew, made ``brews`` times; the figures beside it are of all of them.
    ``added_extract_kg`` is malt extract or sugar that the recipe does not have. ``recipe`` and
    ``setup`` are what was planned with where the way changes them: planned with again at the
    plan's own target they give the same.
    """

    kind: WayKind
    detail: Said
    plan: Plan
    brews: int = 1
    added_extract_kg: float = 0.0
    risks: tuple[Finding, ...] = ()
    recipe: Recipe | None = None
    setup: Setup | None = None

    @property
    def volume_l(self) -> float:
        """Volume of all brews, counted where the target was. [L]"""
        return self.brews * self.plan.asked.volume_l

    @property
    def original_gravity(self) -> float:
        """Gravity that it aims at. [SG]"""
        return self.plan.asked.gravity

    @property
    def grain_kg(self) -> float:
        """Grain of all brews. [kg]"""
        return self.brews * self.plan.grain_kg

    @property
    def burner_min(self) -> float:
        """Time at the boil, of all brews. [min]"""
        return self.brews * self.plan.temperatures.boil_time_min

    @property
    def rinse_l(self) -> float:
        """Water over the drained grain, of all brews. [L]"""
        return self.brews * sum(self.plan.water.sparge_l)
