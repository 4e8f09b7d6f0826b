"""The real service, reached by the client without a network."""

from collections.abc import Iterator
from typing import Any

import httpx
import pytest
import yaml
from flask import Flask

from api.conftest import app, club_key, make_app, settings  # noqa: F401
from clients.flaky import Flaky
from clients.served import served
from wortwright.api.contract import openapi_yaml
from wortwright_client import Client


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
