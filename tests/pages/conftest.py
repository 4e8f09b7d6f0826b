"""The invented club on one service for all tests of pages, with a link to each page."""

from collections.abc import Iterator
from pathlib import Path
from shutil import copyfile
from typing import Any

import pytest

from pages.house import PageHouse
from wortwright.api.app import create_app
from wortwright.api.extensions import DATABASE
from wortwright.settings import Settings

PEPPER = "a pepper that is only good for tests"


@pytest.fixture(scope="session")
def page_house(
    tmp_path_factory: pytest.TempPathFactory, migrated_file: Path
) -> Iterator[PageHouse]:
    path = tmp_path_factory.mktemp("pages") / "pages.sqlite3"
    copyfile(migrated_file, path)
    settings = Settings(
        pepper=PEPPER,
        database_url=f"sqlite:///{path}",
        rate_limit="100000 per minute",
        failed_key_limit="100000 per minute",
    )
    app = create_app(settings)
    yield PageHouse(app, settings)
    app.extensions[DATABASE].close()


@pytest.fixture(scope="session")
def full(page_house: PageHouse) -> Any:
    """A scaling with everything that a plan may carry."""
    return page_house.full
