"""A club on each kind of database, asked by many at once."""

from collections.abc import Iterator

import pytest
from flask import Flask

from reliability.crowd import Club
from wortwright.api.app import create_app
from wortwright.api.extensions import DATABASE
from wortwright.settings import Settings
from wortwright.store.database import Database

PEPPER = "a pepper that is only good for tests"


@pytest.fixture
def app(database: Database) -> Iterator[Flask]:
    """The service on an empty database of each kind."""
    url = database.engine.url.render_as_string(hide_password=False)
    made = create_app(
        Settings(
            pepper=PEPPER, database_url=url, rate_limit="1000000 per minute", log_level="critical"
        )
    )
    yield made
    made.extensions[DATABASE].close()


@pytest.fixture
def club(app: Flask) -> Club:
    """A club with a brewer, a setup and a recipe."""
    return Club.found(app, PEPPER)
