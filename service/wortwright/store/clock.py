"""The store's clock: the only place where it asks for the time."""

from datetime import UTC, datetime


def now() -> datetime:
    """Give the present moment in UTC."""
    return datetime.now(UTC)
