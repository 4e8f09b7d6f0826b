"""Brews laid out in time."""

from dataclasses import dataclass
from datetime import datetime

from wortwright_client._reading import Model


@dataclass(frozen=True, kw_only=True)
class ScheduleStep(Model):
    """One thing to do.

    ``at`` is when it is usually done. What waits for the beer is done between ``earliest_at``
    and ``latest_at``; both are None on the brew day.
    """

    code: str
    at: datetime
    earliest_at: datetime | None
    latest_at: datetime | None
    detail: str


@dataclass(frozen=True, kw_only=True)
class Schedule(Model):
    """A brew from the strike water to the first glass, in the order of time."""

    steps: tuple[ScheduleStep, ...]
    fermenter_free_at: datetime
    ready_at: datetime
