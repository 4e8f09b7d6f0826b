"""The guide, served: pages for a person that need neither key nor network."""

from flask import Blueprint, Response, abort, redirect

from wortwright.pages import guide

_POLICY = (
    "default-src 'none'; style-src 'self'; img-src 'self'; base-uri 'none'; form-action 'none'; "
    "frame-ancestors 'none'"
)
_NAMES = frozenset(guide.names())

blueprint = Blueprint("guide", __name__, url_prefix="/guide")


@blueprint.get("")
def front() -> Response:
    """Lead to the first page: addresses in the guide are relative to its folder."""
    return redirect(f"/guide/{guide.FIRST}")  # type: ignore[return-value]


@blueprint.get("/<path:name>")
def guide_file(name: str) -> Response:
    """Give a file of the guide."""
    if name not in _NAMES:
        abort(404)
    response = Response(guide.written(name), content_type=guide.content_type(name))
    response.headers["Content-Security-Policy"] = _POLICY
    response.headers["Cache-Control"] = "public, max-age=300"
    return response
