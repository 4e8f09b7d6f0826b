"""Column types that both databases keep alike."""

from datetime import UTC, datetime
from typing import Any

from sqlalchemy import JSON, DateTime, Dialect
from sqlalchemy.dialects.postgresql import JSONB
from sqlalchemy.types import TypeDecorator, TypeEngine

Document: TypeEngine[Any] = JSON(none_as_null=True).with_variant(
    JSONB(none_as_null=True), "postgresql"
)


class UtcDateTime(TypeDecorator[datetime]):
    """A moment in UTC. A naive value is refused, for nobody knows what it means."""

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """Turn an aware moment into UTC before it is written."""
        if value is None:
            return None
        if value.tzinfo is None:
            raise ValueError("a moment without a time zone cannot be stored")
        return value.astimezone(UTC)

    def process_result_value(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """Read what was written as UTC; SQLite has lost the zone by then."""
        if value is None:
            return None
        return value.replace(tzinfo=UTC) if value.tzinfo is None else value.astimezone(UTC)
