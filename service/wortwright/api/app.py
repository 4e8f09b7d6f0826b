"""The application, put together."""

from collections.abc import Iterable
from typing import Any

import orjson
import structlog
from flask import Flask, Response, g
from flask.json.provider import JSONProvider
from werkzeug.middleware.proxy_fix import ProxyFix

from wortwright.api import (
    conditional,
    contract,
    cors,
    extensions,
    guide,
    limits,
    log_pages,
    observe,
    operations,
    readiness,
    unit_parameter,
)
from wortwright.api.blueprint import Blueprint
from wortwright.settings import Settings
from wortwright.store.database import Database
from wortwright.usecases.callers import KeyKind

_HEADERS = {
    "X-Content-Type-Options": "nosniff",
    "Content-Security-Policy": "default-src 'none'; base-uri 'none'; frame-ancestors 'none'",
    "Referrer-Policy": "no-referrer",
    "Cache-Control": "private, no-cache",
}


class _Service(Flask):
    """Flask with faults in our log, in one form and without secrets."""

    def log_exception(self, exc_info: Any) -> None:
        structlog.get_logger().error("fault", exc_info=exc_info)


class _Json(JSONProvider):
    """JSON by orjson."""

    def dumps(self, obj: Any, **_: Any) -> str:
        return orjson.dumps(obj).decode()

    def loads(self, s: str | bytes, **_: Any) -> Any:
        return orjson.loads(s)


def create_app(settings: Settings, blueprints: Iterable[Blueprint] | None = None) -> Flask:
    """Put the application together.

    Parameters
    ----------
    settings : Settings
        What the installation decides.
    blueprints : iterable of Blueprint, optional
        The resources; all of them by default.
    """
    app = _Service("wortwright.api", static_folder=None)
    app.json = _Json(app)
    app.config["MAX_CONTENT_LENGTH"] = settings.max_body_bytes
    app.url_map.merge_slashes = False
    app.extensions[extensions.SETTINGS] = settings
    app.extensions[extensions.DATABASE] = Database(settings.database_url)
    readiness.init_app(app, app.extensions[extensions.DATABASE])
    _register_hooks(app, settings)
    if app.extensions[extensions.DATABASE].journal_mode == "delete":
        structlog.get_logger().warning(
            "write-ahead logging is off: this version of SQLite can lose commits with it"
        )
    api = contract.make_api(app)
    for blueprint in _all_blueprints() if blueprints is None else blueprints:
        api.register_blueprint(blueprint)
    app.register_blueprint(operations.blueprint)
    app.register_blueprint(log_pages.scripts)
    app.register_blueprint(guide.blueprint)
    limits.exempt(app, operations.blueprint)
    if settings.trusted_proxies:
        n = settings.trusted_proxies
        app.wsgi_app = ProxyFix(app.wsgi_app, x_for=n, x_proto=n, x_host=n)  # type: ignore[method-assign]
    return app


def _all_blueprints() -> tuple[Blueprint, ...]:
    from wortwright.api.resources import BLUEPRINTS

    return tuple(BLUEPRINTS)


def _register_hooks(app: Flask, settings: Settings) -> None:
    """Set what happens before each view, in this order, and after it, in the reverse order."""
    observe.init_app(app, settings)
    app.before_request(observe.begin)
    app.after_request(observe.end)
    app.after_request(_add_headers)
    app.after_request(conditional.spare_known)
    limits.init_app(app, settings)
    app.after_request(limits.add_headers)
    cors.init_app(app, settings)
    app.before_request(unit_parameter.choose_as_asked)
    app.teardown_request(unit_parameter.forget)


def _add_headers(response: Response) -> Response:
    if getattr(g.get("caller"), "kind", None) is KeyKind.LINK:
        response.headers["Cache-Control"] = "no-store"
    for name, value in _HEADERS.items():
        response.headers.setdefault(name, value)
    return response
