"""What all operations share: how things are read, listed, stored, changed and deleted."""

from collections.abc import Iterator
from typing import Any, TypeVar
from urllib.parse import quote
from uuid import uuid4

from wortwright_client._reading import Model
from wortwright_client._transport import IDEMPOTENCY_KEY, Answer, Connection, Query
from wortwright_client.errors import TransportError

M = TypeVar("M", bound=Model)


class Operations:
    """Operations on one service."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection

    def _get(self, kind: type[M], path: str, query: Query) -> M:
        return _model(kind, self._connection.send("GET", path, query=query))

    def _get_text(self, path: str, query: Query) -> str:
        return self._connection.get_text(path, query)

    def _list(self, kind: type[M], path: str, query: Query) -> Iterator[M]:
        """Give the items of all pages; the next page is asked for when it is needed."""
        answer = self._connection.send("GET", path, query=query)
        while True:
            yield from _items(kind, answer)
            following = answer.document.get("next")
            if following is None:
                return
            # The key goes along: only ever to the service that it belongs to.
            if not str(following).startswith("/"):
                raise TransportError(f"{path} has its next page elsewhere: {following}")
            answer = self._connection.send("GET", following)

    def _post(
        self, kind: type[M], path: str, document: object, query: Query, key: str | None = None
    ) -> M:
        """Send something to be stored or computed; the key makes it safe to send again."""
        headers = {IDEMPOTENCY_KEY: key or str(uuid4())}
        answer = self._connection.send(
            "POST", path, query=query, document=document, headers=headers
        )
        return _model(kind, answer)

    def _put(self, kind: type[M], path: str, document: object, etag: str | None, query: Query) -> M:
        answer = self._connection.send(
            "PUT", path, query=query, document=document, headers=_if_match(etag)
        )
        return _model(kind, answer)

    def _delete(self, path: str, etag: str | None = None) -> None:
        self._connection.send("DELETE", path, headers=_if_match(etag))


def at(*parts: str | int) -> str:
    """Give the path of something; an id stays one part of it, whatever it holds."""
    return "/v1/" + "/".join(quote(str(part), safe="") for part in parts)


def _if_match(etag: str | None) -> dict[str, str]:
    return {} if etag is None else {"If-Match": etag}


def _model(kind: type[M], answer: Answer) -> M:
    return _read(kind, {"etag": answer.etag, **answer.document})


def _items(kind: type[M], answer: Answer) -> list[M]:
    items = answer.document.get("items")
    if not isinstance(items, list):
        raise TransportError("A page came without its items.")
    return [_read(kind, item) for item in items]


def _read(kind: type[M], document: Any) -> M:
    try:
        return kind.from_dict(document)
    except (TypeError, ValueError, AttributeError) as error:
        raise TransportError(f"The answer is no {kind.__name__}: {error}") from error
