"""Python client of wortwright: refit a beer recipe to your own setup, with an honest forecast."""

from wortwright_client._version import __version__
from wortwright_client.client import Client
from wortwright_client.errors import (
    ApiError,
    ConflictError,
    ForbiddenError,
    InvalidRequestError,
    NotFoundError,
    Refusal,
    StaleVersionError,
    TooManyRequestsError,
    TransportError,
    UnauthorizedError,
    VersionRequiredError,
    WortwrightError,
)
from wortwright_client.quantities import Forecast, Interval, Quantity

__all__ = [
    "ApiError",
    "Client",
    "ConflictError",
    "ForbiddenError",
    "Forecast",
    "Interval",
    "InvalidRequestError",
    "NotFoundError",
    "Quantity",
    "Refusal",
    "StaleVersionError",
    "TooManyRequestsError",
    "TransportError",
    "UnauthorizedError",
    "VersionRequiredError",
    "WortwrightError",
    "__version__",
]
