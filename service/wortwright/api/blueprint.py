"""flask-smorest's Blueprint with our parser, and with every answer documented."""

from collections.abc import Callable
from copy import deepcopy
from http import HTTPStatus
from typing import Any, cast

import flask_smorest
from marshmallow import Schema

from wortwright.api.body import RequestParser

View = Callable[..., Any]
Decorator = Callable[[View], View]


class Blueprint(flask_smorest.Blueprint):  # type: ignore[misc]
    """One resource.

    Decorators, from the outside in: ``route``, ``requires``, ``versioned`` or ``stores``,
    ``arguments``, ``response``.
    """

    ARGUMENTS_PARSER = RequestParser()

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self._prepare_doc_cbks.append(_document_refusals)

    def _store_endpoint_docs(self, endpoint: str, obj: Any, *args: Any, **options: Any) -> None:
        super()._store_endpoint_docs(endpoint, obj, *args, **options)
        for method, described in self._docs[endpoint].items():
            if method != "parameters":
                described.setdefault("manual_doc", {}).setdefault("operationId", endpoint)

    def route(self, rule: str, **options: Any) -> Decorator:
        """Let a view answer at a path."""
        return cast(Decorator, super().route(rule, **options))

    def arguments(self, schema: Schema, **options: Any) -> Decorator:
        """Hand a view what a schema reads from the body or, by ``location``, from the query."""
        return cast(Decorator, super().arguments(schema, **options))

    def response(
        self, status: int, schema: Schema | dict[str, str] | None = None, **options: Any
    ) -> Decorator:
        """Write what a view returns with a schema; a dict describes a Response of another type."""
        return cast(Decorator, super().response(status, schema, **options))

    def alt_response(self, status: int, **options: Any) -> Decorator:
        """Document another answer that a view may give."""
        return cast(Decorator, super().alt_response(status, **options))

    def takes_form(self, body: dict[str, Any]) -> Decorator:
        """Document the form that a browser sends to a view, once however often it sends it."""
        document = super().doc(requestBody=body)
        return lambda view: _documented(document(view), "retryable", True)

    def versioned(self, view: View) -> View:
        """Document ETag, If-Match and If-None-Match as the method calls for."""
        return _documented(view, "etag", True)

    def stores(self, status: int, schema: Schema) -> Decorator:
        """Document a storing POST: its answer, Location, ETag and Idempotency-Key."""
        headers = {"Location": "LOCATION", "ETag": "ETAG"}

        def decorator(view: View) -> View:
            answered = self.response(status, schema, headers=headers)(view)
            return _documented(answered, "retryable", True)

        return decorator


def _documented(view: View, name: str, value: object) -> View:
    # A copy, since decorators share the dictionary of what they wrap.
    documentation = deepcopy(getattr(view, "_apidoc", {}))
    documentation[name] = value
    view._apidoc = documentation  # type: ignore[attr-defined]
    return view


def _document_refusals(
    operation: dict[str, Any], described: dict[str, Any], **_: Any
) -> dict[str, Any]:
    """Name every refusal an operation may answer with, and the parameters all of them take."""
    statuses = [HTTPStatus.TOO_MANY_REQUESTS, HTTPStatus.UNPROCESSABLE_ENTITY]
    if "requestBody" in operation:
        statuses += [
            HTTPStatus.BAD_REQUEST,
            HTTPStatus.REQUEST_ENTITY_TOO_LARGE,
            HTTPStatus.UNSUPPORTED_MEDIA_TYPE,
        ]
    if described.get("key_kinds"):
        statuses += [HTTPStatus.UNAUTHORIZED, HTTPStatus.FORBIDDEN, HTTPStatus.NOT_FOUND]
    else:
        operation["security"] = []
    parameters = operation.setdefault("parameters", [])
    if described.get("success_status_codes") != [HTTPStatus.NO_CONTENT]:
        parameters.append("UNITS")
    if described.get("retryable"):
        parameters.append("IDEMPOTENCY_KEY")
        statuses += [HTTPStatus.BAD_REQUEST, HTTPStatus.CONFLICT]
    responses = operation.setdefault("responses", {})
    for status in statuses:
        responses.setdefault(int(status), status.name)
    return operation
