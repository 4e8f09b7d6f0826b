"""A way to the service on which requests and answers get lost."""

from collections import deque

import httpx

Trouble = Exception | httpx.Response


class LostAnswer(httpx.ReadError):
    """The request arrives and is done; its answer does not come back."""


class Flaky(httpx.BaseTransport):
    """Meets each request with the next trouble, as long as there is any."""

    def __init__(self, inner: httpx.BaseTransport) -> None:
        self._inner = inner
        self.troubles: deque[Trouble] = deque()
        self.requests: list[httpx.Request] = []
        self.waited_s: list[float] = []

    def handle_request(self, request: httpx.Request) -> httpx.Response:
        self.requests.append(request)
        trouble = self.troubles.popleft() if self.troubles else None
        if isinstance(trouble, httpx.Response):
            return trouble
        if isinstance(trouble, Exception) and not isinstance(trouble, LostAnswer):
            raise trouble
        answer = self._inner.handle_request(request)
        if trouble is not None:
            answer.read()
            raise trouble
        return answer
