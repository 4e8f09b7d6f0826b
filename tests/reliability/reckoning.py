"""The reckoning: what is in the database against what was acknowledged."""

from collections import Counter
from uuid import UUID

from sqlalchemy import select, text

from reliability.crowd import assert_posterior_is_a_refit_from_scratch
from reliability.writers import Ledger
from wortwright.store.database import Database
from wortwright.store.models import CalibrationRow, ScalingRow, SessionRow, SetupRow


def reckon(database: Database, ledger: Ledger) -> dict[str, int]:
    """Hold the database to the ledger, and count what was looked at."""
    if database.is_sqlite:
        with database.read() as tx:
            assert tx.scalar(text("PRAGMA integrity_check")) == "ok"
    sessions = _sessions(database, ledger)
    scalings = _scalings(database, ledger)
    setups = _posteriors(database)
    return {
        "sessions in the database": sessions,
        "scalings in the database": scalings,
        "setups refitted from scratch": setups,
    }


def _sessions(database: Database, ledger: Ledger) -> int:
    with database.read() as tx:
        rows = {row.id: row for row in tx.scalars(select(SessionRow))}
    marks = Counter(row.brewed_at.microsecond for row in rows.values())
    assert max(marks.values(), default=0) <= 1, "a session was stored twice"
    for mark, session_id in ledger.sessions.items():
        assert rows[UUID(session_id)].brewed_at.microsecond == mark
    for mark, session_id in ledger.readings.items():
        assert _readings(rows[UUID(session_id)], mark) == 1
    for session_id in ledger.closed:
        assert rows[UUID(session_id)].state == "closed"
    for row in rows.values():
        assert len(row.document["readings"]) <= 2, "a reading was added twice"
    return len(rows)


def _readings(row: SessionRow, mark: int) -> int:
    wanted = 20.0 + mark / 1e6
    return sum(abs(one["volume_l"] - wanted) < 1e-9 for one in row.document["readings"])


def _scalings(database: Database, ledger: Ledger) -> int:
    with database.read() as tx:
        rows = {row.id: row for row in tx.scalars(select(ScalingRow))}
    volumes = Counter(row.document["target"]["volume_l"] for row in rows.values())
    assert max(volumes.values(), default=0) <= 1, "a scaling was stored twice"
    for mark, scaling_id in ledger.scalings.items():
        volume_l = rows[UUID(scaling_id)].document["target"]["volume_l"]
        assert abs(volume_l - (10.0 + mark / 1e6)) < 1e-9
    return len(rows)


def _posteriors(database: Database) -> int:
    with database.read() as tx:
        setups = tx.scalars(select(SetupRow)).all()
        numbers: dict[UUID, list[int]] = {}
        for setup_id, number in tx.execute(select(CalibrationRow.setup_id, CalibrationRow.number)):
            numbers.setdefault(setup_id, []).append(number)
    for setup in setups:
        closed = assert_posterior_is_a_refit_from_scratch(database, setup.club_id, setup.id)
        # One when the setup was made, and one for each session closed.
        assert sorted(numbers[setup.id]) == list(range(closed + 1))
    return len(setups)
