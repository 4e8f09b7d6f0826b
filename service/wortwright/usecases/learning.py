"""What a setup learns from its sessions, stored in the transaction that changed them."""

from wortwright.calibration.fit import fit_calibration
from wortwright.records.setup import Setup
from wortwright.store import calibrations, sessions
from wortwright.store.calibrations import StoredCalibration
from wortwright.store.database import Tx
from wortwright.store.stored import Scope, Stored


def refit(tx: Tx, setup: Stored[Setup]) -> StoredCalibration:
    """Fit a setup to its closed sessions and store the next calibration.

    The caller holds the setup's row, so that two sessions closed at once are both counted.
    """
    closed = sessions.closed_on(tx, setup.id)
    fitted = fit_calibration(setup.value, [(str(one), session) for one, session in closed])
    return calibrations.add(
        tx,
        Scope(setup.club_id, setup.brewer_id),
        setup.id,
        setup.version,
        tuple(session_id for session_id, _ in closed),
        fitted,
    )
