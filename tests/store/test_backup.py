import json
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from threading import Event, Thread
from zipfile import ZipFile

import pytest
from sqlalchemy import text

from factories import SETUP
from postgres import own_postgres_database
from wortwright.records.brewer import Brewer, Club
from wortwright.store import brewers, clubs, setups
from wortwright.store.backup import back_up, rehearse, restore
from wortwright.store.copying import BackupError
from wortwright.store.database import Database
from wortwright.store.digest import digests


@pytest.fixture
def empty(request: pytest.FixtureRequest, database: Database, tmp_path: Path) -> Iterator[Database]:
    """A database without a table, of the same kind as the one that is backed up."""
    if database.is_sqlite:
        opened = Database(f"sqlite:///{tmp_path / 'empty.sqlite3'}")
        yield opened
        opened.close()
        return
    with own_postgres_database(request.getfixturevalue("postgres_server")) as url:
        opened = Database(url)
        yield opened
        opened.close()


def found_club(database: Database, name: str = "Millrace Lane") -> None:
    with database.write() as tx:
        club = clubs.add(tx, Club(name))
        brewer = brewers.add(tx, club.id, Brewer("Ada"))
        setups.add(tx, club.id, brewer.id, SETUP)


def contents(database: Database) -> dict[str, str]:
    with database.read() as tx:
        return dict(digests(tx))


def test_a_restored_database_holds_what_was_backed_up(
    database: Database, empty: Database, tmp_path: Path
) -> None:
    found_club(database)
    back_up(database, tmp_path / "backup")
    before = contents(database)
    found_club(database, "Weir Street")
    restore(tmp_path / "backup", empty)
    assert contents(empty) == before != contents(database)
    assert empty.is_migrated()
    with empty.read() as tx:
        assert [club.value.name for club in clubs.find_all(tx)] == ["Millrace Lane"]


def test_a_rehearsal_finds_a_good_backup_good_and_touches_nothing(
    database: Database, tmp_path: Path
) -> None:
    found_club(database)
    made = back_up(database, tmp_path / "backup")
    before = contents(database)
    assert rehearse(tmp_path / "backup", database) == made
    assert contents(database) == before
    if not database.is_sqlite:
        with database.read() as tx:
            left = tx.scalars(text("SELECT datname FROM pg_database")).all()
        assert [name for name in left if name.startswith("wortwright_rehearsal")] == []


@contextmanager
def tampered(path: Path, name: str, change: bytes | None) -> Iterator[Path]:
    """A copy of a backup with one of its parts changed or left out."""
    other = path.with_name("tampered")
    with ZipFile(path) as good, ZipFile(other, "w") as bad:
        for part in good.namelist():
            if part != name:
                bad.writestr(part, good.read(part))
            elif change is not None:
                bad.writestr(part, change)
    yield other
    other.unlink()


def test_a_rehearsal_finds_a_bad_backup_bad(database: Database, tmp_path: Path) -> None:
    found_club(database)
    good = tmp_path / "backup"
    back_up(database, good)
    with ZipFile(good) as packed:
        manifest = json.loads(packed.read("manifest.json"))
        data = packed.read("data")
    one_more = manifest | {"tables": manifest["tables"] | {"clubs": "2 rows, 0"}}
    other_kind = manifest | {"kind": "mariadb"}
    for name, change in (
        ("data", None),
        ("data", data[: len(data) // 2]),
        ("data", b""),
        ("manifest.json", None),
        ("manifest.json", b"{"),
        ("manifest.json", json.dumps(one_more).encode()),
        ("manifest.json", json.dumps(other_kind).encode()),
        ("manifest.json", json.dumps(manifest | {"format": 2}).encode()),
    ):
        with tampered(good, name, change) as bad, pytest.raises(BackupError):
            rehearse(bad, database)
    (tmp_path / "text").write_text("no backup")
    with pytest.raises(BackupError):
        rehearse(tmp_path / "text", database)


def test_a_restore_overwrites_nothing(database: Database, tmp_path: Path) -> None:
    found_club(database)
    back_up(database, tmp_path / "backup")
    before = contents(database)
    with pytest.raises(BackupError, match="not empty"):
        restore(tmp_path / "backup", database)
    with pytest.raises(BackupError, match="exists already"):
        back_up(database, tmp_path / "backup")
    assert contents(database) == before


def test_a_backup_is_for_its_owner_only(database: Database, tmp_path: Path) -> None:
    back_up(database, tmp_path / "backup")
    assert (tmp_path / "backup").stat().st_mode & 0o077 == 0
    assert [path.name for path in tmp_path.iterdir() if "backup" in path.name] == ["backup"]


def test_a_backup_taken_while_writes_go_on_is_of_one_moment(
    database: Database, empty: Database, tmp_path: Path
) -> None:
    """Each write stores a club, a brewer and a setup: a backup with another mix is torn."""
    done = Event()
    written: list[int] = []

    def write() -> None:
        while not done.is_set():
            found_club(database, f"Club {len(written)}")
            written.append(1)

    writer = Thread(target=write)
    writer.start()
    try:
        held = []
        for number in range(5):
            already = len(written)
            manifest = back_up(database, tmp_path / f"backup {number}")
            begun = len(written) + 1
            rows = {name: int(manifest.tables[name].split()[0]) for name in manifest.tables}
            assert rows["clubs"] == rows["brewers"] == rows["setups"]
            assert already <= rows["clubs"] <= begun
            held.append(rows["clubs"])
    finally:
        done.set()
        writer.join()
    assert len(written) > held[0], "nothing was written meanwhile"
    restore(tmp_path / "backup 4", empty)
    assert contents(empty)["clubs"].startswith(f"{held[-1]} rows")


def test_a_tool_that_is_missing_is_named(
    database: Database, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    if database.is_sqlite:
        pytest.skip("SQLite needs no tool")
    monkeypatch.setenv("PATH", str(tmp_path))
    with pytest.raises(BackupError, match="pg_dump is not installed here"):
        back_up(database, tmp_path / "backup")
    assert not (tmp_path / "backup").exists()


def test_digests_know_no_order_and_miss_no_change(database: Database) -> None:
    found_club(database)
    before = contents(database)
    with database.write() as tx:
        tx.execute(text("UPDATE setups SET name = 'Another name'"))
    after = contents(database)
    assert {name for name, held in after.items() if held != before[name]} == {"setups"}
