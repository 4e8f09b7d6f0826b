"""The client: a method for each operation of the service, under the same name."""

import time
from types import TracebackType
from typing import Self

import httpx

from wortwright_client._transport import TIMEOUT, Connection, Sleep
from wortwright_client.operations.beers import Beers
from wortwright_client.operations.calculations import Calculations
from wortwright_client.operations.people import People
from wortwright_client.operations.plans import Plans
from wortwright_client.operations.recipes import Recipes
from wortwright_client.operations.scalings import Scalings
from wortwright_client.operations.sessions import Sessions
from wortwright_client.operations.setups import Setups


class Client(People, Setups, Recipes, Sessions, Scalings, Plans, Beers, Calculations):
    """A wortwright service, opened with one key.

    Every method may raise `ApiError` and `TransportError`, see `wortwright_client.errors`. What
    is stored carries an ``etag``, which the methods that replace or delete it ask for. Lists are
    generators: pages of ``page_size`` items are asked for as they are needed. ``units`` chooses
    the units of one answer; without it they are the brewer's own choice.

    A method sends its request up to three times where no answer came, or one that says to come
    back. It is still done once: what is stored carries an Idempotency-Key.

    Parameters
    ----------
    base_url : str
        Where the service is, such as ``https://brewing.example``.
    key : str
        A club key, a brewer key or a page key.
    timeout : float or httpx.Timeout, optional
        How long to wait for a connection and for each part of an answer. [s]
    transport : httpx.BaseTransport, optional
        What carries the requests instead of the network, for instance in tests.
    sleep : callable, optional
        Waits that many seconds before a request is sent again.

    Raises
    ------
    ValueError
        If ``base_url`` is no http address.
    """

    def __init__(
        self,
        base_url: str,
        key: str,
        *,
        timeout: float | httpx.Timeout = TIMEOUT,
        transport: httpx.BaseTransport | None = None,
        sleep: Sleep = time.sleep,
    ) -> None:
        super().__init__(
            Connection(base_url, key, timeout=timeout, transport=transport, sleep=sleep)
        )

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        traceback: TracebackType | None,
    ) -> None:
        self.close()

    def close(self) -> None:
        """Close the connections to the service."""
        self._connection.close()
