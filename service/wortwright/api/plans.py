"""Plans beside a scaling: audits, vessel chains, small beers, styles; nothing is stored."""

from typing import Any
from uuid import UUID

from wortwright.api import plan_examples as examples
from wortwright.api.auth import caller, requires
from wortwright.api.blueprint import Blueprint
from wortwright.api.extensions import database
from wortwright.api.shapes.audit import FormulaQuery, RecipeAuditIn, RecipeAuditOut, StylesOut
from wortwright.api.shapes.vessel_chain import (
    SmallBeerIn,
    SmallBeerOut,
    VesselChainIn,
    VesselChainOut,
)
from wortwright.brewing.tables.styles import styles
from wortwright.planning.audit import RecipeAudit
from wortwright.planning.spent_grain import SmallBeer
from wortwright.planning.vessel_chain import VesselChain
from wortwright.usecases import plans as use

blueprint = Blueprint(
    "plans",
    __name__,
    url_prefix="/v1",
    description="What a recipe and a setup say beside a scaling; nothing is stored.",
)


@blueprint.route("/recipe-audits", methods=["POST"])
@requires("club", "brewer", "page")
@blueprint.arguments(RecipeAuditIn(), example=examples.RECIPE_AUDIT)
@blueprint.response(200, RecipeAuditOut())
def compute_recipe_audit(asked: dict[str, Any]) -> RecipeAudit:
    """Hold a recipe against its own numbers, and against the style it names."""
    return use.compute_recipe_audit(asked["recipe"], asked["bitterness_formula"])


@blueprint.route("/recipes/<uuid:recipe_id>/audit", methods=["GET"])
@requires("club", "brewer", "page")
@blueprint.arguments(FormulaQuery(), location="query")
@blueprint.response(200, RecipeAuditOut())
def audit_recipe(query: dict[str, Any], recipe_id: UUID) -> RecipeAudit:
    """Hold a stored recipe against its own numbers, and against the style it names."""
    formula = query["bitterness_formula"]
    return use.audit_stored_recipe(database(), caller(), recipe_id, formula)


@blueprint.route("/vessel-chains", methods=["POST"])
@requires("club", "brewer", "page")
@blueprint.arguments(VesselChainIn(), example=examples.VESSEL_CHAIN)
@blueprint.response(200, VesselChainOut())
def compute_vessel_chain(asked: use.ChainWanted) -> VesselChain:
    """Plan the brews for a volume wanted in bottles, every vessel and loss on the way counted."""
    return use.compute_vessel_chain(database(), caller(), asked)


@blueprint.route("/small-beers", methods=["POST"])
@requires("club", "brewer", "page")
@blueprint.arguments(SmallBeerIn(), example=examples.SMALL_BEER)
@blueprint.response(200, SmallBeerOut())
def compute_small_beer(asked: use.SmallBeerAsked) -> SmallBeer:
    """Forecast the small beer that rinsing the spent grain of a brew would give."""
    return use.compute_small_beer(database(), caller(), asked)


@blueprint.route("/styles", methods=["GET"])
@requires("club", "brewer", "page")
@blueprint.response(200, StylesOut())
def list_styles() -> dict[str, Any]:
    """List the styles of the 2021 guidelines that are known, in numbers only."""
    return {"items": styles(), "next": None}
