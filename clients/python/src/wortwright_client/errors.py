"""What can go wrong. Nothing else is raised for what the service or the network does.

::

    WortwrightError
     ├── TransportError              no answer came, or none that can be read
     └── ApiError                    the service refused (RFC 9457)
          ├── UnauthorizedError      401  the key is not known, has expired or was revoked
          ├── ForbiddenError         403  keys of this kind may not do that
          ├── NotFoundError          404  no such thing, or somebody else's
          ├── ConflictError          409  not in the state that the thing is in now
          ├── StaleVersionError      412  it was changed since its etag was read
          ├── InvalidRequestError    422  see ``errors`` for each place and what is accepted there
          ├── VersionRequiredError   428  a change needs the etag of what is changed
          └── TooManyRequestsError   429  wait ``retry_after_s``
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any


class WortwrightError(Exception):
    """Base of all errors of this package."""


class TransportError(WortwrightError):
    """No answer came, or none that can be read. The cause is chained."""


@dataclass(frozen=True)
class Refusal:
    """One place in the request that is refused, and what would be accepted there."""

    detail: str
    pointer: str | None = None
    parameter: str | None = None
    accepted: tuple[str, ...] = ()

    def __str__(self) -> str:
        place = self.parameter if self.pointer is None else self.pointer
        said = f"{place}: {self.detail}" if place else self.detail
        if all(choice in self.detail for choice in self.accepted):
            return said
        return f"{said} [accepted: {', '.join(self.accepted)}]"


class ApiError(WortwrightError):
    """The service refused.

    Attributes
    ----------
    status : int
        The HTTP status.
    type : str
        What kind of problem it is; a path into the service's documentation that never changes
        its meaning. ``about:blank`` if the answer came from something in between.
    title, detail : str
        The kind of problem, and this one, in plain words.
    errors : tuple of Refusal
        Every place in the request that is refused.
    request_id : str
        Under which the operator of the service finds the request in the log.
    retry_after_s : float or None
        How long the service asks to wait. [s]
    """

    def __init__(
        self,
        status: int,
        type: str,
        title: str,
        detail: str = "",
        errors: Sequence[Refusal] = (),
        request_id: str = "",
        retry_after_s: float | None = None,
    ) -> None:
        super().__init__(status, type, title, detail, errors, request_id, retry_after_s)
        self.status = status
        self.type = type
        self.title = title
        self.detail = detail
        self.errors = tuple(errors)
        self.request_id = request_id
        self.retry_after_s = retry_after_s

    def __str__(self) -> str:
        head = f"{self.status} {self.title}"
        return "\n  ".join(
            [f"{head}: {self.detail}" if self.detail else head, *map(str, self.errors)]
        )


class UnauthorizedError(ApiError):
    """401: the key is not known, has expired or was revoked."""


class ForbiddenError(ApiError):
    """403: keys of this kind may not do that."""


class NotFoundError(ApiError):
    """404: there is no such thing, or it is somebody else's.

    A deletion that was sent again, because its answer was lost, may also end here.
    """


class ConflictError(ApiError):
    """409: the thing is not in a state in which that can be done."""


class StaleVersionError(ApiError):
    """412: the thing was changed since its etag was read. Read it again, change it, send it.

    A change that was sent again, because its answer was lost, may also end here.
    """


class InvalidRequestError(ApiError):
    """422: the request is refused; ``errors`` tells each place and what is accepted there."""


class VersionRequiredError(ApiError):
    """428: a change needs the etag of what is changed. Things out of a list have none: get them."""


class TooManyRequestsError(ApiError):
    """429: too many requests; wait ``retry_after_s``."""


_OF_STATUS: Mapping[int, type[ApiError]] = {
    401: UnauthorizedError,
    403: ForbiddenError,
    404: NotFoundError,
    409: ConflictError,
    412: StaleVersionError,
    422: InvalidRequestError,
    428: VersionRequiredError,
    429: TooManyRequestsError,
}


def refused(
    status: int,
    document: Mapping[str, Any],
    *,
    reason: str = "",
    request_id: str = "",
    retry_after_s: float | None = None,
) -> ApiError:
    """Make the error that a problem document, perhaps an empty one, stands for."""
    listed = document.get("errors")
    entries = listed if isinstance(listed, list) else []
    return _OF_STATUS.get(status, ApiError)(
        status,
        str(document.get("type", "about:blank")),
        str(document.get("title", reason)),
        str(document.get("detail", "")),
        [_refusal(entry) for entry in entries if isinstance(entry, Mapping)],
        str(document.get("instance", request_id)),
        retry_after_s,
    )


def _refusal(entry: Mapping[str, Any]) -> Refusal:
    return Refusal(
        entry.get("detail", ""),
        entry.get("pointer"),
        entry.get("parameter"),
        tuple(entry.get("accepted", ())),
    )
