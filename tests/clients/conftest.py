"""The real service, reached by the client without a network."""

from collections.abc import Iterator
from typing import Any, cast

import httpx
import pytest
import yaml
from flask import Flask

from api.conftest import app, club_key, make_app, settings  # noqa: F401
from clients.flaky import Flaky
from clients.served import served
from wortwright.api import examples
from wortwright.api.contract import openapi_yaml
from wortwright_client import Client
from wortwright_client.documents.recipes import RecipeDocument
from wortwright_client.documents.sessions import NewSessionDocument, SessionDocument
from wortwright_client.documents.setups import SetupDocument
from wortwright_client.models.recipes import Recipe
from wortwright_client.models.setups import Setup

RECIPE = cast(RecipeDocument, examples.RECIPE)
SETUP = cast(SetupDocument, examples.SETUP)
SESSION = cast(SessionDocument, examples.SESSION)


@pytest.fixture
def flaky(app: Flask) -> Flaky:  # noqa: F811
    """The way to the service, which a test may let fail."""
    return Flaky(httpx.WSGITransport(app=app))


@pytest.fixture
def club(flaky: Flaky, club_key: str) -> Iterator[Client]:  # noqa: F811
    """A client with the key of the Millrace Lane club. It waits in `flaky.waited_s` only."""
    with Client(
        "http://brewing.example", club_key, transport=flaky, sleep=flaky.waited_s.append
    ) as client:
        yield client


@pytest.fixture
def contract(app: Flask) -> dict[str, Any]:  # noqa: F811
    read: dict[str, Any] = yaml.safe_load(openapi_yaml(app))
    return read


@pytest.fixture
def address(app: Flask) -> Iterator[str]:  # noqa: F811
    """Where the service is served on this machine."""
    with served(app) as found:
        yield found


def brewed_on(setup: Setup) -> NewSessionDocument:
    """A brew on a setup, by no scaling."""
    return {**SESSION, "setup_id": setup.id, "scaling_id": None}


@pytest.fixture
def setup(club: Client) -> Setup:
    brewer = club.create_brewer({"name": "Ada Millrace"})
    return club.create_setup({**SETUP, "brewer_id": brewer.id})


@pytest.fixture
def recipe(club: Client) -> Recipe:
    return club.create_recipe({**RECIPE, "owner": "club"})
