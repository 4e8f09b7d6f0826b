"""Water treatments: what is at hand and wanted, what to weigh, where each ion comes from."""

from dataclasses import dataclass
from typing import Any

from marshmallow import Schema, fields, post_load, pre_dump, validate

from wortwright.api.quantity_field import Quantity
from wortwright.api.schemas import InSchema, OutSchema
from wortwright.api.sentences import SentenceField
from wortwright.api.shapes.common import fraction_field, shallow, volume_field
from wortwright.api.shapes.findings import WithFindingsOut
from wortwright.api.shapes.mash_ph import (
    KnownMaltIn,
    Mashed,
    MashedIn,
    MashPhForecastOut,
    PhWantedIn,
)
from wortwright.api.shapes.water import (
    DilutionWaterIn,
    SaltName,
    WaterContentOut,
    WaterReportIn,
    WaterTargetIn,
)
from wortwright.brewing.alkalinity import alkalinity_as_caco3_mg_l
from wortwright.brewing.water_treatment import BrewingWater, IonAccount
from wortwright.planning.cellar.finishing import KnownMalt
from wortwright.planning.water.mash_acidity import MashPhForecast
from wortwright.planning.water.mash_malts import PhWanted
from wortwright.planning.water.water_at_hand import WaterAtHand
from wortwright.planning.water.water_plan import WaterTreatment
from wortwright.units import Dimension

MOST_SALTS = 15
_ALKALINITY = "alkalinity_meq_l"


class WaterAtHandFields(Schema):
    """Waters and salts at hand, and what is wanted of them."""

    source = fields.Nested(WaterReportIn(), required=True)
    dilution = fields.Nested(DilutionWaterIn(), allow_none=True)
    target = fields.Nested(WaterTargetIn(), allow_none=True)
    salts = fields.List(SaltName(for_water=True), validate=validate.Length(max=MOST_SALTS))
    tolerance = fraction_field("tolerance", minimum=0.001, maximum=0.5)
    scale_step = Quantity(
        Dimension.SMALL_MASS, attribute="scale_step_g", minimum=0.001, maximum=10.0
    )


def at_hand(data: dict[str, Any]) -> WaterAtHand:
    """Take what `WaterAtHandFields` loaded out of the data and build what is at hand."""
    source = data.pop("source")
    said = {name: data.pop(name) for name in ("tolerance", "scale_step_g") if name in data}
    # The same salt twice is one salt.
    names = tuple(dict.fromkeys(data.pop("salts", ())))
    return WaterAtHand(
        source=source.water,
        salts=names,
        dilution=data.pop("dilution", None),
        from_private_well=source.from_private_well,
        **(data.pop("target", None) or {}),
        **said,
    )


@dataclass(frozen=True, slots=True)
class TreatmentAsked:
    """A water to treat, how much of it, and the mash it is for, if that is told."""

    at_hand: WaterAtHand
    volumes: BrewingWater
    mash: Mashed | None


class WaterTreatmentIn(WaterAtHandFields, InSchema):
    """Water to be treated for a brew.

    The `target` is what the mash water should be; without one nothing is added. `tolerance` is
    the miss, relative to what is wanted, that still counts as reached. Salts are named so that
    they mean one formula: calcium chloride needs its hydration. With `mash` its pH is forecast.
    """

    mash_water = volume_field("mash_l", required=True)
    sparge_water = volume_field("sparge_l", may_be_zero=True)
    mash = fields.Nested(MashedIn(), allow_none=True)

    @post_load
    def build(self, data: dict[str, Any], **_: Any) -> Any:
        """Build the question."""
        volumes = BrewingWater(data.pop("mash_l"), data.pop("sparge_l", 0.0))
        mash = data.pop("mash", None)
        return TreatmentAsked(at_hand(data), volumes, mash)


@dataclass(frozen=True, slots=True)
class WaterOfBrewer:
    """The water part of what is said beside recipe and setup."""

    at_hand: WaterAtHand
    mash_ph: PhWanted
    malts: tuple[KnownMalt, ...]


class BrewersWaterIn(WaterAtHandFields, InSchema):
    """The brewer's water and salts; the plan tells how much of it is wanted.

    `ph` says what is wanted of the mash's pH, `malts` what is known of the malts' acidity.
    """

    ph = fields.Nested(PhWantedIn())
    malts = fields.List(fields.Nested(KnownMaltIn()), validate=validate.Length(max=50))

    @post_load
    def build(self, data: dict[str, Any], **_: Any) -> Any:
        """Build what is said."""
        wanted, malts = data.pop("ph", None) or PhWanted(), tuple(data.pop("malts", ()))
        return WaterOfBrewer(at_hand(data), wanted, malts)


def _dose(attribute: str) -> Quantity:
    return Quantity(Dimension.SMALL_MASS, attribute=attribute, required=True)


class PlannedSaltOut(OutSchema):
    """One salt: the exact masses, and what the scale can do."""

    salt = fields.String(required=True)
    formula = fields.String(required=True)
    exact_mash = _dose("exact_mash_g")
    exact_sparge = _dose("exact_sparge_g")
    mash = _dose("mash_g")
    sparge = _dose("sparge_g")


class IonPartOut(OutSchema):
    """What one salt brings of an ion to a litre of mash water."""

    salt = fields.String(required=True)
    amount = Quantity(Dimension.CONCENTRATION, required=True)


class IonAccountOut(OutSchema):
    """Where an ion of the mash water comes from, per litre of it."""

    ion = fields.String(required=True)
    in_source = Quantity(Dimension.CONCENTRATION, required=True)
    from_water = Quantity(Dimension.CONCENTRATION, required=True)
    by_salt = fields.List(fields.Nested(IonPartOut()), required=True)
    in_mash = Quantity(Dimension.CONCENTRATION, required=True)


class AlkalinityPartOut(OutSchema):
    """What one salt brings of alkalinity to a litre of mash water."""

    salt = fields.String(required=True)
    amount = Quantity(Dimension.ALKALINITY, required=True)


class AlkalinityAccountOut(OutSchema):
    """Where the alkalinity of the mash water comes from, per litre of it."""

    in_source = Quantity(Dimension.ALKALINITY, required=True)
    from_water = Quantity(Dimension.ALKALINITY, required=True)
    by_salt = fields.List(fields.Nested(AlkalinityPartOut()), required=True)
    in_mash = Quantity(Dimension.ALKALINITY, required=True)


class WaterTreatmentOut(WithFindingsOut):
    """What to mix and to weigh; the waters are those of what is weighed.

    `from_water` in the accounts is after dilution. `miss` is the root mean square of the
    relative misses of the exact doses. Imbalances are of charges, positive less negative over
    all.
    """

    summary = SentenceField(required=True)
    source = fields.Nested(WaterContentOut(), required=True)
    mash_water = fields.Nested(WaterContentOut(), required=True)
    sparge_water = fields.Nested(WaterContentOut(), required=True, allow_none=True)
    kept_share = fraction_field("kept_share", required=True)
    source_volume = volume_field("source_l", required=True)
    dilution_volume = volume_field("dilution_l", required=True)
    salts = fields.List(fields.Nested(PlannedSaltOut()), required=True)
    ions = fields.List(fields.Nested(IonAccountOut()), required=True)
    alkalinity = fields.Nested(AlkalinityAccountOut(), required=True)
    reached = fields.Boolean(required=True)
    miss = fraction_field("miss", required=True)
    source_imbalance = fraction_field("source_imbalance", required=True)
    target_imbalance = fraction_field("target_imbalance", required=True, allow_none=True)

    @pre_dump
    def spread(self, treatment: WaterTreatment, **_: Any) -> dict[str, Any]:
        """Put the account of alkalinity apart: it has units of its own."""
        accounts = {line.content: line for line in treatment.account}
        return {
            **shallow(treatment),
            "ions": [
                {**_account(line, 1.0), "ion": name.removesuffix("_mg_l")}
                for name, line in accounts.items()
                if name != _ALKALINITY
            ],
            "alkalinity": _account(accounts[_ALKALINITY], alkalinity_as_caco3_mg_l(1.0)),
        }


@dataclass(frozen=True, slots=True)
class TreatedForMash:
    """A treatment, and the pH of the mash it is for."""

    treatment: WaterTreatment
    mash_ph: MashPhForecast | None


class TreatedForMashOut(OutSchema):
    """A water treatment; `mash_ph` is null where no mash was told."""

    treatment = fields.Nested(WaterTreatmentOut(), required=True)
    mash_ph = fields.Nested(MashPhForecastOut(), required=True, allow_none=True)


def _account(line: IonAccount, factor: float) -> dict[str, Any]:
    return {
        "in_source": factor * line.in_source,
        "from_water": factor * line.from_water,
        "by_salt": [
            {"salt": name, "amount": factor * amount} for name, amount in line.by_salt if amount
        ],
        "in_mash": factor * line.in_mash,
    }
