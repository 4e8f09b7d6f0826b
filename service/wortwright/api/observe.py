"""What an operator sees: one log line a request, counters by route, ids to follow a request by."""

import logging
import re
import sys
import time
from typing import Any
from uuid import uuid4

import orjson
import structlog
from flask import Flask, Response, current_app, g, request
from prometheus_client import CollectorRegistry, Counter, Histogram, generate_latest
from prometheus_client.multiprocess import MultiProcessCollector

from wortwright.settings import Settings
from wortwright.usecases.callers import Caller

REQUEST_ID = "X-Request-ID"

_METRICS = "wortwright.metrics"
_METHODS = frozenset({"GET", "HEAD", "POST", "PUT", "PATCH", "DELETE", "OPTIONS"})
_REQUEST_ID = re.compile(r"[A-Za-z0-9._-]{8,64}")
# W3C Trace Context: version, trace id, parent id, flags.
_TRACEPARENT = re.compile(r"00-([0-9a-f]{32})-[0-9a-f]{16}-[0-9a-f]{2}")
_SECRET = re.compile(r"(ww_(?:club|brewer|page|link)_[0-9a-f]{4})[0-9a-f_]*")


class Metrics:
    """Counters of one application. Labels are route templates, never ids."""

    def __init__(self) -> None:
        self.registry = CollectorRegistry()
        self.answers = Counter(
            "wortwright_http_requests",
            "Requests answered.",
            ("method", "route", "status"),
            registry=self.registry,
        )
        self.durations = Histogram(
            "wortwright_http_request_duration_seconds",
            "Time from the first byte read to the answer.",
            ("method", "route"),
            registry=self.registry,
        )


def init_app(app: Flask, settings: Settings) -> None:
    """Set up logging and counters."""
    configure_logging(settings.log_level)
    app.extensions[_METRICS] = Metrics()


def configure_logging(level: str) -> None:
    """Write log lines as JSON to standard error, without secrets."""
    structlog.configure(
        processors=[
            structlog.contextvars.merge_contextvars,
            structlog.processors.add_log_level,
            structlog.processors.TimeStamper(fmt="iso", utc=True),
            structlog.processors.format_exc_info,
            _without_secrets,
            structlog.processors.JSONRenderer(serializer=_to_json),
        ],
        wrapper_class=structlog.make_filtering_bound_logger(
            logging.getLevelNamesMapping()[level.upper()]
        ),
        logger_factory=lambda *_: structlog.WriteLogger(sys.stderr),
    )


def begin() -> None:
    """Give the request an id and a clock."""
    g.began_at = time.perf_counter()
    given = request.headers.get(REQUEST_ID, "")
    g.request_id = given if _REQUEST_ID.fullmatch(given) else uuid4().hex
    structlog.contextvars.clear_contextvars()
    structlog.contextvars.bind_contextvars(request_id=g.request_id)
    if trace := _TRACEPARENT.fullmatch(request.headers.get("traceparent", "")):
        structlog.contextvars.bind_contextvars(trace_id=trace[1])


def note_caller(caller: Caller) -> None:
    """Let log lines name the caller by ids."""
    structlog.contextvars.bind_contextvars(
        club_id=str(caller.club_id), key_id=str(caller.key_id), key_kind=str(caller.kind)
    )


def end(response: Response) -> Response:
    """Log and count the answer. The path is left out: a link's address holds its secret."""
    seconds = time.perf_counter() - g.began_at
    method = request.method if request.method in _METHODS else "OTHER"
    route = request.url_rule.rule if request.url_rule is not None else "unmatched"
    metrics: Metrics = current_app.extensions[_METRICS]
    metrics.answers.labels(method, route, response.status_code).inc()
    metrics.durations.labels(method, route).observe(seconds)
    structlog.get_logger().info(
        "answered",
        method=method,
        route=route,
        status=response.status_code,
        duration_ms=round(seconds * 1000, 3),
    )
    response.headers[REQUEST_ID] = g.request_id
    return response


def exposition(settings: Settings) -> bytes:
    """Write the counters in Prometheus' text format, of all worker processes if they share."""
    if settings.metrics_directory is None:
        metrics: Metrics = current_app.extensions[_METRICS]
        return generate_latest(metrics.registry)
    registry = CollectorRegistry()
    MultiProcessCollector(registry, settings.metrics_directory)  # type: ignore[no-untyped-call]
    return generate_latest(registry)


def without_secrets(text: str) -> str:
    """Cut the secret out of every key in a text."""
    return _SECRET.sub(r"\1...", text)


def _without_secrets(_: Any, __: str, line: Any) -> Any:
    return {k: without_secrets(v) if isinstance(v, str) else v for k, v in line.items()}


def _to_json(line: Any, **_: Any) -> str:
    return orjson.dumps(line, default=str).decode()
