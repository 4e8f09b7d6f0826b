"""Pages: what a person looks at, opened by a link or by any other key."""

from typing import Any
from uuid import UUID

from flask import Response

from wortwright.api import unit_choice
from wortwright.api.auth import caller, requires
from wortwright.api.blueprint import Blueprint
from wortwright.api.extensions import database
from wortwright.api.page_answers import HTML, PAGE, choose_units, page, refusal_as_page
from wortwright.api.schemas import InSchema
from wortwright.api.shapes.brew_day import KettleLogOut
from wortwright.api.shapes.change import ChangeOut
from wortwright.api.shapes.common import Id
from wortwright.api.shapes.learnt import CalibrationOut
from wortwright.api.shapes.plan import PlanOut
from wortwright.api.shapes.report import CalibrationReportOut, SessionPointOut
from wortwright.api.shapes.scaling import ScalingOut
from wortwright.pages.brew_sheet import brew_sheet
from wortwright.pages.calibration_page import calibration_chart, calibration_page
from wortwright.units import UnitSystem
from wortwright.usecases import sheets
from wortwright.usecases.calibration_page import Shown, show_calibration

SVG = "image/svg+xml"
CHART = {"type": "string", "description": "A drawing (SVG)."}

blueprint = Blueprint(
    "pages",
    __name__,
    url_prefix="/v1",
    description="What a person looks at: the brew sheet, the kettle log, the calibration.",
)
blueprint.after_request(refusal_as_page)


class NextBrewQuery(InSchema):
    """Which brew to mark."""

    scaling_id = Id(
        load_default=None,
        metadata={"description": "A scaling for this setup, to be marked as the next brew."},
    )


@blueprint.route("/scalings/<uuid:scaling_id>/sheet", methods=["GET"])
@requires("club", "brewer", "page", "link")
@blueprint.response(200, PAGE, content_type=HTML)
def get_brew_sheet(scaling_id: UUID) -> Response:
    """Give the brew sheet of a scaling: the day in order, with room to write, to be printed."""
    sheet = sheets.get_sheet(database(), caller(), scaling_id)
    choose_units(sheet.units)
    scaling = ScalingOut().dump(sheet.scaling)
    what_ifs = KettleLogOut(many=True).dump(sheet.what_ifs)
    return page(lambda nonce: brew_sheet(scaling, what_ifs=what_ifs, nonce=nonce))


@blueprint.route("/setups/<uuid:setup_id>/calibration/page", methods=["GET"])
@requires("club", "brewer", "page", "link")
@blueprint.arguments(NextBrewQuery(), location="query")
@blueprint.response(200, PAGE, content_type=HTML)
def get_calibration_page(query: dict[str, Any], setup_id: UUID) -> Response:
    """Show what is known of a setup: its curve and sessions, its record, its constants."""
    known, system = _known(setup_id, query["scaling_id"])
    return page(lambda nonce: calibration_page(known, system, nonce=nonce))


@blueprint.route("/setups/<uuid:setup_id>/calibration/chart.svg", methods=["GET"])
@requires("club", "brewer", "page", "link")
@blueprint.arguments(NextBrewQuery(), location="query")
@blueprint.response(200, CHART, content_type=SVG)
def get_calibration_chart(query: dict[str, Any], setup_id: UUID) -> Response:
    """Draw mash efficiency over grain load: the curve with its band, the sessions as points."""
    return Response(calibration_chart(*_known(setup_id, query["scaling_id"])), content_type=SVG)


def _known(setup_id: UUID, scaling_id: UUID | None) -> tuple[dict[str, Any], UnitSystem]:
    """Write what is known in the units of who looks at it."""
    shown = show_calibration(database(), caller(), setup_id, scaling_id)
    choose_units(shown.units)
    return _written(shown), unit_choice.chosen() or UnitSystem.METRIC


def _written(shown: Shown) -> dict[str, Any]:
    plan = None if shown.next_brew is None else PlanOut().dump(shown.next_brew.plan)
    return {
        "setup_name": shown.setup.name,
        "changes": [ChangeOut().dump(change) for change in shown.setup.changes],
        "calibration": CalibrationOut().dump(shown.reported.calibration),
        "report": CalibrationReportOut().dump(shown.reported),
        "brewed_at": {key: at.isoformat() for key, at in shown.brewed_at.items()},
        "trusted": shown.trusted,
        "set_aside": [
            {
                "point": None if one.point is None else SessionPointOut().dump(one.point),
                "brewed_at": one.brewed_at.isoformat(),
                "because": one.because,
            }
            for one in shown.set_aside
        ],
        "next_brew": plan,
    }
