"""Brew days: what the readings of a session say, where it will end, what corrects it."""

from dataclasses import dataclass
from uuid import UUID

from wortwright.brewing.errors import OutOfRangeError
from wortwright.calibration.fit import fit_calibration
from wortwright.calibration.posterior import Calibration
from wortwright.planning.kettle.kettle_log import KettleLog, read_kettle
from wortwright.planning.kettle.kettle_reading import (
    CorrectedReading,
    ReadingError,
    correct,
    kettle_reading,
)
from wortwright.planning.plan import Finding
from wortwright.records.sentence import Said, say, told_range
from wortwright.records.session import Reading, Session, Stage
from wortwright.records.setup import Setup
from wortwright.store import calibrations, scalings, sessions, setups
from wortwright.store.database import Database, Tx
from wortwright.store.documents import from_document
from wortwright.store.sessions import StoredSession
from wortwright.store.stored import NotFoundError, Scope
from wortwright.usecases.basis import refusals
from wortwright.usecases.callers import Caller
from wortwright.usecases.rights import may_open
from wortwright.usecases.scalings import Scaled
from wortwright.usecases.sessions import with_reading
from wortwright.usecases.work import storing


@dataclass(frozen=True, slots=True)
class BrewDay:
    """A session with its readings as corrected, in their order, and what they say together.

    ``log`` is None where nothing was planned for it, or where the readings contradict one
    another; ``findings`` tell which.
    """

    session: StoredSession
    corrected: tuple[CorrectedReading, ...]
    log: KettleLog | None
    findings: tuple[Finding, ...]

    @property
    def version(self) -> int:
        """The version of the session."""
        return self.session.version


@dataclass(frozen=True, slots=True)
class Planned:
    """What a session was brewed by, and what was known of the setup when it was planned."""

    scaled: Scaled
    calibration: Calibration


@storing
def add_reading(tx: Tx, caller: Caller, session_id: UUID, reading: Reading) -> BrewDay:
    """Add one reading to a session and look ahead from it."""
    scope = may_open(caller, "session", session_id)
    kettle = _setup_of(tx, sessions.get(tx, scope, session_id)).vessels.kettle
    with refusals():
        correct(kettle_reading(reading), kettle)
    return _brew_day(tx, with_reading(tx, scope, session_id, reading))


def get_brew_day(database: Database, caller: Caller, session_id: UUID) -> BrewDay:
    """Look ahead from the readings of a session."""
    with database.read() as tx:
        scope = may_open(caller, "session", session_id)
        return _brew_day(tx, sessions.get(tx, scope, session_id))


def planned_for(tx: Tx, session: StoredSession) -> Planned | None:
    """Give what a session was brewed by; None if that was not planned here or was deleted."""
    if session.scaling_id is None:
        return None
    owner = Scope(session.club_id, session.brewer_id)
    try:
        scaling = scalings.get(tx, owner, session.scaling_id)
    except NotFoundError:
        return None
    scaled = from_document(scaling.value, Scaled)
    return Planned(scaled, calibration_then(tx, owner, scaling.computed_from, scaled.setup))


def calibration_then(
    tx: Tx, owner: Scope, computed_from: scalings.ComputedFrom, setup: Setup
) -> Calibration:
    """Give what was known of a setup when a scaling was made."""
    setup_id, number = computed_from.setup_id, computed_from.calibration_number
    if setup_id is not None and number is not None:
        try:
            return calibrations.get(tx, owner, setup_id, number).value
        except NotFoundError:
            pass
    return fit_calibration(setup, ())


def _setup_of(tx: Tx, session: StoredSession) -> Setup:
    owner = Scope(session.club_id, session.brewer_id)
    return setups.get(tx, owner, session.setup_id).value


def _brew_day(tx: Tx, session: StoredSession) -> BrewDay:
    setup, planned = _setup_of(tx, session), planned_for(tx, session)
    corrected = tuple(_corrected(reading, setup) for reading in session.value.readings)
    if planned is None:
        why = Finding("nothing_planned", "The session was not made from a scaling that is kept.")
        return BrewDay(session, corrected, None, (why,))
    try:
        log = read_kettle(
            planned.scaled.plan,
            setup,
            planned.calibration,
            [kettle_reading(reading) for reading in _usable(session.value, corrected)],
            planned.scaled.preferences.limits,
        )
    except (ReadingError, OutOfRangeError) as error:
        said = say("The readings do not go together: {why}.", why=_why(error))
        why = Finding("no_outlook", said)
        return BrewDay(session, corrected, None, (why,))
    return BrewDay(session, corrected, log, ())


def _why(error: ReadingError | OutOfRangeError) -> Said:
    return told_range(error)[0] if isinstance(error, OutOfRangeError) else error.detail


def _corrected(reading: Reading, setup: Setup) -> CorrectedReading:
    try:
        corrected = correct(kettle_reading(reading), setup.vessels.kettle)
    except ReadingError as error:
        said = say("This reading was left out: {why}.", why=error.detail)
        why = Finding("reading_not_usable", said)
        return CorrectedReading(reading.stage, None, None, reading.boiled_min, (why,))
    if reading.stage is Stage.MID_BOIL and reading.boiled_min is None:
        why = Finding("reading_without_time", "Say how long it had boiled, for it to count.")
        return CorrectedReading(
            reading.stage, corrected.volume_l, corrected.gravity, None, (*corrected.findings, why)
        )
    return corrected


def _usable(session: Session, corrected: tuple[CorrectedReading, ...]) -> list[Reading]:
    left_out = {"reading_not_usable", "reading_without_time"}
    return [
        reading
        for reading, read in zip(session.readings, corrected, strict=True)
        if not left_out & {finding.code for finding in read.findings}
    ]
