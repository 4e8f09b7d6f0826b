"""Everything of a brewer: out as one document, in elsewhere."""

from typing import Any
from uuid import UUID

from flask import Response, request

from wortwright.api import examples
from wortwright.api.auth import caller, requires
from wortwright.api.blueprint import Blueprint
from wortwright.api.extensions import database
from wortwright.api.idempotency import answer_stored
from wortwright.api.shapes.moving import BrewerExportIn, BrewerExportOut
from wortwright.api.shapes.people import BrewerOut
from wortwright.usecases import moving as use

BREWER = BrewerOut()
# A hundred sessions and their scalings; other bodies are far smaller.
MOST_BYTES = 16 * 1024 * 1024

blueprint = Blueprint(
    "moving", __name__, url_prefix="/v1/brewers", description="A brewer's data, to take along."
)


def take_large_bodies() -> None:
    """Let an import be larger than other requests."""
    request.max_content_length = MOST_BYTES


blueprint.before_request(take_large_bodies)


@blueprint.route("/<uuid:brewer_id>/export", methods=["GET"])
@requires("club", "brewer")
@blueprint.response(200, BrewerExportOut())
def export_brewer(brewer_id: UUID) -> Any:
    """Give everything of a brewer as one document: all but the keys."""
    return use.export_brewer(database(), caller(), brewer_id)


@blueprint.route("/import", methods=["POST"])
@requires("club")
@blueprint.arguments(BrewerExportIn(), example=examples.EXPORT)
@blueprint.stores(201, BREWER)
def import_brewer(export: use.BrewerExport) -> Response:
    """Take in everything of a brewer, under the ids it had; none of them may be taken here."""
    return answer_stored(
        lambda work: use.import_brewer(work, export),
        BREWER,
        location=lambda made: f"/v1/brewers/{made.id}",
    )
