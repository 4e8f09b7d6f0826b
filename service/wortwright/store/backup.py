"""Backup of a database into one file, taken while it is written to, and the way back.

The file is a ZIP archive: ``manifest.json`` says what was in the database at that moment, and
``data`` is a SQLite file or a ``pg_dump`` archive.
"""

import json
import tempfile
from collections.abc import Iterator, Mapping
from contextlib import closing, contextmanager
from dataclasses import asdict, dataclass
from pathlib import Path
from zipfile import ZIP_DEFLATED, BadZipFile, ZipFile

from sqlalchemy import inspect, text

from wortwright.store.copying import BackupError, Copying, PostgresCopying, SqliteCopying
from wortwright.store.database import Database, Tx
from wortwright.store.digest import digests

_MANIFEST, _DATA = "manifest.json", "data"
_FORMAT = 1


@dataclass(frozen=True, slots=True)
class Manifest:
    """What a backup holds: kind of database, revision of the tables, a digest of each."""

    format: int
    kind: str
    revision: str | None
    tables: Mapping[str, str]


def back_up(database: Database, path: Path) -> Manifest:
    """Write a backup of the database as it is at one moment; writers are not held up.

    Raises
    ------
    BackupError
        If the file exists already, or the database cannot be copied.
    """
    if path.exists():
        raise BackupError(f"{path} exists already; a backup overwrites nothing.")
    with tempfile.TemporaryDirectory(dir=path.parent) as folder:
        data, archive = Path(folder) / _DATA, Path(folder) / "archive"
        with database.read() as tx:
            # Copy and digests see the same moment.
            _copying(database).dump(tx, database.engine.url, data)
            manifest = _manifest(database, tx)
        with ZipFile(archive, "w", ZIP_DEFLATED, compresslevel=1) as packed:
            packed.writestr(_MANIFEST, json.dumps(asdict(manifest), indent=1))
            packed.write(data, _DATA)
        archive.chmod(0o600)
        archive.rename(path)
    return manifest


def restore(path: Path, database: Database) -> Manifest:
    """Put a backup into an empty database, and check that it came out as it went in.

    Raises
    ------
    BackupError
        If the database is not empty, or the backup is no good, or not for this kind of database.
    """
    with _opened(path) as (expected, data):
        _refuse_other_kind(expected, database)
        _refuse_full(database)
        _copying(database).load(data, database.engine.url)
        _compare(expected, database)
    return expected


def rehearse(path: Path, database: Database) -> Manifest:
    """Restore a backup into a database made for that, check it, and throw it away.

    ``database`` tells the kind and, for PostgreSQL, the server; it is not touched.

    Raises
    ------
    BackupError
        If the backup is no good.
    """
    with _opened(path) as (expected, data):
        _refuse_other_kind(expected, database)
        with _copying(database).scratch(database.engine.url) as url:
            with closing(Database(url)) as scratch:
                _copying(database).load(data, scratch.engine.url)
                _compare(expected, scratch)
    return expected


def _copying(database: Database) -> Copying:
    return SqliteCopying() if database.is_sqlite else PostgresCopying()


def _kind(database: Database) -> str:
    return "sqlite" if database.is_sqlite else "postgresql"


@contextmanager
def _opened(path: Path) -> Iterator[tuple[Manifest, Path]]:
    try:
        with ZipFile(path) as packed, tempfile.TemporaryDirectory() as folder:
            manifest = Manifest(**json.loads(packed.read(_MANIFEST)))
            yield manifest, Path(packed.extract(_DATA, folder))
    except (BadZipFile, KeyError, TypeError, ValueError, OSError) as error:
        raise BackupError(f"{path} is not a whole backup: {error}") from error


def _manifest(database: Database, tx: Tx) -> Manifest:
    revision = None
    if inspect(tx.connection()).has_table("alembic_version"):
        revision = tx.scalar(text("SELECT version_num FROM alembic_version"))
    return Manifest(_FORMAT, _kind(database), revision, dict(digests(tx)))


def _refuse_other_kind(manifest: Manifest, database: Database) -> None:
    if manifest.format != _FORMAT:
        raise BackupError(f"This backup has the format {manifest.format}, which is not known here.")
    if manifest.kind != _kind(database):
        raise BackupError(f"This is a backup of {manifest.kind}, not of {_kind(database)}.")


def _refuse_full(database: Database) -> None:
    with database.read() as tx:
        if inspect(tx.connection()).get_table_names():
            raise BackupError("The database is not empty; a restore overwrites nothing.")
    database.close()


def _compare(expected: Manifest, database: Database) -> None:
    with database.read() as tx:
        found = _manifest(database, tx)
    wrong = [name for name in expected.tables if found.tables.get(name) != expected.tables[name]]
    if wrong or found != expected:
        raise BackupError(f"Not as it was backed up: {', '.join(wrong) or 'the tables'}.")
