"""A message of refusal."""

from collections.abc import Iterable


class Refusal(str):
    """A message of refusal that also lists what would be accepted."""

    accepted: tuple[str, ...]

    def __new__(cls, message: str, accepted: Iterable[object] = ()) -> "Refusal":
        """Make a message."""
        refusal = super().__new__(cls, message)
        refusal.accepted = tuple(str(choice) for choice in accepted)
        return refusal
