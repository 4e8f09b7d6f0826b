"""Browsers: pages of the web origins that the installation allows may call the service."""

from flask import Flask, Response
from flask_cors import CORS

from wortwright.settings import Settings

_MAY_SEND = ("Authorization", "Content-Type", "Idempotency-Key", "If-Match", "If-None-Match")
_MAY_READ = (
    "ETag",
    "Location",
    "Retry-After",
    "RateLimit",
    "RateLimit-Policy",
    "X-Request-ID",
    "Idempotency-Replayed",
)


def init_app(app: Flask, settings: Settings) -> None:
    """Answer preflights; without allowed origins there is nothing to answer."""
    if settings.allowed_origins:
        CORS(
            app,
            resources=r"/v1/*",
            origins=list(settings.allowed_origins),
            methods=["GET", "POST", "PUT", "PATCH", "DELETE"],
            allow_headers=list(_MAY_SEND),
            expose_headers=list(_MAY_READ),
            supports_credentials=False,
            max_age=600,
        )
        app.after_request(_vary)


def _vary(response: Response) -> Response:
    # The library leaves this out if there is only one origin.
    response.vary.add("Origin")
    return response
