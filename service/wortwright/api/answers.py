"""How a view answers with one thing."""

from typing import Any, Protocol, TypeVar

from wortwright.api import conditional


class Versioned(Protocol):
    """A thing with the version of its row."""

    @property
    def version(self) -> int:
        """The version of the row."""


V = TypeVar("V", bound=Versioned)


def with_version(thing: V) -> tuple[V, dict[str, Any]]:
    """Give a thing with the ETag of its version."""
    return thing, conditional.versioned(thing.version)
