"""What is known of a setup, now and before."""

from uuid import UUID

from wortwright.store import calibrations, setups
from wortwright.store.calibrations import StoredCalibration
from wortwright.store.database import Database
from wortwright.store.stored import Page
from wortwright.usecases.callers import Caller
from wortwright.usecases.rights import may_read


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


def list_calibrations(
    database: Database, caller: Caller, setup_id: UUID, after: UUID | None, limit: int
) -> Page[StoredCalibration]:
    """List the calibrations of a setup, newest first."""
    scope = may_read(caller)
    with database.read() as tx:
        setups.get(tx, scope, setup_id)
        return calibrations.page(tx, scope, setup_id, after, limit)
