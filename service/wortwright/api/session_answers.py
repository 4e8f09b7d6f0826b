"""What one brew says."""

from typing import Any
from uuid import UUID

from wortwright.api.auth import caller, requires
from wortwright.api.blueprint import Blueprint
from wortwright.api.extensions import database
from wortwright.api.shapes.session_answers import (
    LessonOut,
    OtherSessionQuery,
    ReconciliationOut,
    SessionComparisonOut,
)
from wortwright.usecases import session_answers as use

blueprint = Blueprint(
    "session_answers",
    __name__,
    url_prefix="/v1/sessions/<uuid:session_id>",
    description="What one brew says: reconciled, beside another, and what it taught.",
)


@blueprint.route("/reconciliation", methods=["GET"])
@requires("club", "brewer", "page")
@blueprint.response(200, ReconciliationOut())
@blueprint.alt_response(409, response="CONFLICT")
def reconcile_session(session_id: UUID) -> use.ReconciledSession:
    """Balance the readings of a brew; name what disagrees, and tell where extract was lost."""
    return use.reconcile_session(database(), caller(), session_id)


@blueprint.route("/comparison", methods=["GET"])
@requires("club", "brewer", "page")
@blueprint.arguments(OtherSessionQuery(), location="query")
@blueprint.response(200, SessionComparisonOut())
@blueprint.alt_response(409, response="CONFLICT")
def compare_sessions(query: dict[str, Any], session_id: UUID) -> use.ComparedSessions:
    """Set a brew beside another, figure by figure: what is real, what within the noise."""
    return use.compare_with(database(), caller(), session_id, query["other_id"])


@blueprint.route("/lesson", methods=["GET"])
@requires("club", "brewer", "page")
@blueprint.response(200, LessonOut())
@blueprint.alt_response(409, response="CONFLICT")
def get_lesson(session_id: UUID) -> use.SessionLesson:
    """Tell what changed in what is known of a setup when a brew was last counted."""
    return use.lesson_from(database(), caller(), session_id)
