"""Setups."""

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
from wortwright.api.shapes.change import ChangeIn
from wortwright.api.shapes.setup import NewSetup, NewSetupIn, SetupIn, SetupOut
from wortwright.records.setup import Change, Setup
from wortwright.usecases import setups as use

SETUP = SetupOut()
SETUPS = page_schema(SETUP)

blueprint = Blueprint(
    "setups",
    __name__,
    url_prefix="/v1/setups",
    description="Brewing systems: vessels, lauter method and what is believed of them.",
)


@blueprint.route("", methods=["POST"])
@requires("club", "brewer")
@blueprint.arguments(
    NewSetupIn(), example={**examples.SETUP, "brewer_id": examples.CLUB_OR_BREWER_ID}
)
@blueprint.stores(201, SETUP)
def create_setup(new: NewSetup) -> Response:
    """Store a setup. It is calibrated at once, from what was said of it."""
    return answer_stored(
        lambda work: use.create_setup(work, new.brewer_id, new.setup),
        SETUP,
        location=lambda made: f"/v1/setups/{made.id}",
    )


@blueprint.route("", methods=["GET"])
@requires("club", "brewer", "page")
@blueprint.arguments(PageQuery(), location="query")
@blueprint.response(200, SETUPS)
def list_setups(query: dict[str, Any]) -> dict[str, Any]:
    """List the setups that the key may read, newest first."""
    asked = query["page"]
    return page_answer(use.list_setups(database(), caller(), asked.after, asked.limit))


@blueprint.route("/<uuid:setup_id>", methods=["GET"])
@requires("club", "brewer", "page")
@blueprint.versioned
@blueprint.response(200, SETUP)
def get_setup(setup_id: UUID) -> Any:
    """Give a setup."""
    return with_version(use.get_setup(database(), caller(), setup_id))


@blueprint.route("/<uuid:setup_id>", methods=["PUT"])
@requires("club", "brewer")
@blueprint.versioned
@blueprint.arguments(SetupIn(), example=examples.SETUP)
@blueprint.response(200, SETUP)
def replace_setup(setup: Setup, setup_id: UUID) -> Any:
    """Describe a setup anew, and calibrate it anew from that and its closed sessions."""
    return with_version(use.replace_setup(work(), setup_id, required_version(), setup))


@blueprint.route("/<uuid:setup_id>/changes", methods=["POST"])
@requires("club", "brewer")
@blueprint.arguments(ChangeIn(), example=examples.CHANGE)
@blueprint.stores(201, SETUP)
def record_change(change: Change, setup_id: UUID) -> Response:
    """Record a change of mill, bag, kettle or method: an era begins, and the setup learns anew.

    What was known before is kept, less sure of what the change may have altered.
    """
    return answer_stored(
        lambda work: use.record_change(work, setup_id, change),
        SETUP,
        location=lambda changed: f"/v1/setups/{changed.id}",
    )


@blueprint.route("/<uuid:setup_id>", methods=["DELETE"])
@requires("club", "brewer")
@blueprint.versioned
@blueprint.response(204)
@blueprint.alt_response(409, response="CONFLICT")
def delete_setup(setup_id: UUID) -> None:
    """Delete a setup that has no sessions, with its calibrations."""
    use.delete_setup(work(), setup_id, required_version())
