"""Clubs: each caller sees one. They are made from the command line only."""

from typing import Any
from uuid import UUID

from wortwright.api.answers import with_version
from wortwright.api.auth import caller, requires
from wortwright.api.blueprint import Blueprint
from wortwright.api.extensions import database
from wortwright.api.paging import PageQuery, page_answer, page_schema
from wortwright.api.shapes.people import ClubOut
from wortwright.usecases import clubs as use

CLUB = ClubOut()
CLUBS = page_schema(CLUB)

blueprint = Blueprint(
    "clubs", __name__, url_prefix="/v1/clubs", description="The club that a key belongs to."
)


@blueprint.route("", methods=["GET"])
@requires("club", "brewer", "page")
@blueprint.arguments(PageQuery(), location="query")
@blueprint.response(200, CLUBS)
def list_clubs(query: dict[str, Any]) -> dict[str, Any]:
    """List the clubs that the key sees: its own."""
    return page_answer(use.list_clubs(database(), caller()))


@blueprint.route("/<uuid:club_id>", methods=["GET"])
@requires("club", "brewer", "page")
@blueprint.versioned
@blueprint.response(200, CLUB)
def get_club(club_id: UUID) -> Any:
    """Give the key's club."""
    return with_version(use.get_club(database(), caller(), club_id))
