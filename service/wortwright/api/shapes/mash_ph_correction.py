"""The rest of a dose, once its first part has shown what it does."""

from dataclasses import dataclass
from typing import Any

from marshmallow import ValidationError, fields, post_load

from wortwright.api.fields import Choice
from wortwright.api.quantity_field import Quantity
from wortwright.api.refusal import Refusal
from wortwright.api.schemas import InSchema
from wortwright.api.shapes.findings import WithFindingsOut
from wortwright.api.shapes.mash_ph import ph_field
from wortwright.brewing.mash_ph_offset import PhInstrument
from wortwright.planning.water.mash_acidity import FirstPart
from wortwright.units import Dimension


@dataclass(frozen=True, slots=True)
class CorrectionAsked:
    """The first part of a dose and what it did."""

    given: FirstPart
    ph_before: float
    ph_after: float
    target_ph: float
    instrument: PhInstrument


class MashPhCorrectionIn(InSchema):
    """The first part of a dose, of acid or of base, and readings of cooled samples around it."""

    acid_given = Quantity(
        Dimension.SMALL_VOLUME,
        attribute="acid_ml",
        minimum=0.001,
        maximum=5000.0,
        allow_none=True,
        load_default=None,
    )
    base_given = Quantity(
        Dimension.SMALL_MASS,
        attribute="base_g",
        minimum=0.001,
        maximum=5000.0,
        allow_none=True,
        load_default=None,
    )
    ph_before = ph_field(required=True)
    ph_after = ph_field(required=True)
    target_ph = ph_field(4.7, 6.5, required=True)
    instrument = Choice(PhInstrument, load_default=PhInstrument.METER)

    @post_load
    def build(self, data: dict[str, Any], **_: Any) -> Any:
        """Build the question, if one dose is told."""
        if (data["acid_ml"] is None) == (data["base_g"] is None):
            told = ("acid_given", "base_given")
            raise ValidationError([Refusal("Give either acid_given or base_given.", told)])
        given = FirstPart(data.pop("acid_ml"), data.pop("base_g"))
        return CorrectionAsked(given, **data)


class MashPhCorrectionOut(WithFindingsOut):
    """What is still to be given; the other of the two is null."""

    acid = Quantity(Dimension.SMALL_VOLUME, attribute="acid_ml", required=True, allow_none=True)
    base = Quantity(Dimension.SMALL_MASS, attribute="base_g", required=True, allow_none=True)
    summary = fields.String(required=True)
