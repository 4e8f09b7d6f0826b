from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path

import pytest
from sqlalchemy import text
from sqlalchemy.exc import IntegrityError, StatementError

from wortwright.records.brewer import Club
from wortwright.store import clubs
from wortwright.store.database import Database, DatabaseUnavailableError, sqlite_journal_mode
from wortwright.store.models import ClubRow


def count_clubs(database: Database) -> int:
    with database.read() as tx:
        return len(clubs.find_all(tx))


def test_writing_is_committed_at_the_end(database: Database) -> None:
    with database.write() as tx:
        clubs.add(tx, Club("Millrace Lane"))
    assert count_clubs(database) == 1


def test_writing_is_rolled_back_on_an_error(database: Database) -> None:
    def fail_half_way() -> None:
        with database.write() as tx:
            clubs.add(tx, Club("Millrace Lane"))
            raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        fail_half_way()
    assert count_clubs(database) == 0


def test_reading_never_commits(database: Database) -> None:
    try:
        with database.read() as tx:
            clubs.add(tx, Club("Millrace Lane"))
    except Exception:  # PostgreSQL refuses at once, SQLite forgets at the end
        assert not database.is_sqlite
    assert count_clubs(database) == 0


def test_the_database_itself_refuses_an_empty_name(database: Database) -> None:
    with pytest.raises(IntegrityError), database.write() as tx:
        clubs.add(tx, Club(""))


def test_a_reader_sees_one_state_while_others_write(database: Database) -> None:
    with database.read() as reader:
        before = len(clubs.find_all(reader))
        with database.write() as writer:
            clubs.add(writer, Club("Millrace Lane"))
        assert len(clubs.find_all(reader)) == before


def test_moments_come_back_as_the_same_moment_in_utc(database: Database) -> None:
    noon = datetime(2026, 3, 1, 12, tzinfo=timezone(timedelta(hours=2)))
    with database.write() as tx:
        tx.add(ClubRow(name="Millrace Lane", created_at=noon, updated_at=noon))
    with database.read() as tx:
        read = clubs.find_all(tx)[0].created_at
    assert read == noon
    assert read.tzinfo is UTC


def test_naive_moments_are_refused(database: Database) -> None:
    row = ClubRow(name="Millrace Lane", created_at=datetime(2026, 3, 1, 12))
    with pytest.raises(StatementError, match="time zone"), database.write() as tx:
        tx.add(row)


def test_a_database_that_is_not_there_is_unavailable() -> None:
    database = Database("postgresql://nobody@127.0.0.1:1/nothing")
    with pytest.raises(DatabaseUnavailableError):
        database.ping()


def test_a_writer_that_waits_too_long_is_told_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("wortwright.store.database._BUSY_TIMEOUT_MS", 10)
    database = Database(f"sqlite:///{tmp_path / 'busy.sqlite3'}")
    database.migrate()
    with database.write() as holder:
        clubs.add(holder, Club("Millrace Lane"))
        with pytest.raises(DatabaseUnavailableError), database.write() as waiter:
            clubs.add(waiter, Club("Weir Street"))
    assert count_clubs(database) == 1
    database.close()


def test_sqlite_keeps_what_it_was_told(tmp_path: Path) -> None:
    database = Database(f"sqlite:///{tmp_path / 'pragmas.sqlite3'}")
    expected = {
        "journal_mode": database.journal_mode,
        "synchronous": 2,
        "foreign_keys": 1,
        "busy_timeout": 5000,
        "trusted_schema": 0,
    }
    with database.read() as tx:
        told = {name: tx.scalar(text(f"PRAGMA {name}")) for name in expected}
    database.close()
    assert told == expected


@pytest.mark.parametrize(
    ("version", "mode"),
    [
        # SQLite release history: repaired in 3.51.3, and in 3.44.6 and 3.50.7.
        ((3, 40, 1), "delete"),
        ((3, 44, 5), "delete"),
        ((3, 44, 6), "wal"),
        ((3, 46, 1), "delete"),
        ((3, 50, 6), "delete"),
        ((3, 50, 7), "wal"),
        ((3, 51, 2), "delete"),
        ((3, 51, 3), "wal"),
        ((3, 53, 0), "wal"),
    ],
)
def test_write_ahead_logging_is_used_only_where_it_is_repaired(
    version: tuple[int, int, int], mode: str
) -> None:
    assert sqlite_journal_mode(version) == mode
