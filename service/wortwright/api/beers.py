"""Beers together: blends, second brews, sets of brews; nothing is stored."""

from wortwright.api import plan_examples as examples
from wortwright.api.auth import caller, requires
from wortwright.api.blueprint import Blueprint
from wortwright.api.extensions import database
from wortwright.api.shapes.blend import BlendIn, BlendOut
from wortwright.api.shapes.second_brew import (
    BrewSetIn,
    BrewSetOut,
    SecondBrewIn,
    SecondBrewOut,
)
from wortwright.usecases import beers as use

blueprint = Blueprint(
    "beers",
    __name__,
    url_prefix="/v1",
    description="Beers that belong together: blends, pairs, sets; nothing is stored.",
)


@blueprint.route("/blends", methods=["POST"])
@requires("club", "brewer", "page")
@blueprint.arguments(BlendIn(), example=examples.BLEND)
@blueprint.response(200, BlendOut())
def compute_blend(asked: use.BlendAsked) -> use.Blended:
    """Blend beers, or find how much of each makes the blend wanted."""
    return use.compute_blend(database(), caller(), asked)


@blueprint.route("/second-brews", methods=["POST"])
@requires("club", "brewer", "page")
@blueprint.arguments(SecondBrewIn(), example=examples.SECOND_BREW)
@blueprint.response(200, SecondBrewOut())
def compute_second_brew(asked: use.SecondAsked) -> use.SecondPlanned:
    """Plan the second brew of a pair so that the blend is what was wanted, or comes nearest."""
    return use.compute_second_brew(database(), caller(), asked)


@blueprint.route("/brew-sets", methods=["POST"])
@requires("club", "brewer", "page")
@blueprint.arguments(BrewSetIn(), example=examples.BREW_SET)
@blueprint.response(200, BrewSetOut())
def compute_brew_set(asked: use.BrewSetAsked) -> use.BrewSetPlanned:
    """Plan several brews of one recipe, the later ones by what the earlier became."""
    return use.compute_brew_set(database(), caller(), asked)
