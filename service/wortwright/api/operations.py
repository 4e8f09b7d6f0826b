"""What an operator and a newcomer need: health, metrics, the contract, its pages."""

from importlib.resources import files
from ipaddress import ip_address

from flask import Blueprint, Response, abort, current_app, render_template, request
from flask import send_from_directory as send

from wortwright.api import contract, observe, readiness
from wortwright.api.extensions import database, settings
from wortwright.api.problem_table import PROBLEM_TYPES, UNAVAILABLE
from wortwright.api.problems import ProblemError
from wortwright.warming import is_warm

CONTRACT_PATH = "/v1/openapi.yaml"

_DOCS_POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; "
    "img-src 'self' data:; connect-src 'self'; base-uri 'none'; form-action 'none'; "
    "frame-ancestors 'none'"
)
_DOCS_FILES = frozenset(
    {"swagger-ui.css", "swagger-ui-bundle.js", "index.css", "favicon-32x32.png"}
)

blueprint = Blueprint("operations", __name__, template_folder="templates")


@blueprint.get("/livez")
def livez() -> dict[str, str]:
    """Tell that the process answers."""
    return {"status": "alive"}


@blueprint.get("/readyz")
def readyz() -> dict[str, str | None]:
    """Tell that requests can be served: the database has the expected tables, fits can begin."""
    if not is_warm():
        raise ProblemError(UNAVAILABLE, "What fits calibrations is being loaded.")
    if not readiness.of(current_app).is_migrated():
        raise ProblemError(UNAVAILABLE, "The database has not been migrated to this version.")
    return {"status": "ready", "journal_mode": database().journal_mode}


@blueprint.get("/metrics")
def metrics() -> Response:
    """Give the counters to those who may read them; to others the page does not exist."""
    address = ip_address(request.remote_addr or "0.0.0.0")
    if not any(address in network for network in settings().metrics_from):
        abort(404)
    return Response(
        observe.exposition(settings()), content_type="text/plain; version=0.0.4; charset=utf-8"
    )


@blueprint.get(CONTRACT_PATH)
def openapi() -> Response:
    """Give the contract."""
    text: str | None = current_app.extensions.get("wortwright.contract")
    if text is None:
        text = contract.openapi_yaml(current_app)
        current_app.extensions["wortwright.contract"] = text
    return Response(text, content_type="application/yaml")


@blueprint.get("/docs")
def docs() -> Response:
    """Show the contract as a page; nothing is fetched from elsewhere."""
    return _page("docs.html", _DOCS_POLICY)


@blueprint.get("/docs/start.js")
def docs_start() -> Response:
    """Start the page that shows the contract."""
    script = (
        f'SwaggerUIBundle({{url: "{CONTRACT_PATH}", dom_id: "#contract", validatorUrl: null, '
        "deepLinking: true, persistAuthorization: false});\n"
    )
    return Response(script, content_type="text/javascript; charset=utf-8")


@blueprint.get("/docs/<name>")
def docs_file(name: str) -> Response:
    """Give a file of the page that shows the contract."""
    if name not in _DOCS_FILES:
        abort(404)
    return send(str(files("flask_swagger_ui") / "dist"), name, max_age=86400)


@blueprint.get("/problems")
def problem_types() -> Response:
    """List every kind of problem the service answers with."""
    return _page("problems.html", None, kinds=PROBLEM_TYPES)


@blueprint.get("/problems/<slug>")
def problem_type(slug: str) -> Response:
    """Say what one kind of problem means."""
    kinds = [kind for kind in PROBLEM_TYPES if kind.slug == slug]
    if not kinds:
        abort(404)
    return _page("problems.html", None, kinds=kinds)


def _page(template: str, policy: str | None, **values: object) -> Response:
    response = Response(
        render_template(template, **values), content_type="text/html; charset=utf-8"
    )
    if policy is not None:
        response.headers["Content-Security-Policy"] = policy
    return response
