"""Keys: minted, listed and revoked by a club key."""

from typing import Any
from uuid import UUID

from flask import Response

from wortwright.api import examples
from wortwright.api.answers import with_version
from wortwright.api.auth import caller, requires
from wortwright.api.blueprint import Blueprint
from wortwright.api.extensions import database, settings
from wortwright.api.idempotency import answer_stored, work
from wortwright.api.paging import PageQuery, page_answer, page_schema
from wortwright.api.shapes.people import KeyIn, KeyOut, NewKeyOut
from wortwright.usecases import keys as use

KEY = KeyOut()
KEYS = page_schema(KEY)
NEW_KEY = NewKeyOut()

blueprint = Blueprint(
    "keys", __name__, url_prefix="/v1/keys", description="The keys of a club and its brewers."
)


@blueprint.route("", methods=["POST"])
@requires("club")
@blueprint.arguments(KeyIn(), example=examples.KEY)
@blueprint.stores(201, NEW_KEY)
def create_key(asked: use.KeyAsked) -> Response:
    """Mint a key. Its text is in this answer and never again."""
    return answer_stored(
        lambda work: use.create_key(work, asked, settings().pepper),
        NEW_KEY,
        location=lambda made: f"/v1/keys/{made.stored.id}",
        once=("text",),
    )


@blueprint.route("", methods=["GET"])
@requires("club")
@blueprint.arguments(PageQuery(), location="query")
@blueprint.response(200, KEYS)
def list_keys(query: dict[str, Any]) -> dict[str, Any]:
    """List the keys of the club, the revoked ones too."""
    asked = query["page"]
    return page_answer(use.list_keys(database(), caller(), asked.after, asked.limit))


@blueprint.route("/<uuid:key_id>", methods=["GET"])
@requires("club")
@blueprint.versioned
@blueprint.response(200, KEY)
def get_key(key_id: UUID) -> Any:
    """Give a key, without its text."""
    return with_version(use.get_key(database(), caller(), key_id))


@blueprint.route("/<uuid:key_id>", methods=["DELETE"])
@requires("club")
@blueprint.response(204)
def revoke_key(key_id: UUID) -> None:
    """Revoke a key, whatever its version: it opens nothing from now on, but stays listed."""
    use.revoke_key(work(), key_id)
