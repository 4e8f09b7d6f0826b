"""Calibrations: read only; sessions make them."""

from typing import Any
from uuid import UUID

from wortwright.api.answers import with_version
from wortwright.api.auth import caller, requires
from wortwright.api.blueprint import Blueprint
from wortwright.api.extensions import database
from wortwright.api.paging import PageQuery, page_answer, page_schema
from wortwright.api.shapes.learnt import CalibrationOut
from wortwright.api.shapes.report import CalibrationReportOut, ForecastAtOut, ForecastQuery
from wortwright.usecases import calibrations as use

CALIBRATION = CalibrationOut()
CALIBRATIONS = page_schema(CALIBRATION)

blueprint = Blueprint(
    "calibrations",
    __name__,
    url_prefix="/v1/setups/<uuid:setup_id>",
    description="What the sessions say of a setup, now and before.",
)


@blueprint.route("/calibration", methods=["GET"])
@requires("club", "brewer", "page")
@blueprint.response(200, CALIBRATION)
def get_present_calibration(setup_id: UUID) -> Any:
    """Give what is known of a setup now."""
    return use.get_latest_calibration(database(), caller(), setup_id)


@blueprint.route("/calibration/report", methods=["GET"])
@requires("club", "brewer", "page")
@blueprint.response(200, CalibrationReportOut())
def report_calibration(setup_id: UUID) -> Any:
    """Tell what the knowledge of a setup is worth: curve, sessions, and errors of its forecasts."""
    return use.report_calibration(database(), caller(), setup_id)


@blueprint.route("/calibration/forecast", methods=["GET"])
@requires("club", "brewer", "page")
@blueprint.arguments(ForecastQuery(), location="query")
@blueprint.response(200, ForecastAtOut())
def forecast_efficiency(query: dict[str, Any], setup_id: UUID) -> use.ForecastAt:
    """Forecast mash efficiency at one grain load and potential, with what makes its spread."""
    load, potential = query["grain_load_kg_per_l"], query["potential_kg_per_l"]
    return use.forecast_at(database(), caller(), setup_id, load, potential)


@blueprint.route("/calibrations", methods=["GET"])
@requires("club", "brewer", "page")
@blueprint.arguments(PageQuery(), location="query")
@blueprint.response(200, CALIBRATIONS)
def list_calibrations(query: dict[str, Any], setup_id: UUID) -> dict[str, Any]:
    """List everything that was ever known of a setup, newest first."""
    asked = query["page"]
    found = use.list_calibrations(database(), caller(), setup_id, asked.after, asked.limit)
    return page_answer(found)


@blueprint.route("/calibrations/<int:number>", methods=["GET"])
@requires("club", "brewer", "page")
@blueprint.versioned
@blueprint.response(200, CALIBRATION)
def get_calibration(setup_id: UUID, number: int) -> Any:
    """Give one calibration of a setup by its number."""
    return with_version(use.get_calibration(database(), caller(), setup_id, number))
