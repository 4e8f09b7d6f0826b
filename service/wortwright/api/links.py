"""Links: keys inside an address, each of which opens one thing."""

from typing import Any
from uuid import UUID

from flask import Response

from wortwright.api import examples
from wortwright.api.auth import caller, requires
from wortwright.api.blueprint import Blueprint
from wortwright.api.extensions import database, settings
from wortwright.api.idempotency import answer_stored
from wortwright.api.keys import KEYS
from wortwright.api.paging import PageQuery, page_answer
from wortwright.api.shapes.people import LinkIn, NewLinkOut
from wortwright.usecases import links as use
from wortwright.usecases.links import LinkAsked, Opens

NEW_LINK = NewLinkOut()

blueprint = Blueprint(
    "links",
    __name__,
    url_prefix="/v1",
    description="Addresses that open one thing to whoever holds them; revoked like any key.",
)


@blueprint.route("/scalings/<uuid:scaling_id>/links", methods=["POST"])
@requires("club")
@blueprint.arguments(LinkIn(), example=examples.LINK)
@blueprint.stores(201, NEW_LINK)
def create_scaling_link(asked: LinkAsked, scaling_id: UUID) -> Response:
    """Mint a link that reads a scaling, for 30 days at most."""
    return _mint(Opens.SCALING, scaling_id, asked)


@blueprint.route("/scalings/<uuid:scaling_id>/links", methods=["GET"])
@requires("club")
@blueprint.arguments(PageQuery(), location="query")
@blueprint.response(200, KEYS)
def list_scaling_links(query: dict[str, Any], scaling_id: UUID) -> dict[str, Any]:
    """List the links to a scaling, the revoked ones too."""
    return _list(Opens.SCALING, scaling_id, query)


@blueprint.route("/sessions/<uuid:session_id>/links", methods=["POST"])
@requires("club")
@blueprint.arguments(LinkIn(), example=examples.LINK)
@blueprint.stores(201, NEW_LINK)
def create_session_link(asked: LinkAsked, session_id: UUID) -> Response:
    """Mint a link that reads a session and adds readings to it, for 48 hours at most."""
    return _mint(Opens.SESSION, session_id, asked)


@blueprint.route("/sessions/<uuid:session_id>/links", methods=["GET"])
@requires("club")
@blueprint.arguments(PageQuery(), location="query")
@blueprint.response(200, KEYS)
def list_session_links(query: dict[str, Any], session_id: UUID) -> dict[str, Any]:
    """List the links to a session, the revoked ones too."""
    return _list(Opens.SESSION, session_id, query)


@blueprint.route("/setups/<uuid:setup_id>/links", methods=["POST"])
@requires("club")
@blueprint.arguments(LinkIn(), example=examples.LINK)
@blueprint.stores(201, NEW_LINK)
def create_setup_link(asked: LinkAsked, setup_id: UUID) -> Response:
    """Mint a link that shows the calibration of a setup, for 30 days at most."""
    return _mint(Opens.SETUP, setup_id, asked)


@blueprint.route("/setups/<uuid:setup_id>/links", methods=["GET"])
@requires("club")
@blueprint.arguments(PageQuery(), location="query")
@blueprint.response(200, KEYS)
def list_setup_links(query: dict[str, Any], setup_id: UUID) -> dict[str, Any]:
    """List the links to a setup, the revoked ones too."""
    return _list(Opens.SETUP, setup_id, query)


def _mint(opens: Opens, thing_id: UUID, asked: LinkAsked) -> Response:
    return answer_stored(
        lambda work: use.create_link(work, opens, thing_id, asked, settings().pepper),
        NEW_LINK,
        location=lambda made: f"/v1/keys/{made.stored.id}",
        once=("text", "address", "page"),
    )


def _list(opens: Opens, thing_id: UUID, query: dict[str, Any]) -> dict[str, Any]:
    asked = query["page"]
    found = use.list_links(database(), caller(), opens, thing_id, asked.after, asked.limit)
    return page_answer(found)
