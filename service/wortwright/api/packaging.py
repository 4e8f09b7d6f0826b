"""Priming, bottles and kegs: calculations, nothing of which is stored."""

from typing import Any

from wortwright.api import calculation_examples as examples
from wortwright.api.auth import requires
from wortwright.api.blueprint import Blueprint
from wortwright.api.problem_table import BOTTLE_PRESSURE
from wortwright.api.problems import ProblemError
from wortwright.api.sentences import spoken
from wortwright.api.shapes.packaging import (
    BottlingIn,
    BottlingOut,
    KegPressureIn,
    KegPressureOut,
    PrimingIn,
    PrimingOut,
)
from wortwright.brewing.bottling import BottlePressureError
from wortwright.planning.cellar.kegs import KegPressure, keg_carbonation, keg_pressure
from wortwright.planning.cellar.packaging import (
    Bottling,
    BottlingAsked,
    Priming,
    PrimingAsked,
    plan_bottling,
    plan_priming,
    told_pressure,
)

blueprint = Blueprint(
    "packaging",
    __name__,
    url_prefix="/v1",
    description="Priming sugar, safe bottles and kegs; nothing is stored.",
)


@blueprint.route("/primings", methods=["POST"])
@requires("club", "brewer", "page")
@blueprint.arguments(PrimingIn(), example=examples.PRIMING)
@blueprint.response(200, PrimingOut())
def compute_priming(asked: PrimingAsked) -> Priming:
    """Weigh priming sugar for beer that has finished."""
    return plan_priming(asked)


@blueprint.route("/bottlings", methods=["POST"])
@requires("club", "brewer", "page")
@blueprint.arguments(BottlingIn(), example=examples.BOTTLING)
@blueprint.response(200, BottlingOut())
def compute_bottling(asked: BottlingAsked) -> Bottling:
    """Plan a bottling; one that its bottles may not bear is refused with its pressure."""
    try:
        return plan_bottling(asked)
    except BottlePressureError as error:
        detail = spoken(told_pressure(error))
        where = {
            "pointer": _blamed(error, asked),
            "detail": detail,
            "accepted": [f"at most {error.most_volumes:g} volumes in all"],
        }
        raise ProblemError(BOTTLE_PRESSURE, detail, errors=[where]) from error


@blueprint.route("/keg-pressures", methods=["POST"])
@requires("club", "brewer", "page")
@blueprint.arguments(KegPressureIn(), example=examples.KEG_PRESSURE)
@blueprint.response(200, KegPressureOut())
def compute_keg_pressure(asked: dict[str, Any]) -> KegPressure:
    """Give the pressure for a carbonation at a temperature, or the reverse."""
    if asked["carbonation"] is not None:
        return keg_pressure(asked["carbonation"], asked["temperature_c"])
    return keg_carbonation(asked["pressure_bar"], asked["temperature_c"])


def _blamed(error: BottlePressureError, asked: BottlingAsked) -> str:
    """Point at what makes the pressure: the bottle, the carbonation wanted, or what is left."""
    if error.most_volumes == 0.0:
        return "/bottle"
    return "/carbonation" if asked.carbonation > error.most_volumes else "/gravity"
