from collections.abc import Iterator
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from sqlalchemy import CheckConstraint, inspect

from postgres import own_postgres_database
from wortwright.store.database import Database
from wortwright.store.models import Base


@pytest.fixture(params=["sqlite", pytest.param("postgres", marks=pytest.mark.postgres)])
def bare(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Database]:
    """A database without a table."""
    if request.param == "sqlite":
        opened = Database(f"sqlite:///{tmp_path / 'bare.sqlite3'}")
        yield opened
        opened.close()
        return
    with own_postgres_database(request.getfixturevalue("postgres_server")) as url:
        opened = Database(url)
        yield opened
        opened.close()


def tables(database: Database) -> set[str]:
    return set(inspect(database.engine).get_table_names()) - {"alembic_version"}


def test_migrating_up_down_and_up_gives_the_tables_of_the_models(bare: Database) -> None:
    bare.migrate()
    assert tables(bare) == set(Base.metadata.tables)
    bare.migrate("base")
    assert tables(bare) == set()
    bare.migrate()
    with bare.engine.connect() as connection:
        context = MigrationContext.configure(connection, opts={"compare_type": True})
        assert compare_metadata(context, Base.metadata) == []


def test_migrating_twice_changes_nothing(bare: Database) -> None:
    bare.migrate()
    bare.migrate()
    assert tables(bare) == set(Base.metadata.tables)


def test_a_bare_database_is_not_migrated_and_then_is(bare: Database) -> None:
    assert not bare.is_migrated()
    bare.migrate()
    assert bare.is_migrated()


def test_every_check_of_the_models_is_in_the_tables(bare: Database) -> None:
    # Alembic's comparison does not look at CHECK constraints.
    bare.migrate()
    inspector = inspect(bare.engine)
    for name, table in Base.metadata.tables.items():
        declared = {str(c.name) for c in table.constraints if isinstance(c, CheckConstraint)}
        assert declared == {one["name"] for one in inspector.get_check_constraints(name)}
