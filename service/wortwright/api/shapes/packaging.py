"""Priming, bottles and kegs."""

from typing import Any

from marshmallow import Schema, ValidationError, fields, post_load, pre_dump

from wortwright.api.fields import Choice
from wortwright.api.quantity_field import Quantity
from wortwright.api.refusal import Refusal
from wortwright.api.schemas import InSchema
from wortwright.api.sentences import SentenceField
from wortwright.api.shapes.common import (
    StrictFlag,
    fraction_field,
    gravity_field,
    shallow,
    temperature_field,
    volume_field,
)
from wortwright.api.shapes.fermentation import FermentationIn
from wortwright.api.shapes.findings import WithFindingsOut
from wortwright.brewing.tables.packaging import BottleKind, PrimingSugar
from wortwright.planning.cellar.fermenting import stops_of
from wortwright.planning.cellar.finishing import PackagingWanted
from wortwright.planning.cellar.packaging import Bottling, BottlingAsked, PrimingAsked
from wortwright.units import Dimension

_COLDEST_C, _WARMEST_C = -2.0, 45.0


def carbonation_field(**kwargs: Any) -> Quantity:
    """Make the field of a carbonation."""
    return Quantity(Dimension.CARBONATION, **({"minimum": 0.0, "maximum": 6.0} | kwargs))


def _pressure(attribute: str, most_bar: float, **kwargs: Any) -> Quantity:
    return Quantity(
        Dimension.PRESSURE, attribute=attribute, minimum=0.0, maximum=most_bar, **kwargs
    )


def _beer_temperature(attribute: str, **kwargs: Any) -> Quantity:
    return temperature_field(attribute, minimum=_COLDEST_C, maximum=_WARMEST_C, **kwargs)


class ToCarbonateFields(Schema):
    """Carbonation wanted, and what the beer still holds."""

    carbonation = carbonation_field(required=True)
    highest_temperature = _beer_temperature("highest_temperature_c", required=True)
    sugar = Choice(PrimingSugar)


class PrimingIn(ToCarbonateFields, InSchema):
    """Beer to be primed, that has finished: the volume truly primed, not the batch.

    `highest_temperature` is the highest since fermentation quieted, whatever it is now;
    `pressure` what was held then, by gauge.
    """

    volume = volume_field("volume_l", required=True)
    pressure = _pressure("pressure_bar", 3.0)

    record = PrimingAsked


class PrimingOut(WithFindingsOut):
    """Sugar to weigh. Whether a bottle bears it is told by a bottling."""

    summary = SentenceField(required=True)
    sugar = Quantity(Dimension.SMALL_MASS, attribute="sugar_g", required=True)
    sugar_per_litre = Quantity(Dimension.SMALL_MASS, attribute="sugar_g_per_l", required=True)
    residual_carbonation = carbonation_field(attribute="residual_volumes", required=True)


class BottlesFields(ToCarbonateFields):
    """The bottles."""

    bottle = Choice(BottleKind, required=True)
    store_temperature = _beer_temperature("store_temperature_c")


class PlannedPackagingIn(BottlesFields, InSchema):
    """The bottles a brew is planned for; beer and gravity are the plan's.

    `highest_temperature` is the highest that the beer will have seen when fermentation quiets,
    `store_temperature` the warmest place the bottles will stand in.
    """

    record = PackagingWanted


class BottlingIn(BottlesFields, InSchema):
    """Beer to be bottled, its gravity now, and where it will stop.

    Give `gravity` and `expected_final_gravity`, with `lowest_final_gravity` if it could come
    lower; or give the `fermentation`, which tells them all and the `alcohol`. `aged` and
    `alcohol` tell whether its own yeast will do.
    """

    volume = volume_field("volume_l", required=True)
    gravity = gravity_field("gravity", minimum=0.98, maximum=1.16, allow_none=True)
    expected_final_gravity = gravity_field(
        "expected_final_gravity", minimum=0.98, maximum=1.16, allow_none=True
    )
    lowest_final_gravity = gravity_field(
        "lowest_final_gravity", minimum=0.98, maximum=1.16, allow_none=True
    )
    fermentation = fields.Nested(FermentationIn(), allow_none=True)
    aged = Quantity(Dimension.AGE, attribute="days_aged", minimum=0.0, maximum=3650.0)
    alcohol = fraction_field("alcohol", maximum=0.25)
    fined_or_filtered = StrictFlag()

    @post_load
    def build(self, data: dict[str, Any], **_: Any) -> Any:
        """Build the question, if where it will stop is told in one way."""
        fermentation = data.pop("fermentation", None)
        told = ("expected_final_gravity", "fermentation")
        if (data.get(told[0]) is None) == (fermentation is None):
            raise ValidationError([Refusal(f"Give either {told[0]} or {told[1]}.", told)])
        said = {name: value for name, value in data.items() if value is not None}
        if fermentation is not None:
            said = {**stops_of(fermentation), **said}
        if "gravity" not in said:
            raise ValidationError({"gravity": [Refusal("Say the gravity now.")]})
        said.setdefault("lowest_final_gravity", said["expected_final_gravity"])
        return BottlingAsked(**said)


class BottlingOut(WithFindingsOut):
    """Sugar, and pressures by gauge: as expected in the store and in a hot car, and in the store
    if the beer ferments to its lowest. `yeast` is null where its own will do.
    """  # noqa: D205

    summary = SentenceField(required=True)
    sugar = Quantity(Dimension.SMALL_MASS, attribute="sugar_g", required=True)
    residual_carbonation = carbonation_field(attribute="residual_volumes", required=True)
    carbonation = carbonation_field(attribute="volumes", required=True)
    pressure = _pressure("gauge_bar", 100.0, required=True)
    pressure_in_hot_car = _pressure("hot_gauge_bar", 100.0, required=True)
    carbonation_if_lowest = carbonation_field(attribute="volumes_if_lowest", required=True)
    pressure_if_lowest = _pressure("gauge_bar_if_lowest", 100.0, required=True)
    most_carbonation = carbonation_field(attribute="most_volumes", required=True)
    safe_if_lowest = fields.Boolean(required=True)
    yeast = Quantity(Dimension.SMALL_MASS, attribute="yeast_g", required=True, allow_none=True)

    @pre_dump
    def flatten(self, bottling: Bottling, **_: Any) -> dict[str, Any]:
        """Put what is weighed beside what is told."""
        facts = shallow(bottling)
        return {**shallow(facts.pop("plan")), **facts}


class KegPressureIn(InSchema):
    """The carbonation wanted or the pressure held, by gauge, and the temperature of the beer."""

    temperature = _beer_temperature("temperature_c", required=True)
    carbonation = carbonation_field(allow_none=True, load_default=None)
    pressure = _pressure("pressure_bar", 10.0, allow_none=True, load_default=None)

    @post_load
    def build(self, data: dict[str, Any], **_: Any) -> Any:
        """Give what was said, if one of the two is asked for."""
        if (data["carbonation"] is None) == (data["pressure_bar"] is None):
            told = ("carbonation", "pressure")
            raise ValidationError([Refusal("Give either carbonation or pressure.", told)])
        return data


class KegPressureOut(WithFindingsOut):
    """Pressure by gauge and carbonation in balance."""

    pressure = _pressure("pressure_bar", 100.0, required=True)
    carbonation = carbonation_field(required=True)
    temperature = _beer_temperature("temperature_c", required=True)
