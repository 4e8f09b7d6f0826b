"""Brew sheets: a scaling, and what to do on the day if the gravity is not as forecast."""

from collections.abc import Iterator
from dataclasses import dataclass
from uuid import UUID

from wortwright.brewing.errors import OutOfRangeError
from wortwright.calibration.posterior import Calibration
from wortwright.planning.kettle.kettle_log import KettleLog, read_kettle
from wortwright.planning.kettle.kettle_reading import KettleReading, ReadingError
from wortwright.records.brewer import UnitSystem
from wortwright.records.session import Reading, Stage
from wortwright.store.database import Database
from wortwright.store.stored import Scope
from wortwright.usecases.brew_days import calibration_then
from wortwright.usecases.brewers import units_of
from wortwright.usecases.callers import Caller
from wortwright.usecases.scalings import Scaled, Scaling, get_scaling

POINTS_OFF = (-6.0, -3.0, 3.0, 6.0)
POINT = 0.001


@dataclass(frozen=True, slots=True)
class Sheet:
    """A scaling with the kettle logs of other gravities before the boil, lowest first.

    ``units`` are its brewer's, None where it is nobody's.
    """

    scaling: Scaling
    what_ifs: tuple[KettleLog, ...]
    units: UnitSystem | None


def get_sheet(database: Database, caller: Caller, scaling_id: UUID) -> Sheet:
    """Give a scaling with what its day may bring."""
    scaling = get_scaling(database, caller, scaling_id)
    owner = Scope(caller.club_id, scaling.brewer_id)
    with database.read() as tx:
        known = calibration_then(tx, owner, scaling.computed_from, scaling.scaled.setup)
        units = units_of(tx, caller, scaling.brewer_id)
    return Sheet(scaling, tuple(_what_ifs(scaling.scaled, known)), units)


def _what_ifs(scaled: Scaled, calibration: Calibration) -> Iterator[KettleLog]:
    """Look ahead from the planned volume at other gravities, where the kettle holds it."""
    plan = scaled.plan
    for points_off in POINTS_OFF:
        reading = Reading(
            Stage.PRE_BOIL,
            volume_l=plan.water.preboil_l,
            volume_temperature_c=20.0,
            gravity=plan.forecast.preboil_gravity.mean + POINT * points_off,
            gravity_temperature_c=20.0,
        )
        limits = scaled.preferences.limits
        try:
            yield read_kettle(plan, scaled.setup, calibration, [KettleReading(reading)], limits)
        except (ReadingError, OutOfRangeError):
            continue
