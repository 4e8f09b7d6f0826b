"""Scalings: the main job."""

from typing import Any
from uuid import UUID

from flask import Response

from wortwright.api import examples
from wortwright.api.answers import with_version
from wortwright.api.auth import caller, requires
from wortwright.api.blueprint import Blueprint
from wortwright.api.calendars import CONTENT_TYPE, calendar_of
from wortwright.api.conditional import required_version
from wortwright.api.extensions import database
from wortwright.api.idempotency import answer_stored, answer_unstored, work
from wortwright.api.paging import PageQuery, page_answer, page_schema
from wortwright.api.problem_table import INVALID_PARAMETER
from wortwright.api.problems import ProblemError
from wortwright.api.shapes.common import StoreQuery
from wortwright.api.shapes.scaling import (
    BatchIn,
    BatchOut,
    ScalingIn,
    ScalingListedOut,
    ScalingOut,
)
from wortwright.api.shapes.schedule import ScheduleOut, ScheduleQuery
from wortwright.planning.schedule import Schedule
from wortwright.usecases import scalings as use
from wortwright.usecases.plans import NoStartError, Scheduled, schedule_scaling

SCALING = ScalingOut()
SCALINGS = page_schema(ScalingListedOut())
CALENDAR = {"type": "string", "description": "An iCalendar object (RFC 5545)."}

blueprint = Blueprint(
    "scalings",
    __name__,
    url_prefix="/v1/scalings",
    description="Recipes refitted to a setup, a volume and a target.",
)


@blueprint.route("", methods=["POST"])
@requires("club", "brewer", "page")
@blueprint.arguments(StoreQuery(), location="query")
@blueprint.arguments(ScalingIn(), example=examples.SCALING)
@blueprint.stores(201, SCALING)
@blueprint.alt_response(200, schema=SCALING, description="Computed and not stored.")
def create_scaling(query: dict[str, bool], asked: use.ScalingAsked) -> Response:
    """Refit a recipe to a setup. The plan stays at its address with all it was computed from."""
    if not query["store"]:
        return answer_unstored(SCALING, use.compute_scaling(database(), caller(), asked))
    return answer_stored(
        lambda work: use.create_scaling(work, asked),
        SCALING,
        location=lambda made: f"/v1/scalings/{made.id}",
    )


@blueprint.route("", methods=["GET"])
@requires("club", "brewer", "page")
@blueprint.arguments(PageQuery(), location="query")
@blueprint.response(200, SCALINGS)
def list_scalings(query: dict[str, Any]) -> dict[str, Any]:
    """List the stored scalings that the key may read, newest first, without their plans."""
    asked = query["page"]
    return page_answer(use.list_scalings(database(), caller(), asked.after, asked.limit))


@blueprint.route("/batch", methods=["POST"])
@requires("club", "brewer", "page")
@blueprint.arguments(
    BatchIn(),
    example={
        "setup_id": examples.CLUB_OR_BREWER_ID,
        "recipe_ids": [examples.CLUB_OR_BREWER_ID],
        "target": examples.TARGET,
    },
)
@blueprint.response(200, BatchOut())
def compute_scalings(asked: use.BatchAsked) -> use.Batch:
    """Refit many stored recipes to one setup, and store nothing."""
    return use.compute_batch(database(), caller(), asked)


@blueprint.route("/<uuid:scaling_id>", methods=["GET"])
@requires("club", "brewer", "page", "link")
@blueprint.versioned
@blueprint.response(200, SCALING)
def get_scaling(scaling_id: UUID) -> Any:
    """Give a scaling as it was made."""
    return with_version(use.get_scaling(database(), caller(), scaling_id))


@blueprint.route("/<uuid:scaling_id>", methods=["DELETE"])
@requires("club", "brewer")
@blueprint.versioned
@blueprint.response(204)
def delete_scaling(scaling_id: UUID) -> None:
    """Delete a scaling. Sessions brewed from it stay."""
    use.delete_scaling(work(), scaling_id, required_version())


@blueprint.route("/<uuid:scaling_id>/schedule", methods=["GET"])
@requires("club", "brewer", "page", "link")
@blueprint.arguments(ScheduleQuery(), location="query")
@blueprint.response(200, ScheduleOut())
def get_schedule(query: dict[str, Any], scaling_id: UUID) -> Schedule:
    """Lay a scaling out in time, from the strike water to the first glass."""
    return _scheduled(query, scaling_id).schedule


@blueprint.route("/<uuid:scaling_id>/schedule.ics", methods=["GET"])
@requires("club", "brewer", "page", "link")
@blueprint.arguments(ScheduleQuery(), location="query")
@blueprint.response(200, CALENDAR, content_type=CONTENT_TYPE)
def get_schedule_calendar(query: dict[str, Any], scaling_id: UUID) -> Response:
    """Give the same schedule as an iCalendar file (RFC 5545)."""
    return Response(calendar_of(_scheduled(query, scaling_id)), content_type=CONTENT_TYPE)


def _scheduled(query: dict[str, Any], scaling_id: UUID) -> Scheduled:
    try:
        return schedule_scaling(database(), caller(), scaling_id, query["starts_at"])
    except NoStartError as error:
        entry = {"parameter": "starts_at", "detail": str(error), "accepted": ["a time"]}
        raise ProblemError(INVALID_PARAMETER, str(error), errors=[entry]) from error
