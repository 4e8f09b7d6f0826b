"""The brewers of a club."""

from typing import Any
from uuid import UUID

from flask import Response

from wortwright.api import examples
from wortwright.api.answers import with_version
from wortwright.api.auth import caller, requires
from wortwright.api.blueprint import Blueprint
from wortwright.api.conditional import required_version
from wortwright.api.extensions import database
from wortwright.api.idempotency import answer_stored, work
from wortwright.api.paging import PageQuery, page_answer, page_schema
from wortwright.api.shapes.people import BrewerIn, BrewerOut
from wortwright.records.brewer import Brewer
from wortwright.usecases import brewers as use

BREWER = BrewerOut()
BREWERS = page_schema(BREWER)

blueprint = Blueprint(
    "brewers", __name__, url_prefix="/v1/brewers", description="The brewers of a club."
)


@blueprint.route("", methods=["POST"])
@requires("club")
@blueprint.arguments(BrewerIn(), example=examples.BREWER)
@blueprint.stores(201, BREWER)
def create_brewer(brewer: Brewer) -> Response:
    """Take a brewer into the club."""
    return answer_stored(
        lambda work: use.create_brewer(work, brewer),
        BREWER,
        location=lambda made: f"/v1/brewers/{made.id}",
    )


@blueprint.route("", methods=["GET"])
@requires("club", "brewer", "page")
@blueprint.arguments(PageQuery(), location="query")
@blueprint.response(200, BREWERS)
def list_brewers(query: dict[str, Any]) -> dict[str, Any]:
    """List the brewers that the key sees: the club's, or its own."""
    asked = query["page"]
    return page_answer(use.list_brewers(database(), caller(), asked.after, asked.limit))


@blueprint.route("/<uuid:brewer_id>", methods=["GET"])
@requires("club", "brewer", "page")
@blueprint.versioned
@blueprint.response(200, BREWER)
def get_brewer(brewer_id: UUID) -> Any:
    """Give a brewer."""
    return with_version(use.get_brewer(database(), caller(), brewer_id))


@blueprint.route("/<uuid:brewer_id>", methods=["PUT"])
@requires("club", "brewer")
@blueprint.versioned
@blueprint.arguments(BrewerIn(), example=examples.BREWER)
@blueprint.response(200, BREWER)
def replace_brewer(brewer: Brewer, brewer_id: UUID) -> Any:
    """Change a brewer's name or units."""
    return with_version(use.replace_brewer(work(), brewer_id, required_version(), brewer))


@blueprint.route("/<uuid:brewer_id>", methods=["DELETE"])
@requires("club", "brewer")
@blueprint.versioned
@blueprint.response(204)
def delete_brewer(brewer_id: UUID) -> None:
    """Delete a brewer with all setups, recipes, sessions, scalings and keys of theirs."""
    use.delete_brewer(work(), brewer_id, required_version())
