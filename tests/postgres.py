"""A PostgreSQL database of a test's own."""

from collections.abc import Iterator
from contextlib import contextmanager
from uuid import uuid4

from sqlalchemy import create_engine, make_url, text


@contextmanager
def own_postgres_database(server: str) -> Iterator[str]:
    """Make a database on a server for a while and give its address."""
    address = make_url(server).set(drivername="postgresql+psycopg")
    name = f"wortwright_test_{uuid4().hex}"
    engine = create_engine(address, isolation_level="AUTOCOMMIT")
    with engine.connect() as connection:
        connection.execute(text(f"CREATE DATABASE {name}"))
        try:
            yield address.set(database=name).render_as_string(hide_password=False)
        finally:
            connection.execute(text(f"DROP DATABASE {name} WITH (FORCE)"))
    engine.dispose()
