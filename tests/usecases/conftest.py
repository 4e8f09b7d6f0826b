"""A club with one brewer, on each kind of database."""

from collections.abc import Callable

import pytest
from sqlalchemy import event

from usecases.house import House
from wortwright.store.database import Database


@pytest.fixture
def house(database: Database) -> House:
    """A club with one brewer."""
    return House(database)


@pytest.fixture
def count_queries(database: Database) -> Callable[[], int]:
    """Tell how many SELECTs were sent so far."""
    sent: list[str] = []

    @event.listens_for(database.engine, "before_cursor_execute")
    def note(_: object, __: object, statement: str, *___: object) -> None:
        if statement.startswith("SELECT"):
            sent.append(statement)

    return lambda: len(sent)
