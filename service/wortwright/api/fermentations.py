"""Fermentations and refractometers: calculations, nothing of which is stored."""

from wortwright.api import calculation_examples as examples
from wortwright.api.auth import requires
from wortwright.api.blueprint import Blueprint
from wortwright.api.shapes.fermentation import (
    FermentationIn,
    FermentationOut,
    RefractometerGravityOut,
    RefractometerReadingIn,
)
from wortwright.planning.cellar.fermenting import (
    Fermentation,
    FermentationReport,
    report_fermentation,
)
from wortwright.planning.cellar.refractometer_reading import (
    RefractometerAsked,
    RefractometerGravity,
    read_refractometer,
)

blueprint = Blueprint(
    "fermentation",
    __name__,
    url_prefix="/v1",
    description="Attenuation, alcohol, and whether a beer has finished; nothing is stored.",
)


@blueprint.route("/fermentations", methods=["POST"])
@requires("club", "brewer", "page")
@blueprint.arguments(FermentationIn(), example=examples.FERMENTATION)
@blueprint.response(200, FermentationOut())
def compute_fermentation(asked: Fermentation) -> FermentationReport:
    """Forecast the final gravity; give attenuation, alcohol and state by the readings."""
    return report_fermentation(asked)


@blueprint.route("/refractometer-readings", methods=["POST"])
@requires("club", "brewer", "page")
@blueprint.arguments(RefractometerReadingIn(), example=examples.REFRACTOMETER_READING)
@blueprint.response(200, RefractometerGravityOut())
def compute_refractometer_reading(asked: RefractometerAsked) -> RefractometerGravity:
    """Make a gravity of a refractometer's reading, with an honest error."""
    return read_refractometer(asked)
