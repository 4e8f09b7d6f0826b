"""Faults of a database, each for as long as its context lasts."""

import resource
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from sqlalchemy import create_engine, event, text
from sqlalchemy.pool import NullPool

from reliability.crowd import Club
from wortwright.api.extensions import DATABASE
from wortwright.store.database import Database, sqlite_driver


def serving_database(club: Club) -> Database:
    found: Database = club.app.extensions[DATABASE]
    return found


@contextmanager
def as_operator(club: Club) -> Iterator[Any]:
    """A connection of somebody else's to the same database."""
    database = serving_database(club)
    # Two SQLite libraries in one process do not see each other's locks: take the same.
    same = {"module": sqlite_driver()} if database.is_sqlite else {}
    engine = create_engine(
        database.engine.url, poolclass=NullPool, isolation_level="AUTOCOMMIT", **same
    )
    with engine.connect() as connection:
        yield connection


def _file_of(club: Club) -> Path:
    return Path(str(serving_database(club).engine.url.database))


@contextmanager
def full_sqlite(club: Club) -> Iterator[None]:
    """No page may be added to the file."""
    engine = serving_database(club).engine
    engine.dispose()
    with as_operator(club) as connection:
        pages = connection.scalar(text("PRAGMA page_count"))

    @event.listens_for(engine, "connect")
    def cap(connection: Any, _: Any) -> None:
        connection.execute(f"PRAGMA max_page_count={pages}").close()

    yield
    event.remove(engine, "connect", cap)
    engine.dispose()


@contextmanager
def no_room_for_files(club: Club) -> Iterator[None]:
    """The operating system refuses to let any file grow."""
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    size = _file_of(club).stat().st_size
    resource.setrlimit(resource.RLIMIT_FSIZE, (min(size, 4096), hard))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))


def postgres_says(sqlstate: str) -> Any:
    """PostgreSQL refuses a write with the code that it has for a fault of this kind."""

    @contextmanager
    def refusing(club: Club) -> Iterator[None]:
        with as_operator(club) as connection:
            connection.execute(
                text(
                    "CREATE FUNCTION refuse() RETURNS trigger LANGUAGE plpgsql AS "
                    f"$$ BEGIN RAISE EXCEPTION 'refused' USING ERRCODE = '{sqlstate}'; END $$"
                )
            )
            connection.execute(
                text(
                    "CREATE TRIGGER refuse BEFORE INSERT ON calibrations "
                    "FOR EACH ROW EXECUTE FUNCTION refuse()"
                )
            )
            yield
            connection.execute(text("DROP FUNCTION refuse CASCADE"))

    return refusing


@contextmanager
def locked_sqlite(club: Club) -> Iterator[None]:
    """Somebody else holds the one writer's lock."""
    with as_operator(club) as connection:
        connection.exec_driver_sql("BEGIN IMMEDIATE")
        yield
        connection.exec_driver_sql("ROLLBACK")


@contextmanager
def locked_postgres(club: Club) -> Iterator[None]:
    """Somebody else holds the row of the setup, for longer than a statement may take."""
    with as_operator(club) as connection:
        connection.exec_driver_sql("BEGIN")
        connection.execute(text("SELECT 1 FROM setups FOR UPDATE"))
        yield
        connection.exec_driver_sql("ROLLBACK")


@contextmanager
def sqlite_gone(club: Club) -> Iterator[None]:
    """The folder with the file is not there, as with a disk that is not mounted."""
    serving_database(club).close()
    folder = _file_of(club).parent
    folder.rename(folder.with_name("unmounted"))
    yield
    folder.with_name("unmounted").rename(folder)


@contextmanager
def postgres_gone(club: Club) -> Iterator[None]:
    """The server throws everybody out and lets nobody in."""
    url = serving_database(club).engine.url
    engine = create_engine(
        url.set(database="postgres"), poolclass=NullPool, isolation_level="AUTOCOMMIT"
    )
    with engine.connect() as connection:
        connection.execute(text(f"ALTER DATABASE {url.database} ALLOW_CONNECTIONS false"))
        connection.execute(
            text("SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = :name"),
            {"name": url.database},
        )
        yield
        connection.execute(text(f"ALTER DATABASE {url.database} ALLOW_CONNECTIONS true"))


@contextmanager
def read_only_sqlite(club: Club) -> Iterator[None]:
    """The file may be read and not written."""
    engine = serving_database(club).engine
    engine.dispose()

    @event.listens_for(engine, "connect")
    def forbid(connection: Any, _: Any) -> None:
        connection.execute("PRAGMA query_only=ON").close()

    yield
    event.remove(engine, "connect", forbid)
    engine.dispose()


# The fault by kind of database, and whether reading goes on under it.
FAULTS: dict[str, tuple[Any, Any, bool]] = {
    "disk full": (full_sqlite, postgres_says("53100"), True),
    "files cannot grow": (no_room_for_files, None, True),
    "locked": (locked_sqlite, locked_postgres, True),
    "gone": (sqlite_gone, postgres_gone, False),
    "read only": (read_only_sqlite, postgres_says("25006"), True),
    "standby": (None, postgres_says("0A000"), True),
    "out of memory": (None, postgres_says("53200"), True),
    "deadlock": (None, postgres_says("40P01"), True),
    "shutting down": (None, postgres_says("57P01"), True),
}
