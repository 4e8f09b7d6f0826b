"""What all tests share: an empty database of each kind."""

import os
from collections.abc import Iterator
from pathlib import Path
from shutil import copyfile

import hypothesis
import pytest
from sqlalchemy import text

from laws import THOROUGH
from postgres import own_postgres_database
from wortwright.store.database import Database

POSTGRES = "WORTWRIGHT_TEST_POSTGRES"

# A law holds or it does not: how fast a busy machine tries it is no part of it. What lands is
# judged on the same examples every time; a developer's run looks at new ones.
hypothesis.settings.register_profile("developer", deadline=None)
hypothesis.settings.register_profile("ci", deadline=None, derandomize=True)
hypothesis.settings.register_profile(THOROUGH, deadline=None, max_examples=2000, print_blob=True)
hypothesis.settings.load_profile("ci" if os.environ.get("CI") else "developer")


@pytest.fixture(scope="session")
def migrated_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A SQLite file with all tables and no row."""
    path = tmp_path_factory.mktemp("template") / "empty.sqlite3"
    database = Database(f"sqlite:///{path}")
    database.migrate()
    database.close()
    return path


@pytest.fixture(scope="session")
def postgres_server() -> str:
    """The address of a PostgreSQL server where databases may be made."""
    address = os.environ.get(POSTGRES)
    if not address:
        pytest.skip(f"PostgreSQL is not tested: {POSTGRES} names no server")
    return address


@pytest.fixture(scope="session")
def postgres_url(postgres_server: str) -> Iterator[str]:
    """A PostgreSQL database of this run's own, with all tables."""
    with own_postgres_database(postgres_server) as url:
        database = Database(url)
        database.migrate()
        database.close()
        yield url


@pytest.fixture(params=["sqlite", pytest.param("postgres", marks=pytest.mark.postgres)])
def database(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Database]:
    """An empty database, once of each kind."""
    if request.param == "sqlite":
        path = tmp_path / "test.sqlite3"
        copyfile(request.getfixturevalue("migrated_file"), path)
        opened = Database(f"sqlite:///{path}")
    else:
        opened = Database(request.getfixturevalue("postgres_url"))
        with opened.write() as tx:
            tx.execute(text("TRUNCATE clubs CASCADE"))
    yield opened
    opened.close()
