"""A club with one of everything, to be asked for badly."""

from collections.abc import Iterator
from pathlib import Path
from shutil import copyfile

import pytest
from flask import Flask

from api.everything import Everything, operations_of
from api.house import House
from api.promises import contract_of
from wortwright.api.app import create_app
from wortwright.api.extensions import DATABASE
from wortwright.records.brewer import Club
from wortwright.settings import Settings
from wortwright.usecases.clubs import create_club

PEPPER = "a pepper that is only good for tests"


@pytest.fixture(scope="module")
def app(tmp_path_factory: pytest.TempPathFactory, migrated_file: Path) -> Iterator[Flask]:
    path = tmp_path_factory.mktemp("fuzz") / "fuzz.sqlite3"
    copyfile(migrated_file, path)
    made = create_app(
        Settings(
            pepper=PEPPER,
            database_url=f"sqlite:///{path}",
            rate_limit="100000000 per minute",
            failed_key_limit="100000000 per minute",
            log_level="critical",
        )
    )
    yield made
    made.extensions[DATABASE].close()


@pytest.fixture(scope="module")
def things(app: Flask) -> Everything:
    _, key = create_club(app.extensions[DATABASE], Club("Millrace Lane"), PEPPER)
    house = House(app.test_client(), key)
    return Everything(house, operations_of(contract_of(app)), "Ours")
