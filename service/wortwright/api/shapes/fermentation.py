"""Fermentations, and what a refractometer says of them."""

from typing import Any

from marshmallow import Schema, ValidationError, fields, post_load, validate

from wortwright.api.fields import Choice, StrictNumber
from wortwright.api.quantity_field import Quantity
from wortwright.api.refusal import Refusal
from wortwright.api.schemas import InSchema, OutSchema
from wortwright.api.shapes.common import Rounded, fraction_field, gravity_field, temperature_field
from wortwright.api.shapes.findings import WithFindingsOut
from wortwright.api.shapes.plan import GravityForecastOut, GravityIntervalOut, WarningOut
from wortwright.brewing.fermentation import FermentationState
from wortwright.brewing.hydrometer import HOTTEST_READING_C
from wortwright.brewing.tables.yeast import YeastClass
from wortwright.planning.cellar.fermenting import Fermentation, FermentingYeast, ReadGravity
from wortwright.planning.cellar.refractometer_reading import RefractometerAsked, WortPair
from wortwright.units import Dimension

MOST_GRAVITY_READINGS = 200


class ReadGravityIn(InSchema):
    """A hydrometer reading, how long after pitching; a refractometer does not do."""

    after = Quantity(
        Dimension.AGE, attribute="after_days", minimum=0.0, maximum=3650.0, required=True
    )
    gravity = gravity_field("gravity", minimum=0.98, maximum=1.16, required=True)
    temperature = temperature_field("temperature_c", maximum=HOTTEST_READING_C)

    record = ReadGravity


class FermentingYeastIn(InSchema):
    """The yeast: its class of attenuation, or what its maker states."""

    yeast_class = Choice(YeastClass, allow_none=True)
    apparent_attenuation = fraction_field(
        "apparent_attenuation", minimum=0.3, maximum=1.0, allow_none=True
    )

    record = FermentingYeast


class FermentationIn(InSchema):
    """A wort, its yeast, and what was read since.

    `sugar_share` is the part of the extract that is simple sugar, `mash_temperature` that of the
    main rest.
    """

    original_gravity = gravity_field("original_gravity", minimum=1.005, maximum=1.16, required=True)
    yeast = fields.Nested(FermentingYeastIn())
    mash_temperature = temperature_field(
        "mash_temperature_c", minimum=55.0, maximum=80.0, allow_none=True
    )
    sugar_share = fraction_field("sugar_share")
    readings = fields.List(
        fields.Nested(ReadGravityIn()), validate=validate.Length(max=MOST_GRAVITY_READINGS)
    )

    record = Fermentation

    @post_load
    def build(self, data: dict[str, Any], **_: Any) -> Any:
        """Build the fermentation, if nothing was read above its beginning."""
        for index, reading in enumerate(data.get("readings", ())):
            if reading.gravity > data["original_gravity"]:
                said = Refusal(
                    "A reading lies above the original gravity.",
                    [f"up to {data['original_gravity']:.4f} SG"],
                )
                raise ValidationError({"readings": {index: {"gravity": [said]}}})
        return super().build(data)


class AlcoholOut(OutSchema):
    """Alcohol by volume with the limits of any figure from two gravities."""

    by_volume = fraction_field("by_volume", required=True)
    low = fraction_field("low", required=True)
    high = fraction_field("high", required=True)
    apparent_attenuation = fraction_field("apparent_attenuation", required=True)
    method = fields.String(required=True)


class FermentationOut(WithFindingsOut):
    """Where it will end, how far it is, and what bottling has to reckon with.

    `gravity` and what follows from it are null before the first reading.
    """

    summary = fields.String(required=True)
    final_gravity = fields.Nested(GravityForecastOut(), required=True)
    apparent_attenuation = fraction_field("apparent_attenuation", required=True)
    state = Choice(FermentationState, required=True)
    finished = fields.Boolean(required=True)
    stable_for = Quantity(Dimension.AGE, attribute="days_stable", required=True)
    must_stay_for = Quantity(Dimension.AGE, attribute="days_to_stay", required=True)
    gravity = gravity_field("gravity", required=True, allow_none=True)
    alcohol = fields.Nested(AlcoholOut(), required=True, allow_none=True)
    real_attenuation = fraction_field("real_attenuation", required=True, allow_none=True)
    gravity_to_expect = gravity_field("gravity_to_expect", required=True)


def _brix(attribute: str, **kwargs: Any) -> Quantity:
    return Quantity(Dimension.REFRACTION, attribute=attribute, minimum=0.0, maximum=40.0, **kwargs)


class WortPairIn(InSchema):
    """One unfermented wort, read with both instruments."""

    reading = Quantity(
        Dimension.REFRACTION, attribute="reading_brix", minimum=1.0, maximum=40.0, required=True
    )
    gravity = gravity_field("gravity", exclusive_minimum=1.0, maximum=1.18, required=True)

    record = WortPair


class CorrectionFields(Schema):
    """The brewer's own correction of a refractometer."""

    correction_factor = StrictNumber(attribute="factor", minimum=0.9, maximum=1.2, allow_none=True)
    pairs = fields.List(fields.Nested(WortPairIn()), validate=validate.Length(max=200))


class RefractometerReadingIn(CorrectionFields, InSchema):
    """A reading, corrected for temperature by the instrument or at 20 degC.

    Of fermenting beer also the reading before fermentation, `original_reading`. The correction
    factor is reading over true extract; `pairs` teach it where it is not said.
    """

    reading = _brix("reading_brix", required=True)
    original_reading = _brix("original_brix", allow_none=True)

    record = RefractometerAsked

    @post_load
    def build(self, data: dict[str, Any], **_: Any) -> Any:
        """Build the question, if a beer does not read more than its wort did."""
        original = data.get("original_brix")
        if original is not None and data["reading_brix"] > original:
            said = Refusal("Beer does not read more than its wort.", [f"up to {original:g} Brix"])
            raise ValidationError({"reading": [said]})
        return super().build(data)


class RefractometerGravityOut(OutSchema):
    """A gravity; what may be true lies in the interval. Of beer never a ground for bottling."""

    gravity = gravity_field("gravity", required=True)
    interval = fields.Nested(GravityIntervalOut(), required=True, attribute="ends")
    correction_factor = Rounded(4, required=True, attribute="factor")
    factor_from = fields.String(required=True)
    fermenting = fields.Boolean(required=True)
    warnings = fields.List(fields.Nested(WarningOut()), required=True)
