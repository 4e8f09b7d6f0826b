"""The invented club on one service for all tests of pages, and a browser to open them in."""

from collections.abc import Iterator
from pathlib import Path
from shutil import copyfile
from typing import Any

import pytest

from clients.served import served
from pages.browser import Visit, browser, visit
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


@pytest.fixture(scope="module")
def started() -> Iterator[Any]:
    """A browser that runs."""
    with browser() as running:
        yield running


@pytest.fixture(scope="module")
def served_at(started: Any, page_house: PageHouse) -> Iterator[str]:
    """The address of the service, for a browser."""
    with served(page_house.app) as address:
        yield address


@pytest.fixture
def seen(started: Any) -> Iterator[Visit]:
    with visit(started) as visited:
        yield visited
