"""Write-ahead logging only where SQLite is repaired, shown by forcing an affected version."""

from pathlib import Path

import pytest
from sqlalchemy import text

from wortwright.api.app import create_app
from wortwright.api.extensions import DATABASE
from wortwright.records.brewer import Club
from wortwright.settings import Settings
from wortwright.store import clubs
from wortwright.store.database import Database, sqlite_driver
from wortwright.warming import warm

AFFECTED, REPAIRED = (3, 46, 1), (3, 51, 3)


def journal_of(database: Database) -> str:
    with database.read() as tx:
        return str(tx.scalar(text("PRAGMA journal_mode")))


def force(monkeypatch: pytest.MonkeyPatch, version: tuple[int, ...]) -> None:
    monkeypatch.setattr(sqlite_driver(), "sqlite_version_info", version)


def test_an_affected_version_does_without_write_ahead_logging(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    force(monkeypatch, AFFECTED)
    database = Database(f"sqlite:///{tmp_path / 'guarded.sqlite3'}")
    database.migrate()
    with database.write() as tx:
        clubs.add(tx, Club("Millrace Lane"))
    assert journal_of(database) == database.journal_mode == "delete"
    database.close()
    assert [path.name for path in tmp_path.iterdir()] == ["guarded.sqlite3"]


def test_a_file_that_had_write_ahead_logging_loses_it_and_nothing_else(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    force(monkeypatch, REPAIRED)
    url = f"sqlite:///{tmp_path / 'moved.sqlite3'}"
    before = Database(url)
    before.migrate()
    with before.write() as tx:
        clubs.add(tx, Club("Millrace Lane"))
    assert journal_of(before) == "wal"
    before.close()
    force(monkeypatch, AFFECTED)
    after = Database(url)
    assert journal_of(after) == "delete"
    with after.read() as tx:
        assert [club.value.name for club in clubs.find_all(tx)] == ["Millrace Lane"]
    after.close()


@pytest.mark.parametrize(("version", "mode"), [(AFFECTED, "delete"), (REPAIRED, "wal")])
def test_the_operator_is_told(
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capfd: pytest.CaptureFixture[str],
    version: tuple[int, ...],
    mode: str,
) -> None:
    force(monkeypatch, version)
    url = f"sqlite:///{tmp_path / 'told.sqlite3'}"
    app = create_app(Settings(pepper="x" * 32, database_url=url))
    app.extensions[DATABASE].migrate()
    warm()
    ready = app.test_client().get("/readyz").json
    app.extensions[DATABASE].close()
    assert ready == {"status": "ready", "journal_mode": mode}
    assert ("write-ahead logging is off" in capfd.readouterr().err) == (mode == "delete")
