"""What a setup learns from its sessions, stored in the transaction that changed them."""

from dataclasses import replace
from uuid import UUID

from wortwright.calibration.fit import fit_calibration
from wortwright.calibration.posterior import MODEL_VERSION, OwnWord
from wortwright.planning.kettle.kettle_reading import as_volume_and_gravity
from wortwright.records.session import Session
from wortwright.records.setup import Setup
from wortwright.store import calibrations, sessions, setups
from wortwright.store.calibrations import StoredCalibration
from wortwright.store.database import Database, Tx
from wortwright.store.stored import Scope, Stored


def refit(tx: Tx, setup: Stored[Setup]) -> StoredCalibration:
    """Fit a setup to its closed sessions and store the next calibration.

    The caller holds the setup's row, so that two sessions closed at once are both counted.
    """
    closed = closed_sessions(tx, setup)
    told = [(str(session_id), session) for session_id, session in closed]
    fitted = fit_calibration(setup.value, told, club_of(tx, setup))
    return calibrations.add(
        tx,
        Scope(setup.club_id, setup.brewer_id),
        setup.id,
        setup.version,
        tuple(session_id for session_id, _ in closed),
        fitted,
    )


def club_of(tx: Tx, setup: Stored[Setup]) -> tuple[OwnWord, ...]:
    """Give what the club says to a setup that shares with it; nothing to any other."""
    if not setup.value.shares_with_club:
        return ()
    return calibrations.words_in_club(tx, setup.club_id, setup.value.lauter_method, setup.id)


def closed_sessions(tx: Tx, setup: Stored[Setup]) -> list[tuple[UUID, Session]]:
    """Give the sessions that teach a setup, their readings as volumes and gravities."""
    return [
        (session_id, with_plain_readings(session, setup.value))
        for session_id, session in sessions.closed_on(tx, setup.id)
    ]


def with_plain_readings(session: Session, setup: Setup) -> Session:
    """Give a session with its readings as volumes and gravities."""
    kettle = setup.vessels.kettle
    plain = tuple(as_volume_and_gravity(one, kettle) for one in session.readings)
    return replace(session, readings=plain)


def refit_outdated(database: Database) -> int:
    """Refit every setup whose calibration an older model made; tell how many there were.

    For whoever brings the service to a new version: until then forecasts are the old model's.
    """
    count = 0
    with database.write() as tx:
        for setup in setups.find_all(tx):
            if calibrations.model_version(tx, setup.id) != MODEL_VERSION:
                refit(tx, setup)
                count += 1
    return count
