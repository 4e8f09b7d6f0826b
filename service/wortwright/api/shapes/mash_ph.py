"""The pH of a mash: grist, what is wanted, the forecast, the rest of a dose."""

from dataclasses import dataclass
from typing import Any

from marshmallow import Schema, ValidationError, fields, post_load, pre_dump, validate

from wortwright.api.fields import Choice, StrictNumber, StrictText
from wortwright.api.quantity_field import Quantity
from wortwright.api.refusal import Refusal
from wortwright.api.schemas import InSchema, OutSchema
from wortwright.api.shapes.common import (
    MOST_LINES,
    Rounded,
    fraction_field,
    shallow,
    temperature_field,
    volume_field,
)
from wortwright.api.shapes.findings import WithFindingsOut
from wortwright.api.shapes.grist import grist_mass
from wortwright.api.shapes.water import SaltName, WaterReportIn
from wortwright.brewing.acids import STRONGEST_PERCENT, Acid
from wortwright.brewing.alkalinity import alkalinity_as_caco3_mg_l
from wortwright.brewing.ions import Water
from wortwright.brewing.mash_ph_offset import PhInstrument, PhReading
from wortwright.brewing.tables.malt_acidity import MaltClass
from wortwright.planning.cellar.finishing import KnownMalt
from wortwright.planning.water.mash_acidity import MashPhForecast
from wortwright.planning.water.mash_malts import MaltInMash, PhWanted, class_of
from wortwright.records.complete import (
    IncompleteIngredientError,
    WrittenFermentable,
    complete_fermentable,
)
from wortwright.records.grist import Kind
from wortwright.records.sentence import in_percent
from wortwright.units import Dimension

USUAL_MASH_C = 66.0
MOST_PH_READINGS = 200


def ph_field(low: float = 3.0, high: float = 9.0, **kwargs: Any) -> StrictNumber:
    """Make the field of a pH."""
    return StrictNumber(minimum=low, maximum=high, **kwargs)


def ph_answered() -> Rounded:
    """Make the field of a pH that is answered: no meter tells more than two decimals."""
    return Rounded(2, required=True)


class MaltAcidityFields(Schema):
    """What may be known of a malt's acidity."""

    malt_class = Choice(MaltClass, allow_none=True)
    distilled_water_ph = ph_field(allow_none=True)
    buffering_meq_per_kg_ph = StrictNumber(minimum=5.0, maximum=200.0, allow_none=True)


class KnownMaltIn(MaltAcidityFields, InSchema):
    """What is known of the acidity of one of the recipe's malts, found by its name.

    `distilled_water_ph` is its mash pH in distilled water at room temperature.
    """

    name = StrictText(required=True, max_length=100)

    record = KnownMalt


class MashMaltIn(MaltAcidityFields, InSchema):
    """One malt of the mash. Without a `malt_class` it is told by name, or by kind and colour.

    `distilled_water_ph` is its mash pH in distilled water at room temperature, if its lot is
    known.
    """

    name = StrictText(required=True, max_length=100)
    mass = grist_mass(required=True)
    kind = Choice(Kind, allow_none=True)
    colour = Quantity(
        Dimension.COLOUR, attribute="colour_ebc", minimum=0.0, maximum=3000.0, allow_none=True
    )

    @post_load
    def build(self, data: dict[str, Any], **_: Any) -> Any:
        """Find its class where it is not said."""
        kind, colour_ebc = data.pop("kind", None), data.pop("colour_ebc", None)
        by_lot = (data.get("distilled_water_ph"), data.get("buffering_meq_per_kg_ph"))
        if data.get("malt_class") is None and None in by_lot:
            data["malt_class"] = _class_of(data["name"], kind, colour_ebc)
        return MaltInMash(**data)


def _class_of(name: str, kind: Kind | None, colour_ebc: float | None) -> MaltClass | None:
    written = WrittenFermentable(name, mass_kg=1.0, kind=kind, colour_ebc=colour_ebc)
    try:
        return class_of(complete_fermentable(written))
    except IncompleteIngredientError as error:
        message = f"Nothing is known of {name!r}; give its malt_class."
        raise ValidationError({"malt_class": [Refusal(message, tuple(MaltClass))]}) from error


class PhReadingIn(InSchema):
    """One earlier mash: the `ph_by_balance` that was forecast, and what was read.

    Readings by strip are left out.
    """

    forecast_ph = ph_field(required=True)
    read_ph = ph_field(required=True)
    instrument = Choice(PhInstrument, required=True)
    sample_temperature = temperature_field("sample_temperature_c", maximum=100.0)

    record = PhReading


class PhWantedFields(Schema):
    """What is wanted of a pH, and what there is for it."""

    target_ph = ph_field(4.7, 6.5, allow_none=True)
    acid = Choice(Acid)
    acid_strength_by_mass = fraction_field("acid_strength", minimum=0.01, maximum=0.88)
    base = SaltName(for_water=False)


class PhWantedIn(PhWantedFields, InSchema):
    """What is wanted of the mash's pH at room temperature, and what there is to correct it.

    Without a `target_ph` no dose is worked out.
    """

    readings = fields.List(
        fields.Nested(PhReadingIn()), validate=validate.Length(max=MOST_PH_READINGS)
    )

    record = PhWanted

    @post_load
    def build(self, data: dict[str, Any], **_: Any) -> Any:
        """Build it, if the acid can be so strong."""
        wanted: PhWanted = super().build(data)
        strongest = STRONGEST_PERCENT[wanted.acid] / 100.0
        if wanted.acid_strength > strongest:
            accepted = f"up to {in_percent(strongest)}"
            said = Refusal(f"No {wanted.acid} acid is so strong.", [accepted])
            raise ValidationError({"acid_strength_by_mass": [said]})
        return wanted


class MashFields(Schema):
    """A mash."""

    temperature = temperature_field("temperature_c", minimum=20.0, maximum=100.0)


class MashedIn(MashFields, InSchema):
    """The malts of a mash, at what temperature, and what is wanted of its pH."""

    grist = fields.List(
        fields.Nested(MashMaltIn()),
        required=True,
        validate=validate.Length(min=1, max=MOST_LINES),
    )
    ph = fields.Nested(PhWantedIn())

    @post_load
    def build(self, data: dict[str, Any], **_: Any) -> Any:
        """Build the mash, if any of it has an acidity."""
        malts = tuple(data["grist"])
        if not any(malt.counts for malt in malts):
            said = Refusal("Nothing in this grist has an acidity that is known.")
            raise ValidationError({"grist": [said]})
        return Mashed(malts, data.get("temperature_c", USUAL_MASH_C), data.get("ph", PhWanted()))


@dataclass(frozen=True, slots=True)
class Mashed:
    """A mash without its water."""

    malts: tuple[MaltInMash, ...]
    temperature_c: float
    ph: PhWanted


@dataclass(frozen=True, slots=True)
class MashPhAsked:
    """A mash with its water."""

    mash: Mashed
    water: Water
    water_l: float


class MashPhForecastIn(InSchema):
    """A mash whose pH is to be forecast; `water_volume` is what is in the mash tun."""

    mash = fields.Nested(MashedIn(), required=True)
    water = fields.Nested(WaterReportIn(), required=True)
    water_volume = volume_field("water_l", required=True)

    @post_load
    def build(self, data: dict[str, Any], **_: Any) -> Any:
        """Build the question."""
        return MashPhAsked(data["mash"], data["water"].water, data["water_l"])


class CountedMaltOut(MaltAcidityFields, OutSchema):
    """One malt as it was counted; `of_lot` says that the figures are its lot's own."""

    name = fields.String(required=True)
    mass = Quantity(Dimension.MASS, attribute="mass_kg", required=True)
    of_lot = fields.Boolean(required=True)


class AcidDoseOut(OutSchema):
    """Acid in all, and what to give before measuring."""

    total = Quantity(Dimension.SMALL_VOLUME, required=True)
    first = Quantity(Dimension.SMALL_VOLUME, required=True)


class BaseDoseOut(OutSchema):
    """Base in all, and what to give before measuring."""

    total = Quantity(Dimension.SMALL_MASS, required=True)
    first = Quantity(Dimension.SMALL_MASS, required=True)


class PhDoseOut(OutSchema):
    """Acid or base to reach the target: uncertain by half of itself, so half of it first."""

    target_ph = ph_answered()
    agent = fields.String(required=True)
    acid_strength_by_mass = fraction_field("acid_strength", required=True, allow_none=True)
    acid = fields.Nested(AcidDoseOut(), required=True, allow_none=True, attribute="acid_ml")
    base = fields.Nested(BaseDoseOut(), required=True, allow_none=True, attribute="base_g")
    advice = fields.String(required=True)


class MashPhForecastOut(WithFindingsOut):
    """pH of a cooled sample, about 95 % sure to lie between `low` and `high`.

    `ph_by_balance` leaves out what the readings taught: set it beside what is read in this mash.
    """

    ph = ph_answered()
    low = ph_answered()
    high = ph_answered()
    ph_in_hot_mash = ph_answered()
    mash_temperature = temperature_field("mash_temperature_c", required=True)
    ph_by_balance = ph_answered()
    residual_alkalinity = Quantity(Dimension.ALKALINITY, required=True)
    offset_learnt = ph_answered()
    readings_used = fields.Integer(required=True)
    malts = fields.List(fields.Nested(CountedMaltOut()), required=True)
    dose = fields.Nested(PhDoseOut(), required=True, allow_none=True)

    @pre_dump
    def spread(self, forecast: MashPhForecast, **_: Any) -> dict[str, Any]:
        """Write the interval as its ends, and alkalinity as laboratories print it."""
        residual = alkalinity_as_caco3_mg_l(forecast.residual_alkalinity_meq_l)
        return {
            **shallow(forecast),
            "low": forecast.ph - forecast.half_width,
            "high": forecast.ph + forecast.half_width,
            "residual_alkalinity": residual,
            "offset_learnt": forecast.learnt.offset_ph,
            "readings_used": forecast.learnt.readings_used,
        }
