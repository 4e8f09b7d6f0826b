"""How requests are sent, sent again, and refused.

A request is sent again when no answer came or a passing one (429, 502, 503, 504, or a 409 that
says when to come back), and only where that is safe: GET, PUT and DELETE, which HTTP defines as
idempotent, and POST with an Idempotency-Key. This module knows no resource and no model.
"""

import json
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from email.utils import parsedate_to_datetime
from typing import Any

import httpx

from wortwright_client._reading import as_json
from wortwright_client._version import __version__
from wortwright_client.errors import ApiError, TransportError, refused

# A batch of many scalings is computed before the first byte of its answer comes.
TIMEOUT = httpx.Timeout(connect=5.0, write=10.0, read=60.0, pool=5.0)

ATTEMPTS = 3
FIRST_WAIT_S = 0.5
# Who is asked to wait longer is told, and may come back.
LONGEST_WAIT_S = 60.0

IDEMPOTENCY_KEY = "Idempotency-Key"

_SAFE_METHODS = frozenset({"GET", "PUT", "DELETE"})
_PASSING = frozenset({429, 502, 503, 504})
_LOST = (
    httpx.TimeoutException,
    httpx.NetworkError,
    httpx.RemoteProtocolError,
    httpx.ProxyError,
)

Sleep = Callable[[float], object]
# Parameters; those that are None are left out.
Query = Mapping[str, str | float | datetime | None]


@dataclass(frozen=True)
class Answer:
    """The JSON object that was answered, and the tag of its version."""

    document: dict[str, Any]
    etag: str | None


class Connection:
    """Sends requests to one service with one key."""

    def __init__(
        self,
        base_url: str,
        key: str,
        *,
        timeout: float | httpx.Timeout = TIMEOUT,
        transport: httpx.BaseTransport | None = None,
        sleep: Sleep = time.sleep,
    ) -> None:
        if not base_url.startswith(("http://", "https://")):
            raise ValueError(f"base_url must start with https:// or http://, not {base_url!r}")
        headers = {
            "Authorization": f"Bearer {key.strip()}",
            "Accept": "application/json",
            "User-Agent": f"wortwright-client/{__version__} httpx/{httpx.__version__}",
        }
        self._sleep = sleep
        self._http = httpx.Client(
            base_url=base_url, headers=headers, timeout=timeout, transport=transport
        )

    def close(self) -> None:
        """Close the connections."""
        self._http.close()

    def send(
        self,
        method: str,
        path: str,
        *,
        query: Query | None = None,
        document: object = None,
        headers: Mapping[str, str] | None = None,
    ) -> Answer:
        """Send a request, again where that is safe and may help.

        Parameters
        ----------
        method, path : str
            What to do, and under which path of the service; the path may have a query already.
        query : mapping
            Parameters; those that are None are left out.
        document : object
            The body; None for none.
        headers : mapping
            Headers besides those of every request.

        Raises
        ------
        TransportError
            If no answer came, or none that can be read.
        ApiError
            If the service refused.
        """
        sent = dict(headers or {})
        content = None
        if document is not None:
            content = json.dumps(document, default=as_json, allow_nan=False)
            sent["Content-Type"] = "application/json"
        url = _with_query(path, query)
        return _read(self._answered(method, url, content=content, headers=sent))

    def get_text(self, path: str, query: Query) -> str:
        """Get what is no JSON: a page, a drawing, a calendar. It raises what `send` raises."""
        # A page refuses as a page where HTML is what is asked for.
        response = self._answered("GET", _with_query(path, query), headers={"Accept": "*/*"})
        return response.text

    def _answered(self, method: str, url: httpx.URL, **sent: Any) -> httpx.Response:
        """Give the answer of a service that did not refuse."""
        request = self._http.build_request(method, url, **sent)
        try:
            response = self._send(request)
        except httpx.HTTPError as error:
            raise TransportError(f"{method} {request.url}: {_said(error)}") from error
        if not response.is_success:
            raise _refused(response)
        return response

    def _send(self, request: httpx.Request) -> httpx.Response:
        may_repeat = request.method in _SAFE_METHODS or IDEMPOTENCY_KEY in request.headers
        for attempt in range(ATTEMPTS - 1 if may_repeat else 0):
            wait_s = FIRST_WAIT_S * 2**attempt
            try:
                response = self._http.send(request)
            except _LOST:
                pass
            else:
                asked_s = _asked_wait_s(response)
                if not _is_passing(response) or (asked_s or 0.0) > LONGEST_WAIT_S:
                    return response
                wait_s = wait_s if asked_s is None else asked_s
            self._sleep(wait_s)
        return self._http.send(request)


def _is_passing(response: httpx.Response) -> bool:
    # 409 with Retry-After: the same request, sent before, is still being answered.
    busy = response.status_code == 409 and "Retry-After" in response.headers
    return busy or response.status_code in _PASSING


def _asked_wait_s(response: httpx.Response) -> float | None:
    """Tell how long Retry-After asks to wait, by the clock of whoever sent it (RFC 9110)."""
    asked = response.headers.get("Retry-After", "")
    if asked.isdecimal():
        return float(asked)
    try:
        until = parsedate_to_datetime(asked)
        now = parsedate_to_datetime(response.headers.get("Date", ""))
        return max(0.0, (until - now).total_seconds())
    except (TypeError, ValueError):
        return None


def _with_query(path: str, query: Query | None) -> httpx.URL:
    url = httpx.URL(path)
    given = {
        name: one.isoformat() if isinstance(one, datetime) else one
        for name, one in (query or {}).items()
        if one is not None
    }
    return url.copy_merge_params(given) if given else url


def _read(response: httpx.Response) -> Answer:
    if response.status_code == 204:
        return Answer({}, None)
    document = _document(response)
    if document is None:
        raise TransportError(f"{response.url} did not answer with a JSON object")
    return Answer(document, response.headers.get("ETag"))


def _refused(response: httpx.Response) -> ApiError:
    return refused(
        response.status_code,
        _document(response) or {},
        reason=response.reason_phrase,
        request_id=response.headers.get("X-Request-ID", ""),
        retry_after_s=_asked_wait_s(response),
    )


def _document(response: httpx.Response) -> dict[str, Any] | None:
    """Read the JSON object of an answer; None if it has none."""
    try:
        document = response.json()
    except ValueError:
        return None
    return document if isinstance(document, dict) else None


def _said(error: Exception) -> str:
    return str(error) or type(error).__name__
