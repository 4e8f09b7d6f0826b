"""An application on a fresh SQLite file, and the first key of the Millrace Lane club."""

from collections.abc import Callable, Iterator
from pathlib import Path
from shutil import copyfile

import pytest
from flask import Flask
from flask.testing import FlaskClient

from api.house import House
from wortwright.api.app import create_app
from wortwright.api.extensions import DATABASE
from wortwright.records.brewer import Club
from wortwright.settings import Settings
from wortwright.usecases.clubs import create_club

PEPPER = "a pepper that is only good for tests"


@pytest.fixture
def settings(tmp_path: Path, migrated_file: Path) -> Settings:
    path = tmp_path / "api.sqlite3"
    copyfile(migrated_file, path)
    return Settings(pepper=PEPPER, database_url=f"sqlite:///{path}", rate_limit="100000 per minute")


@pytest.fixture
def make_app() -> Iterator[Callable[..., Flask]]:
    made: list[Flask] = []

    def make(*args: object) -> Flask:
        made.append(create_app(*args))
        return made[-1]

    yield make
    for app in made:
        app.extensions[DATABASE].close()


@pytest.fixture
def app(make_app: Callable[..., Flask], settings: Settings) -> Flask:
    return make_app(settings)


@pytest.fixture
def client(app: Flask) -> FlaskClient:
    return app.test_client()


@pytest.fixture
def club_key(app: Flask) -> str:
    """The text of a club's first key."""
    return create_club(app.extensions[DATABASE], Club("Millrace Lane"), PEPPER)[1]


@pytest.fixture
def as_club(club_key: str) -> dict[str, str]:
    """The headers of a request with the club's key."""
    return {"Authorization": f"Bearer {club_key}"}


@pytest.fixture
def house(client: FlaskClient, club_key: str) -> House:
    """A club with one brewer."""
    return House(client, club_key)


@pytest.fixture
def other_house(app: Flask, client: FlaskClient, house: House) -> House:
    """Another club on the same service."""
    return House(client, create_club(app.extensions[DATABASE], Club("Weir Street"), PEPPER)[1])
