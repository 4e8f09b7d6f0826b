"""What is known of a setup, now and before."""

from dataclasses import dataclass
from uuid import UUID

from wortwright.calibration.posterior import OwnWord
from wortwright.calibration.priors import USUAL_EXTRACT_YIELD
from wortwright.calibration.report import CalibrationReport, CurvePoint, curve_point, report
from wortwright.records.session import Session
from wortwright.records.setup import Setup
from wortwright.store import calibrations, setups
from wortwright.store.calibrations import StoredCalibration
from wortwright.store.database import Database
from wortwright.store.stored import Page
from wortwright.usecases.callers import Caller
from wortwright.usecases.learning import closed_sessions, club_of
from wortwright.usecases.rights import may_read


@dataclass(frozen=True, slots=True)
class Reported:
    """A calibration with its report; the curve is that of a kettle filled as far as it may be."""

    calibration: StoredCalibration
    preboil_l: float
    report: CalibrationReport


def get_latest_calibration(database: Database, caller: Caller, setup_id: UUID) -> StoredCalibration:
    """Give the present calibration of a setup."""
    with database.read() as tx:
        return calibrations.latest(tx, may_read(caller), setup_id)


def get_calibration(
    database: Database, caller: Caller, setup_id: UUID, number: int
) -> StoredCalibration:
    """Give one calibration of a setup by its number; 0 rests on no session."""
    with database.read() as tx:
        return calibrations.get(tx, may_read(caller), setup_id, number)


def report_calibration(database: Database, caller: Caller, setup_id: UUID) -> Reported:
    """Tell what the present calibration of a setup is worth."""
    scope = may_read(caller)
    with database.read() as tx:
        setup = setups.get(tx, scope, setup_id)
        known = calibrations.latest(tx, scope, setup_id)
        closed, club = closed_sessions(tx, setup), club_of(tx, setup)
    return reported(setup.value, known, closed, club)


@dataclass(frozen=True, slots=True)
class ForecastAt:
    """A forecast at one grain load and potential, by a setup's present calibration."""

    calibration: StoredCalibration
    preboil_l: float
    point: CurvePoint


def forecast_at(
    database: Database,
    caller: Caller,
    setup_id: UUID,
    load_kg_per_l: float,
    potential_kg_per_l: float | None = None,
) -> ForecastAt:
    """Forecast mash efficiency at one grain load; without a potential that of usual malt."""
    scope = may_read(caller)
    with database.read() as tx:
        setup = setups.get(tx, scope, setup_id)
        known = calibrations.latest(tx, scope, setup_id)
    preboil_l = full_kettle_l(setup.value)
    extract_yield = USUAL_EXTRACT_YIELD
    if potential_kg_per_l is not None:
        extract_yield = potential_kg_per_l / load_kg_per_l
    point = curve_point(known.value, load_kg_per_l, preboil_l, extract_yield)
    return ForecastAt(known, preboil_l, point)


def full_kettle_l(setup: Setup) -> float:
    """Wort of a kettle filled as far as it may be. [L]"""
    kettle = setup.vessels.kettle
    return kettle.capacity_l * (1.0 - kettle.foam_room)


def reported(
    setup: Setup,
    known: StoredCalibration,
    closed: list[tuple[UUID, Session]],
    club: tuple[OwnWord, ...],
) -> Reported:
    """Report of a setup's present calibration, given the sessions that it rests on."""
    preboil_l = full_kettle_l(setup)
    told = [(str(session_id), session) for session_id, session in closed]
    return Reported(known, preboil_l, report(setup, told, known.value, preboil_l, club))


def list_calibrations(
    database: Database, caller: Caller, setup_id: UUID, after: UUID | None, limit: int
) -> Page[StoredCalibration]:
    """List the calibrations of a setup, newest first."""
    scope = may_read(caller)
    with database.read() as tx:
        setups.get(tx, scope, setup_id)
        return calibrations.page(tx, scope, setup_id, after, limit)
