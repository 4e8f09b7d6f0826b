"""Pitches: a calculation, nothing of which is stored."""

from typing import Any

from wortwright.api import calculation_examples as examples
from wortwright.api.auth import requires
from wortwright.api.blueprint import Blueprint
from wortwright.api.shapes.pitch import PitchIn, PitchOut
from wortwright.planning.cellar.pitch import Pitch, plan_pitch

blueprint = Blueprint(
    "yeast", __name__, url_prefix="/v1", description="Yeast for a wort; nothing is stored."
)


@blueprint.route("/pitches", methods=["POST"])
@requires("club", "brewer", "page")
@blueprint.arguments(PitchIn(), example=examples.PITCH)
@blueprint.response(200, PitchOut())
def compute_pitch(asked: dict[str, Any]) -> Pitch:
    """Work out cells, packets, slurry or cake, a starter and oxygen for a wort."""
    return plan_pitch(**asked)
