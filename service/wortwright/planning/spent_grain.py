"""The small beer that is still in the spent grain: what a rinse of it would give."""

from dataclasses import dataclass

from scipy.optimize import brentq

from wortwright.brewing.gravity import extract_kg_per_l, gravity_of_wort
from wortwright.calibration.curve import (
    PARAMETERS,
    Mash,
    Parameters,
    conversion_at,
    mash_efficiency,
)
from wortwright.calibration.posterior import Calibration
from wortwright.planning.kettle.course import course_of
from wortwright.planning.plan import Forecast, Plan
from wortwright.planning.spread import Uncertain, spread
from wortwright.planning.target import TargetError
from wortwright.records.sentence import litres, say

# Less than this is hardly beer; common practice, no source.
LEAST_GRAVITY = 1.012


@dataclass(frozen=True, slots=True)
class SmallBeer:
    """Wort from rinsing the drained grain, stirred up once and drained again.

    ``extract_kg`` is what is rinsed out, ``left_kg`` what stays in the grain even then.
    """

    rinse_l: float
    preboil_l: float
    preboil_gravity: Forecast
    boil_min: float
    postboil_l: float
    original_gravity: Forecast
    extract_kg: float
    left_kg: float


@dataclass(frozen=True, slots=True)
class _Grain:
    """Drained grain: extract in the wort it holds, and how much of that wort."""

    extract_kg: float
    held_l: float

    def rinsed_kg(self, rinse_l: float) -> float:
        return self.extract_kg * rinse_l / (self.held_l + rinse_l)


def small_beer(
    plan: Plan, calibration: Calibration, rinse_l: float, boil_min: float = 60.0
) -> SmallBeer:
    """Forecast the small beer of a rinse.

    Parameters
    ----------
    plan : Plan
        The brew whose grain is rinsed.
    calibration : Calibration
        What the setup does.
    rinse_l : float
        Water over the drained grain, above 0; as much wort runs off. [L]
    boil_min : float
        Length of its boil. [min]

    Returns
    -------
    SmallBeer
        By the mass balance that the brew itself was planned with.

    Raises
    ------
    TargetError
        If it would boil away.
    """
    boiled_off_l = calibration.constants["boil_off_l_per_h"].mean * boil_min / 60.0
    postboil_l = rinse_l - boiled_off_l
    if postboil_l <= 0.0:
        said = say("{rinse} would boil away; rinse with more", rinse=litres(rinse_l))
        raise TargetError("rinse", said)
    sources = _sources(calibration)

    def gravity_in(volume_l: float) -> Forecast:
        return spread(
            lambda values: gravity_of_wort(
                _grain(plan, calibration, *values).rinsed_kg(rinse_l), volume_l
            ),
            sources,
        )

    grain = _grain(plan, calibration, *(source.mean for source in sources))
    rinsed_kg = grain.rinsed_kg(rinse_l)
    return SmallBeer(
        rinse_l=rinse_l,
        preboil_l=rinse_l,
        preboil_gravity=gravity_in(rinse_l),
        boil_min=boil_min,
        postboil_l=postboil_l,
        original_gravity=gravity_in(postboil_l),
        extract_kg=rinsed_kg,
        left_kg=grain.extract_kg - rinsed_kg,
    )


def small_beer_of_gravity(
    plan: Plan, calibration: Calibration, gravity: float, boil_min: float = 60.0
) -> SmallBeer:
    """Find the rinse that gives small beer of a gravity.

    Parameters
    ----------
    plan : Plan
        The brew whose grain is rinsed.
    calibration : Calibration
        What the setup does.
    gravity : float
        Original gravity wanted, 1.012 or more. [SG]
    boil_min : float
        Length of its boil. [min]

    Returns
    -------
    SmallBeer
        The most of it that the grain gives at this gravity.

    Raises
    ------
    TargetError
        If the grain does not hold enough.
    """
    boiled_off_l = calibration.constants["boil_off_l_per_h"].mean * boil_min / 60.0
    grain = _grain(plan, calibration, *(source.mean for source in _sources(calibration)))
    wanted = extract_kg_per_l(max(gravity, LEAST_GRAVITY))

    def over_kg(rinse_l: float) -> float:
        return grain.rinsed_kg(rinse_l) - wanted * (rinse_l - boiled_off_l)

    # At the least wort worth boiling the strength is highest, so there the grain is judged.
    least_l = boiled_off_l + 1.0
    if over_kg(least_l) < 0.0:
        raise TargetError("gravity", f"what is left in the grain gives no beer of {gravity:.3f}")
    most_l = boiled_off_l + grain.extract_kg / wanted
    rinse_l = float(brentq(over_kg, least_l, max(most_l, least_l + 1.0), xtol=1e-9))
    return small_beer(plan, calibration, rinse_l, boil_min)


def _sources(calibration: Calibration) -> tuple[Forecast, Forecast]:
    """Conversion and true absorption with their intervals, taken independent."""
    known = calibration.efficiency

    def one(name: str) -> Forecast:
        place = PARAMETERS.index(name)
        sd = known.covariance[place][place] ** 0.5
        return Uncertain(known.mean[place], sd).forecast()

    return one("conversion"), one("true_absorption_l_per_kg")


def _grain(
    plan: Plan, calibration: Calibration, conversion: float, absorption_l_per_kg: float
) -> _Grain:
    """Drained grain of a plan if conversion and absorption were these."""
    known, course = calibration.efficiency, course_of(plan, calibration)
    theta = Parameters(*known.mean)._replace(
        conversion=conversion, true_absorption_l_per_kg=absorption_l_per_kg
    )
    mash = Mash(
        course.grain_kg, course.potential_kg / course.grain_kg, course.preboil_l, course.strike_l
    )
    dissolved = conversion_at(theta, course.grain_kg / course.strike_l)
    drained = mash_efficiency(theta, known.method, known.runnings, mash)
    held_l = absorption_l_per_kg * course.grain_kg + theta.dead_space_l
    return _Grain(course.potential_kg * (dissolved - drained), held_l)
