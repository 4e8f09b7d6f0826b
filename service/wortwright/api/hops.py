"""Hops in store: calculations, nothing of which is stored."""

from typing import Any

from wortwright.api import calculation_examples as examples
from wortwright.api.auth import requires
from wortwright.api.blueprint import Blueprint
from wortwright.api.shapes.hops import (
    HopAgingIn,
    HopAgingOut,
    HopSubstitutionIn,
    HopSubstitutionOut,
)
from wortwright.planning.cellar.hops_in_store import (
    AgedHops,
    Substitution,
    age_hops,
    substitute_hops,
)

blueprint = Blueprint(
    "hops",
    __name__,
    url_prefix="/v1",
    description="Hops in store and in place of one another; nothing is stored.",
)


@blueprint.route("/hop-agings", methods=["POST"])
@requires("club", "brewer", "page")
@blueprint.arguments(HopAgingIn(), example=examples.HOP_AGING)
@blueprint.response(200, HopAgingOut())
def compute_hop_aging(asked: dict[str, Any]) -> dict[str, list[AgedHops]]:
    """Work out what alpha acid hops have left, by age, packing and temperature."""
    return {"hops": [age_hops(stored) for stored in asked["hops"]]}


@blueprint.route("/hop-substitutions", methods=["POST"])
@requires("club", "brewer", "page")
@blueprint.arguments(HopSubstitutionIn(), example=examples.HOP_SUBSTITUTION)
@blueprint.response(200, HopSubstitutionOut())
def compute_hop_substitution(asked: dict[str, Any]) -> Substitution:
    """Work out the mass of a hop that stands for another."""
    return substitute_hops(**asked)
