"""Calibrations, and what a change of a session taught."""

from typing import Any

from marshmallow import Schema, fields, pre_dump

from wortwright.api import unit_choice
from wortwright.api.schemas import OutSchema
from wortwright.api.sentences import SentenceField
from wortwright.api.shapes.common import Id, StoredOut, flat, fraction_field
from wortwright.api.shapes.session import SessionOut
from wortwright.calibration.attenuation_fit import attenuation_by_yeast
from wortwright.calibration.posterior import Estimate, SuspectedChange
from wortwright.calibration.suspicion import in_words
from wortwright.store.calibrations import StoredCalibration
from wortwright.units import Dimension, from_base

# Name in the calibration -> name on the wire, and what it measures.
_CONSTANTS = {
    "conversion": ("conversion", Dimension.FRACTION),
    "true_absorption_l_per_kg": ("true_absorption", Dimension.VOLUME_PER_MASS),
    "absorption_l_per_kg": ("absorption", Dimension.VOLUME_PER_MASS),
    "dead_space_l": ("dead_space", Dimension.VOLUME),
    "bypass": ("bypass", Dimension.FRACTION),
    "washing": ("washing", Dimension.FRACTION),
    "boil_off_l_per_h": ("boil_off", Dimension.VOLUME_RATE),
    "kettle_loss_l": ("kettle_loss", Dimension.VOLUME),
    "fermenter_loss_l": ("fermenter_loss", Dimension.VOLUME),
    "mash_in_offset_c": ("mash_in_offset", Dimension.TEMPERATURE_DIFFERENCE),
    "mash_heat_loss_c_per_h": ("mash_heat_loss", Dimension.TEMPERATURE_RATE),
    "vessel_heat_kg": ("vessel_heat", Dimension.MASS),
    "attenuation_offset": ("attenuation_offset", Dimension.FRACTION),
}


class AmountOut(OutSchema):
    """A number with its unit; null where it is a plain number."""

    value = fields.Float(required=True)
    unit = fields.String(required=True, allow_none=True)


class EstimateFields(Schema):
    """A constant now, before any session, and how many sessions spoke of it."""

    mean = fields.Nested(AmountOut(), required=True)
    sd = fields.Nested(AmountOut(), required=True)
    prior_mean = fields.Nested(AmountOut(), required=True)
    prior_sd = fields.Nested(AmountOut(), required=True)
    session_count = fields.Integer(required=True)


class EstimateOut(EstimateFields, OutSchema):
    """One constant of a setup: now, before any session, and how many sessions spoke of it."""

    name = fields.String(required=True)

    @pre_dump
    def with_units(self, named: tuple[str, Estimate], **_: Any) -> dict[str, Any]:
        """Write the numbers in the units of what the constant measures."""
        name, estimate = named
        wire_name, dimension = _CONSTANTS.get(name, (name, None))
        return {"name": wire_name, **_in_units(estimate, dimension)}


class YeastAttenuationOut(EstimateFields, OutSchema):
    """Apparent attenuation of a yeast in this setup, in an ordinary wort mashed at 67 degC."""

    yeast = fields.String(required=True)

    @pre_dump
    def with_units(self, named: tuple[str, Estimate], **_: Any) -> dict[str, Any]:
        """Write the numbers in the unit of an attenuation."""
        yeast, estimate = named
        return {"yeast": yeast, **_in_units(estimate, Dimension.FRACTION)}


class SeenRangeOut(OutSchema):
    """The least and most that the sessions tried; a forecast outside it extrapolates."""

    grain_load_kg_per_l = fields.List(fields.Float(), required=True)
    potential_kg_per_l = fields.List(fields.Float(), required=True)


class SuspectOut(OutSchema):
    """A session that is not believed in full: its weight (1 is full), and why."""

    session_id = Id(required=True)
    weight = fields.Float(required=True)
    reason = SentenceField(required=True)


class SuspectedChangeOut(OutSchema):
    """A change of the setup that nobody wrote down: since which brew, and how large it looks.

    `constant` is what seems to have changed; `evidence` how many times likelier the change
    makes the brews than mere luck.
    """

    session_id = Id(required=True)
    on = fields.Date(required=True)
    constant = fields.String(required=True)
    efficiency_change = fields.Nested(AmountOut(), required=True)
    efficiency_change_sd = fields.Nested(AmountOut(), required=True)
    evidence = fields.Float(required=True)
    reason = fields.String(required=True)

    @pre_dump
    def with_words(self, change: SuspectedChange, **_: Any) -> dict[str, Any]:
        """Write the change in the units of the answer, and in words."""
        return {
            "session_id": change.session_id,
            "on": change.on,
            "constant": _CONSTANTS[change.constant][0],
            "efficiency_change": _amount(change.efficiency_change, Dimension.FRACTION),
            "efficiency_change_sd": _amount(change.efficiency_change_sd, Dimension.FRACTION),
            "evidence": change.evidence,
            "reason": in_words(change),
        }


class CalibrationOut(StoredOut):
    """What the sessions say of a setup. Each change makes the next number; 0 rests on none."""

    setup_id = Id(required=True)
    setup_version = fields.Integer(required=True)
    number = fields.Integer(required=True)
    session_ids = fields.List(Id(), required=True)
    session_count = fields.Integer(required=True)
    average_efficiency = fraction_field("average_efficiency", required=True, allow_none=True)
    constants = fields.List(fields.Nested(EstimateOut()), required=True)
    attenuation_by_yeast = fields.List(fields.Nested(YeastAttenuationOut()), required=True)
    seen = fields.Nested(SeenRangeOut(), required=True, allow_none=True)
    suspects = fields.List(fields.Nested(SuspectOut()), required=True, attribute="findings")
    suspected_changes = fields.List(
        fields.Nested(SuspectedChangeOut()), required=True, attribute="suspected"
    )

    @pre_dump
    def flatten(self, stored: StoredCalibration, **_: Any) -> dict[str, Any]:
        """Put the facts of the row and what is known side by side."""
        facts = flat(stored)
        return {
            **facts,
            "constants": list(facts["constants"].items()),
            "attenuation_by_yeast": attenuation_by_yeast(facts["attenuation"]),
        }


class LearntOut(OutSchema):
    """A session after a change of its state, and what that changed.

    `calibration_before` is null where the change taught nothing.
    """

    session = fields.Nested(SessionOut(), required=True)
    calibration = fields.Nested(CalibrationOut(), required=True, attribute="after")
    calibration_before = fields.Nested(
        CalibrationOut(), required=True, allow_none=True, attribute="before"
    )


def _in_units(estimate: Estimate, dimension: Dimension | None) -> dict[str, Any]:
    amounts = ("mean", "sd", "prior_mean", "prior_sd")
    written = {name: _amount(getattr(estimate, name), dimension) for name in amounts}
    return {**written, "session_count": estimate.session_count}


def _amount(value: float, dimension: Dimension | None) -> dict[str, Any]:
    if dimension is None:
        return {"value": value, "unit": None}
    unit = unit_choice.unit_of(dimension)
    return {"value": float(f"{from_base(value, unit, dimension):.6g}"), "unit": unit}


def constant_name(name: str) -> str:
    """Give the name of a constant on the wire."""
    return _CONSTANTS.get(name, (name, None))[0]


def constant_amount(name: str, value: float) -> dict[str, Any]:
    """Write a figure of a constant in the units of this answer."""
    return _amount(value, _CONSTANTS.get(name, (name, None))[1])
