"""One database, SQLite or PostgreSQL, with one way to read and one way to write."""

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from types import ModuleType
from typing import Any

import orjson
from alembic import command
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import URL, Connection, Engine, create_engine, event, make_url, text
from sqlalchemy.exc import InterfaceError, InternalError, NotSupportedError, OperationalError
from sqlalchemy.exc import TimeoutError as PoolTimeoutError
from sqlalchemy.orm import Session
from sqlalchemy.pool import NullPool

from wortwright.store.documents import to_json

Tx = Session

_STATEMENT_TIMEOUT_MS = 15_000
_BUSY_TIMEOUT_MS = 5_000
_CONNECT_TIMEOUT_S = 5
# A server that is cut off says nothing; the operating system alone would wait for many minutes.
_SILENCE_TIMEOUT_MS = 20_000
# Any fixed number does; it keeps two starting processes from migrating at once.
_MIGRATION_LOCK = 20_230_517
# InternalError and NotSupportedError: how a PostgreSQL standby says that it takes no writes
# (SQLSTATE 25006 and 0A000).
_UNAVAILABLE = (
    OperationalError,
    InterfaceError,
    InternalError,
    NotSupportedError,
    PoolTimeoutError,
)


class DatabaseUnavailableError(RuntimeError):
    """The database cannot be reached, is locked for too long or gave up; trying again may help."""


class Database:
    """The engine and its transactions.

    Parameters
    ----------
    url : str
        ``sqlite:///path`` or ``postgresql://user@host/name``.
    """

    def __init__(self, url: str) -> None:
        self._url = _with_driver(make_url(url))
        self._engine = _make_engine(self._url)
        reading: dict[str, Any] = {"sqlite_begin": "BEGIN"}
        if not self.is_sqlite:
            reading |= {"isolation_level": "REPEATABLE READ", "postgresql_readonly": True}
        self._reader = self._engine.execution_options(**reading)

    @property
    def is_sqlite(self) -> bool:
        """Whether the database is one SQLite file."""
        return self._url.get_backend_name() == "sqlite"

    @property
    def engine(self) -> Engine:
        """The engine, for backup and for tests."""
        return self._engine

    @property
    def journal_mode(self) -> str | None:
        """SQLite's journal mode: ``delete`` where write-ahead logging is not safe."""
        return sqlite_journal_mode(sqlite_driver().sqlite_version_info) if self.is_sqlite else None

    @contextmanager
    def read(self) -> Iterator[Tx]:
        """Open a transaction that sees one state of the database and changes nothing."""
        with _own_errors(), Session(self._reader, expire_on_commit=False) as tx:
            yield tx

    @contextmanager
    def write(self) -> Iterator[Tx]:
        """Open a transaction that is committed at the end and rolled back on any error."""
        with _own_errors(), Session(self._engine, expire_on_commit=False) as tx, tx.begin():
            yield tx

    def ping(self) -> None:
        """Ask the database for a sign of life."""
        with self.read() as tx:
            tx.execute(text("SELECT 1"))

    def is_migrated(self) -> bool:
        """Whether the tables are those that this version of the code expects."""
        with _own_errors(), self._reader.connect() as connection:
            current = MigrationContext.configure(connection).get_current_revision()
        return current == ScriptDirectory.from_config(_alembic()).get_current_head()

    def migrate(self, revision: str = "head") -> None:
        """Bring the tables to a revision; ``base`` takes everything away."""
        # SQLite empties the tables that refer to one that is rebuilt, unless told not to look.
        engine = _make_engine(self._url, foreign_keys=False)
        with _own_errors(), engine.begin() as connection:
            if not self.is_sqlite:
                connection.execute(text(f"SELECT pg_advisory_xact_lock({_MIGRATION_LOCK})"))
            _run_alembic(connection, revision)
        engine.dispose()

    def close(self) -> None:
        """Give back every connection."""
        self._engine.dispose()


def sqlite_journal_mode(version: tuple[int, ...]) -> str:
    """Tell which journal mode is safe with this SQLite.

    Versions 3.7.0 to 3.51.2 can lose commits in WAL mode when a checkpoint races a reset of the
    log (SQLite release history, entry 3.51.3; backports 3.44.6 and 3.50.7).
    """
    repaired = version >= (3, 51, 3) or any(
        version[:2] == fixed[:2] and version >= fixed for fixed in ((3, 44, 6), (3, 50, 7))
    )
    return "wal" if repaired else "delete"


def sqlite_driver() -> ModuleType:
    """Give the SQLite driver: pysqlite3 brings a repaired library where it is installed."""
    try:
        import pysqlite3
    except ImportError:
        return sqlite3
    module: ModuleType = pysqlite3
    return module


def _with_driver(url: URL) -> URL:
    if url.drivername in ("postgresql", "postgres"):
        return url.set(drivername="postgresql+psycopg")
    return url


def _make_engine(url: URL, *, foreign_keys: bool = True) -> Engine:
    if url.get_backend_name() != "sqlite":
        return create_engine(
            url,
            json_serializer=to_json,
            json_deserializer=orjson.loads,
            pool_pre_ping=True,
            connect_args={
                "options": f"-c statement_timeout={_STATEMENT_TIMEOUT_MS} -c timezone=UTC",
                "connect_timeout": _CONNECT_TIMEOUT_S,
                "tcp_user_timeout": _SILENCE_TIMEOUT_MS,
                "keepalives_idle": 10,
            },
        )
    engine = create_engine(
        url,
        module=sqlite_driver(),
        json_serializer=to_json,
        json_deserializer=orjson.loads,
        poolclass=None if foreign_keys else NullPool,
    )
    _prepare_sqlite(engine, foreign_keys)
    return engine


def _prepare_sqlite(engine: Engine, foreign_keys: bool) -> None:
    journal = sqlite_journal_mode(sqlite_driver().sqlite_version_info)

    @event.listens_for(engine, "connect")
    def set_pragmas(connection: Any, _: Any) -> None:
        # The driver's own implicit BEGIN comes too late and is never IMMEDIATE.
        connection.isolation_level = None
        for pragma in (
            f"busy_timeout={_BUSY_TIMEOUT_MS}",
            f"journal_mode={journal}",
            "synchronous=FULL",
            f"foreign_keys={'ON' if foreign_keys else 'OFF'}",
            "trusted_schema=OFF",
        ):
            connection.execute(f"PRAGMA {pragma}").close()

    @event.listens_for(engine, "begin")
    def begin(connection: Connection) -> None:
        # A writer takes its lock at once: a lock taken later can fail half way through.
        options = connection.get_execution_options()
        connection.exec_driver_sql(options.get("sqlite_begin", "BEGIN IMMEDIATE"))


def _alembic() -> Config:
    config = Config()
    config.set_main_option("script_location", str(Path(__file__).parent / "migrations"))
    return config


def _run_alembic(connection: Connection, revision: str) -> None:
    config = _alembic()
    config.attributes["connection"] = connection
    scripts = ScriptDirectory.from_config(config)
    current = MigrationContext.configure(connection).get_current_revision()
    ahead = {script.revision for script in scripts.iterate_revisions(current, "base")}
    if revision == "base" or (revision in ahead and revision != current):
        command.downgrade(config, revision)
    else:
        command.upgrade(config, revision)


@contextmanager
def _own_errors() -> Iterator[None]:
    try:
        yield
    except _UNAVAILABLE as error:
        raise DatabaseUnavailableError("The database cannot be used at the moment.") from error
