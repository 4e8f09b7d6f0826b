"""Water and mash pH: calculations, nothing of which is stored."""

from wortwright.api import calculation_examples as examples
from wortwright.api.auth import requires
from wortwright.api.blueprint import Blueprint
from wortwright.api.problem_table import INVALID_BODY
from wortwright.api.problems import ProblemError
from wortwright.api.shapes.mash_ph import MashPhAsked, MashPhForecastIn, MashPhForecastOut
from wortwright.api.shapes.mash_ph_correction import (
    CorrectionAsked,
    MashPhCorrectionIn,
    MashPhCorrectionOut,
)
from wortwright.api.shapes.water_treatment import (
    TreatedForMash,
    TreatedForMashOut,
    TreatmentAsked,
    WaterTreatmentIn,
)
from wortwright.brewing.mash_acid import DoseWithoutEffectError
from wortwright.planning.water.mash_acidity import (
    MashPhForecast,
    PhCorrection,
    correct_mash_ph,
    forecast_mash_ph,
)
from wortwright.planning.water.water_plan import treat_water

blueprint = Blueprint(
    "water",
    __name__,
    url_prefix="/v1",
    description="Water treated for a brew, and the pH of its mash; nothing is stored.",
)


@blueprint.route("/water-treatments", methods=["POST"])
@requires("club", "brewer", "page")
@blueprint.arguments(WaterTreatmentIn(), example=examples.WATER_TREATMENT)
@blueprint.response(200, TreatedForMashOut())
def compute_water_treatment(asked: TreatmentAsked) -> TreatedForMash:
    """Work out salts and dilution from a water report, and the mash pH that follows."""
    treatment = treat_water(asked.at_hand, asked.volumes)
    if asked.mash is None:
        return TreatedForMash(treatment, None)
    mash_ph = forecast_mash_ph(
        asked.mash.malts,
        treatment.mash_water,
        asked.volumes.mash_l,
        asked.mash.temperature_c,
        asked.mash.ph,
    )
    return TreatedForMash(treatment, mash_ph)


@blueprint.route("/mash-ph-forecasts", methods=["POST"])
@requires("club", "brewer", "page")
@blueprint.arguments(MashPhForecastIn(), example=examples.MASH_PH_FORECAST)
@blueprint.response(200, MashPhForecastOut())
def compute_mash_ph(asked: MashPhAsked) -> MashPhForecast:
    """Forecast the pH of a mash in a water as it is, and the dose that corrects it."""
    mash = asked.mash
    return forecast_mash_ph(mash.malts, asked.water, asked.water_l, mash.temperature_c, mash.ph)


@blueprint.route("/mash-ph-corrections", methods=["POST"])
@requires("club", "brewer", "page")
@blueprint.arguments(MashPhCorrectionIn(), example=examples.MASH_PH_CORRECTION)
@blueprint.response(200, MashPhCorrectionOut())
def compute_mash_ph_correction(asked: CorrectionAsked) -> PhCorrection:
    """Work out the rest of a dose from what its first part did."""
    try:
        return correct_mash_ph(
            asked.given, asked.ph_before, asked.ph_after, asked.target_ph, asked.instrument
        )
    except DoseWithoutEffectError as error:
        detail = f"The {error}."
        where = {"pointer": "/ph_after", "detail": detail}
        raise ProblemError(INVALID_BODY, detail, errors=[where]) from error
