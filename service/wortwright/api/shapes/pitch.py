"""Pitches: the yeast at hand, the cells a wort wants."""

from typing import Any

from marshmallow import Schema, ValidationError, fields, post_load

from wortwright.api.fields import Choice, StrictInteger
from wortwright.api.quantity_field import Quantity
from wortwright.api.refusal import Refusal
from wortwright.api.schemas import InSchema, OutSchema
from wortwright.api.sentences import SentenceField
from wortwright.api.shapes.common import (
    fraction_field,
    gravity_field,
    temperature_field,
    volume_field,
)
from wortwright.api.shapes.findings import WithFindingsOut
from wortwright.brewing.repitching import OLDEST_SLURRY_DAYS
from wortwright.brewing.starter import StarterMethod
from wortwright.brewing.tables.yeast import YeastKind
from wortwright.brewing.yeast import OLDEST_LIQUID_DAYS, PitchRisk
from wortwright.planning.cellar.pitch import Cake, DryYeast, LiquidYeast, Slurry, YeastAtHand
from wortwright.units import Dimension

FORMS = ("dry", "liquid", "slurry", "cake")
BILLION = 1e9


def _age(most_days: float) -> Quantity:
    return Quantity(
        Dimension.AGE, attribute="age_days", minimum=0.0, maximum=most_days, required=True
    )


class DryYeastIn(InSchema):
    """Packets of dry yeast; without `packets` as many as hold the cells wanted.

    `cells_per_gram` is of viable cells.
    """

    packet = Quantity(Dimension.SMALL_MASS, attribute="packet_g", minimum=1.0, maximum=1000.0)
    packets = StrictInteger(minimum=1, maximum=1000, allow_none=True)
    cells_per_gram = Quantity(
        Dimension.CELLS, attribute="cells_per_g", minimum=BILLION, maximum=50 * BILLION
    )

    record = DryYeast


class LiquidYeastIn(InSchema):
    """Packs of liquid yeast kept cold; past 120 days only a starter tells what still lives."""

    age = _age(OLDEST_LIQUID_DAYS)
    packs = StrictInteger(minimum=1, maximum=100)
    cells_per_pack = Quantity(
        Dimension.CELLS, minimum=BILLION, maximum=10_000 * BILLION, attribute="cells_per_pack"
    )

    record = LiquidYeast


class SlurryIn(InSchema):
    """Settled slurry kept cold since an earlier session; without a volume as much as is wanted."""

    age = _age(OLDEST_SLURRY_DAYS)
    volume = Quantity(
        Dimension.SMALL_VOLUME,
        attribute="volume_ml",
        exclusive_minimum=0.0,
        maximum=100_000.0,
        allow_none=True,
    )

    record = Slurry


class CakeIn(InSchema):
    """The cake of an earlier session, told by the beer that it came from."""

    age = _age(OLDEST_SLURRY_DAYS)
    fermented = volume_field("fermented_l", required=True)
    original_gravity = gravity_field("original_gravity", minimum=1.01, maximum=1.16, required=True)
    final_gravity = gravity_field("final_gravity", minimum=0.98, maximum=1.16, required=True)

    record = Cake

    @post_load
    def build(self, data: dict[str, Any], **_: Any) -> Any:
        """Build the cake, if its beer has fermented."""
        if data["final_gravity"] >= data["original_gravity"]:
            said = Refusal("The final gravity must be below the original gravity.")
            raise ValidationError({"final_gravity": [said]})
        return super().build(data)


class YeastAtHandFields(Schema):
    """The yeast at hand."""

    kind = Choice(YeastKind, required=True)
    temperature = temperature_field("temperature_c", minimum=0.0, maximum=35.0, required=True)
    dry = fields.Nested(DryYeastIn(), allow_none=True)
    liquid = fields.Nested(LiquidYeastIn(), allow_none=True)
    slurry = fields.Nested(SlurryIn(), allow_none=True)
    cake = fields.Nested(CakeIn(), allow_none=True)
    starter = Choice(StarterMethod, allow_none=True)


class YeastAtHandIn(YeastAtHandFields, InSchema):
    """The kind of yeast, the temperature it is pitched at, and one form of it.

    Say at most one of `dry`, `liquid`, `slurry` and `cake`; with none only the cells wanted are
    told. `starter` is the method of a starter, where one may be made.
    """

    record = YeastAtHand

    @post_load
    def build(self, data: dict[str, Any], **_: Any) -> Any:
        """Build the yeast, if it is said once."""
        if sum(data.get(form) is not None for form in FORMS) > 1:
            raise ValidationError([Refusal("Give one form of yeast only.", FORMS)])
        return super().build(data)


class PitchIn(InSchema):
    """A wort and the yeast for it."""

    volume = volume_field("volume_l", required=True)
    original_gravity = gravity_field(
        "original_gravity", exclusive_minimum=1.0, maximum=1.16, required=True
    )
    yeast = fields.Nested(YeastAtHandIn(), required=True)


class YeastPitchedOut(OutSchema):
    """What is pitched, and what that share of the cells wanted means.

    `packets` (or packs), `slurry` or `cake_share` tells how much, as the form goes.
    """

    form = fields.String(required=True)
    packets = fields.Integer(required=True, allow_none=True)
    slurry = Quantity(Dimension.SMALL_VOLUME, attribute="slurry_ml", required=True, allow_none=True)
    cake_share = fraction_field("cake_share", required=True, allow_none=True)
    viable_cells = Quantity(Dimension.CELLS, required=True)
    viable_share = fraction_field("viable_share", required=True, allow_none=True)
    share_of_wanted = fraction_field("share_of_wanted", required=True)
    risk = Choice(PitchRisk, required=True)
    meaning = fields.String(required=True)


class PacketChoiceOut(OutSchema):
    """So many whole packets, and what they mean."""

    packets = fields.Integer(required=True)
    share_of_wanted = fraction_field("share_of_wanted", required=True)
    risk = Choice(PitchRisk, required=True)


class StarterStepOut(OutSchema):
    """One step of a starter."""

    volume = volume_field("volume_l", required=True)
    dry_extract = Quantity(Dimension.SMALL_MASS, attribute="extract_g", required=True)
    cells_before = Quantity(Dimension.CELLS, required=True)
    cells_after = Quantity(Dimension.CELLS, required=True)


class OxygenWantedOut(OutSchema):
    """Oxygen at pitching."""

    wanted = Quantity(Dimension.CONCENTRATION, attribute="wanted_mg_l", required=True)
    air_can_give = Quantity(Dimension.CONCENTRATION, attribute="air_can_give_mg_l", required=True)
    needs_pure_oxygen = fields.Boolean(required=True)
    second_dose = fields.Boolean(required=True)


class PitchOut(WithFindingsOut):
    """Cells for a wort; counts are honest to a factor of 1.5, of slurry and cake to one of two."""

    summary = SentenceField(required=True)
    counted_as = Choice(YeastKind, required=True)
    pitch_rate = Quantity(
        Dimension.PITCH_RATE, attribute="rate_million_per_ml_plato", required=True
    )
    cells_wanted = Quantity(Dimension.CELLS, required=True)
    pitched = fields.Nested(YeastPitchedOut(), required=True, allow_none=True)
    packet_choices = fields.List(fields.Nested(PacketChoiceOut()), required=True)
    starter = fields.List(fields.Nested(StarterStepOut()), required=True)
    oxygen = fields.Nested(OxygenWantedOut(), required=True)
