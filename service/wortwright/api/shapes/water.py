"""Water as a laboratory reports it, what is wanted of it, and what it holds."""

from dataclasses import dataclass
from typing import Any

from marshmallow import Schema, ValidationError, fields, post_load, pre_dump, validate

from wortwright.api.fields import Choice, StrictNumber, StrictText, refuse
from wortwright.api.quantity_field import Quantity
from wortwright.api.refusal import Refusal
from wortwright.api.schemas import InSchema, OutSchema
from wortwright.api.shapes.common import Rounded, StrictFlag, shallow
from wortwright.brewing.alkalinity import (
    alkalinity_as_caco3_mg_l,
    alkalinity_from_caco3,
    hardness_mg_l,
    residual_alkalinity_meq_l,
)
from wortwright.brewing.ions import PURE_WATER, Water
from wortwright.brewing.salts import UnknownSaltError, brought_by_g_per_l, salt
from wortwright.brewing.tables.salts import GoesIn, Salt, salts
from wortwright.brewing.water_report import (
    AmbiguousBasisError,
    Basis,
    ReportLine,
    ReportUnit,
    UnreadableReportError,
    line_meq_l,
    water_from_report,
)
from wortwright.brewing.water_report import Quantity as Reported
from wortwright.brewing.water_targets import IonTarget
from wortwright.planning.water.water_at_hand import Balance
from wortwright.planning.water.water_plan import sulfate_to_chloride
from wortwright.units import Dimension

MOST_REPORT_LINES = len(Reported)


def ion_field(ion: str, **kwargs: Any) -> Quantity:
    """Make the field of the concentration of an ion."""
    return Quantity(Dimension.CONCENTRATION, attribute=f"{ion}_mg_l", **kwargs)


class SaltName(StrictText):
    """A salt by key, name or exact formula; a key once it is read."""

    def __init__(self, *, for_water: bool, **kwargs: Any) -> None:
        self.for_water = for_water
        listed = ", ".join(f"{each.key} ({each.formula})" for each in self._accepted())
        published = {"description": f"One of {listed}. A formula is matched exactly."}
        super().__init__(max_length=60, metadata=published, **kwargs)

    def _accepted(self) -> tuple[Salt, ...]:
        return tuple(filter(self._takes, salts()))

    def _takes(self, found: Salt) -> bool:
        if self.for_water:
            return found.goes_in is GoesIn.WATER
        return brought_by_g_per_l(found).alkalinity_meq_l > 0.0

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> str:
        name = super()._deserialize(value, attr, data, **kwargs)
        accepted = [each.key for each in self._accepted()]
        try:
            found = salt(name)
        except UnknownSaltError as error:
            refuse(f"{error}.", accepted)
        if not self._takes(found):
            why = (
                "it acts in the mash only and is no salt to build a water from"
                if self.for_water
                else "it raises no pH"
            )
            refuse(f"{name!r} is refused here: {why}.", accepted)
        return found.key


class ReportLineIn(InSchema):
    """One line of a water report as it is printed.

    `basis` says what a mass is counted as. It must be said of sulfate, nitrate, alkalinity,
    carbonate and total hardness in mg/L or ppm: the readings differ by factors of 1.2 to 4.4.
    """

    of = Choice(Reported, required=True, attribute="quantity")
    value = StrictNumber(minimum=0.0, maximum=10_000.0, required=True)
    unit = Choice(ReportUnit, required=True)
    basis = Choice(Basis, allow_none=True)

    record = ReportLine

    @post_load
    def build(self, data: dict[str, Any], **_: Any) -> Any:
        """Build the line, if its unit and basis tell what it means."""
        line: ReportLine = super().build(data)
        try:
            line_meq_l(line)
        except AmbiguousBasisError as error:
            raise ValidationError({"basis": [Refusal(_sentence(error), error.accepted)]}) from error
        except UnreadableReportError as error:
            place = "unit" if line.basis is None else "basis"
            raise ValidationError({place: [Refusal(_sentence(error))]}) from error
        return line


@dataclass(frozen=True, slots=True)
class ReportedWater:
    """A water, and whether it comes from a well of one's own."""

    water: Water
    from_private_well: bool = False


class WaterReportIn(InSchema):
    """A water by its report. What is not named is taken as zero.

    Magnesium may be left out where total hardness and calcium are there.
    """

    report = fields.List(
        fields.Nested(ReportLineIn()),
        required=True,
        validate=validate.Length(min=1, max=MOST_REPORT_LINES),
    )
    from_private_well = StrictFlag()

    @post_load
    def build(self, data: dict[str, Any], **_: Any) -> Any:
        """Read the report, if it does not contradict itself."""
        return ReportedWater(_water(data["report"]), data.get("from_private_well", False))


class DilutionWaterIn(InSchema):
    """Water at hand to dilute with; without a report pure, as from reverse osmosis."""

    report = fields.List(
        fields.Nested(ReportLineIn()), validate=validate.Length(max=MOST_REPORT_LINES)
    )

    @post_load
    def build(self, data: dict[str, Any], **_: Any) -> Any:
        """Read the report."""
        lines = data.get("report")
        return _water(lines) if lines else PURE_WATER


def _wanted(ion: str) -> Quantity:
    return ion_field(ion, minimum=0.0, maximum=5000.0, allow_none=True)


class IonTargetIn(InSchema):
    """Ions wanted in the mash water; what is left out does not matter."""

    calcium = _wanted("calcium")
    magnesium = _wanted("magnesium")
    sodium = _wanted("sodium")
    potassium = _wanted("potassium")
    chloride = _wanted("chloride")
    sulfate = _wanted("sulfate")
    nitrate = _wanted("nitrate")
    alkalinity = Quantity(Dimension.ALKALINITY, minimum=0.0, maximum=4000.0, allow_none=True)

    @post_load
    def build(self, data: dict[str, Any], **_: Any) -> Any:
        """Build the target, if anything is wanted."""
        as_caco3 = data.pop("alkalinity", None)
        wanted = None if as_caco3 is None else alkalinity_from_caco3(as_caco3)
        target = IonTarget(**data, alkalinity_meq_l=wanted)
        if target == IonTarget():
            raise ValidationError([Refusal("Name at least one ion.", sorted(self.load_fields))])
        return target


class BalanceTargetIn(InSchema):
    """A balance of taste, and the alkalinity that calcium and magnesium may leave over."""

    sulfate_to_chloride = StrictNumber(minimum=0.1, maximum=10.0, required=True)
    residual_alkalinity = Quantity(
        Dimension.ALKALINITY, minimum=-250.0, maximum=500.0, required=True
    )

    @post_load
    def build(self, data: dict[str, Any], **_: Any) -> Any:
        """Build the balance in milliequivalents."""
        residual = alkalinity_from_caco3(data["residual_alkalinity"])
        return Balance(data["sulfate_to_chloride"], residual)


class WaterTargetIn(InSchema):
    """What is wanted of the mash water: either ions or a balance."""

    ions = fields.Nested(IonTargetIn(), allow_none=True)
    balance = fields.Nested(BalanceTargetIn(), allow_none=True)

    @post_load
    def build(self, data: dict[str, Any], **_: Any) -> Any:
        """Give the one that was said."""
        said = {name: value for name, value in data.items() if value is not None}
        if len(said) != 1:
            raise ValidationError([Refusal("Give either ions or a balance.", ("ions", "balance"))])
        return said


class WaterContentFields(Schema):
    """What a water holds."""

    calcium = ion_field("calcium", required=True)
    magnesium = ion_field("magnesium", required=True)
    sodium = ion_field("sodium", required=True)
    potassium = ion_field("potassium", required=True)
    chloride = ion_field("chloride", required=True)
    sulfate = ion_field("sulfate", required=True)
    nitrate = ion_field("nitrate", required=True)
    alkalinity = Quantity(Dimension.ALKALINITY, required=True)
    total_hardness = Quantity(Dimension.HARDNESS, required=True)
    residual_alkalinity = Quantity(Dimension.ALKALINITY, required=True)
    sulfate_to_chloride = Rounded(3, required=True, allow_none=True)


class WaterContentOut(WaterContentFields, OutSchema):
    """What a water holds; `sulfate_to_chloride` is null where both are too low to matter."""

    @pre_dump
    def derive(self, water: Water, **_: Any) -> dict[str, Any]:
        """Put beside the ions what follows from them."""
        return {
            **shallow(water),
            "alkalinity": alkalinity_as_caco3_mg_l(water.alkalinity_meq_l),
            "total_hardness": hardness_mg_l(water.calcium_mg_l, water.magnesium_mg_l),
            "residual_alkalinity": alkalinity_as_caco3_mg_l(residual_alkalinity_meq_l(water)),
            "sulfate_to_chloride": sulfate_to_chloride(water),
        }


def _water(lines: list[ReportLine]) -> Water:
    try:
        return water_from_report(lines)
    except UnreadableReportError as error:
        raise ValidationError({"report": [Refusal(_sentence(error))]}) from error


def _sentence(error: Exception) -> str:
    message = str(error)
    return f"{message[0].upper()}{message[1:]}."
