"""How each kind of database is copied out whole, at one moment, and put back."""

import os
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Protocol
from uuid import uuid4

from sqlalchemy import URL, create_engine, text
from sqlalchemy.pool import NullPool

from wortwright.store.database import Tx, sqlite_driver


class BackupError(RuntimeError):
    """A backup cannot be made, or is no good, or must not be restored here."""


class Copying(Protocol):
    """What a kind of database can do for a backup."""

    def dump(self, tx: Tx, url: URL, target: Path) -> None:
        """Write what a reading transaction sees into a file."""

    def load(self, source: Path, url: URL) -> None:
        """Put such a file into an empty database."""

    @contextmanager
    def scratch(self, url: URL) -> Iterator[str]:
        """Give the address of an empty database of the same kind, for a while."""
        raise NotImplementedError


class SqliteCopying:
    """By SQLite's own online backup, never by copying a file that is in use."""

    def dump(self, tx: Tx, url: URL, target: Path) -> None:
        """Write what a reading transaction sees into a file."""
        tx.execute(text("SELECT count(*) FROM sqlite_master"))  # from here on it sees one moment
        copied = sqlite_driver().connect(target)
        try:
            tx.connection().connection.driver_connection.backup(copied)  # type: ignore[union-attr]
            copied.execute("PRAGMA journal_mode=DELETE")
        finally:
            copied.close()

    def load(self, source: Path, url: URL) -> None:
        """Put such a file into the place of an empty database."""
        if faults := _faults(source):
            raise BackupError(f"The copy is damaged: {faults[0]}.")
        target = Path(_file_of(url))
        beside = target.with_name(target.name + ".restoring")
        shutil.copyfile(source, beside)
        with beside.open("rb+") as written:
            os.fsync(written.fileno())
        beside.replace(target)

    @contextmanager
    def scratch(self, url: URL) -> Iterator[str]:
        """Give the address of an empty database of the same kind, for a while."""
        with tempfile.TemporaryDirectory(prefix="wortwright-") as folder:
            yield f"sqlite:///{Path(folder) / 'rehearsal.sqlite3'}"


class PostgresCopying:
    """By ``pg_dump`` and ``pg_restore``, which have to be installed."""

    def dump(self, tx: Tx, url: URL, target: Path) -> None:
        """Write what a reading transaction sees into a file."""
        tx.execute(text("SET LOCAL statement_timeout = 0"))
        moment = tx.scalar(text("SELECT pg_export_snapshot()"))
        plain = ("--no-owner", "--no-privileges")
        _run(url, "pg_dump", "--format=custom", *plain, f"--snapshot={moment}", f"--file={target}")

    def load(self, source: Path, url: URL) -> None:
        """Put such a file into an empty database, all of it or nothing."""
        whole = ("--single-transaction", "--exit-on-error", "--no-owner", "--no-privileges")
        _run(url, "pg_restore", *whole, f"--dbname={url.database}", str(source))

    @contextmanager
    def scratch(self, url: URL) -> Iterator[str]:
        """Give the address of an empty database on the same server, for a while."""
        name = f"wortwright_rehearsal_{uuid4().hex}"
        engine = create_engine(url, isolation_level="AUTOCOMMIT", poolclass=NullPool)
        with engine.connect() as connection:
            connection.execute(text(f"CREATE DATABASE {name} TEMPLATE template0"))
            try:
                yield url.set(database=name).render_as_string(hide_password=False)
            finally:
                connection.execute(text(f"DROP DATABASE {name} WITH (FORCE)"))


def _faults(source: Path) -> list[object]:
    opened = sqlite_driver().connect(source)
    try:
        return [
            *(row for row in opened.execute("PRAGMA integrity_check") if row != ("ok",)),
            *opened.execute("PRAGMA foreign_key_check"),
        ]
    except sqlite_driver().DatabaseError as error:
        return [error]
    finally:
        opened.close()


def _file_of(url: URL) -> str:
    if not url.database or url.database == ":memory:":
        raise BackupError("A database that is only in memory cannot be restored.")
    return url.database


def _run(url: URL, program: str, *arguments: str) -> None:
    """Run a tool of PostgreSQL; the password goes by the environment, which others cannot see."""
    given = {
        "PGHOST": url.host,
        "PGPORT": url.port,
        "PGUSER": url.username,
        "PGPASSWORD": url.password,
        "PGDATABASE": url.database,
    }
    environment = os.environ | {name: str(value) for name, value in given.items() if value}
    try:
        subprocess.run(
            [program, *arguments], env=environment, check=True, capture_output=True, text=True
        )
    except FileNotFoundError as error:
        raise BackupError(f"{program} is not installed here.") from error
    except subprocess.CalledProcessError as error:
        raise BackupError(f"{program} failed: {error.stderr.strip()[:500]}") from error
