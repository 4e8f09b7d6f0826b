from collections.abc import Iterator
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import CheckConstraint, inspect, text

from factories import session
from postgres import own_postgres_database
from usecases.house import PEPPER, House
from wortwright.records.session import SessionState
from wortwright.store.database import Database, _alembic
from wortwright.store.models import Base
from wortwright.usecases.callers import read_key
from wortwright.usecases.keys import caller_for
from wortwright.usecases.scalings import ScalingAsked, create_scaling
from wortwright.usecases.sessions import create_session
from wortwright.usecases.work import Retry, Sent, Work


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


def earlier_revisions() -> list[str]:
    """Every revision but the last, and nothing at all."""
    scripts = ScriptDirectory.from_config(_alembic())
    return [script.down_revision or "base" for script in scripts.walk_revisions()]


def held(database: Database) -> dict[str, list[dict[str, str]]]:
    """All rows of all tables, as far as they can be compared."""
    with database.read() as tx:
        return {
            name: sorted(
                (
                    {column: repr(value) for column, value in row._mapping.items()}
                    for row in tx.execute(text(f'SELECT * FROM "{name}"'))
                ),
                key=str,
            )
            for name in tables(database)
        }


@pytest.mark.parametrize("revision", earlier_revisions())
def test_migrating_down_and_up_with_data_keeps_what_both_revisions_know(
    bare: Database, revision: str
) -> None:
    bare.migrate()
    key = found_full_club(bare)
    before = held(bare)
    assert [name for name, rows in before.items() if not rows] == []
    bare.migrate(revision)
    down = {} if revision == "base" else held(bare)
    bare.migrate()
    after = held(bare)
    for name, rows in before.items():
        known = set(down[name][0]) if name in down else set()
        assert [{k: row[k] for k in known} for row in rows if known] == [
            {k: row[k] for k in known} for row in after[name]
        ], name
    if revision == "base":
        assert not any(after.values())
        key = found_full_club(bare)
    assert caller_for(bare, read_key(key, PEPPER)).kind == "club"


def found_full_club(database: Database) -> str:
    """A club with a row in every table; give its key."""
    house = House(database)
    setup, stored = house.setup(), house.recipe()
    scaling = create_scaling(house.work, ScalingAsked(setup.id, stored.id))
    retry = Retry("one", "POST /v1/sessions", "fingerprint", lambda _: Sent(201, {}, b"{}"))
    once = Work(database, house.caller, retry)
    create_session(once, setup.id, scaling.id, session(1, state=SessionState.CLOSED))
    return house.club_key


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
